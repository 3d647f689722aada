import type { Measured } from './floodRatios.js';
import type { Judgement } from './judgement.js';

export type { Estimate, Interval } from '../kernel/estimate.js';

/** How far a chart is to be trusted, in plain words. */
export type Grade = 'too thin' | 'no usable relation' | 'rough guide' | 'fair guide' | 'good guide';

/** How far to trust a chart, in short: filled from the judgement when the chart is made. */
export interface TrustSummary extends Pick<Judgement, 'way' | 'grade' | 'depth' | 'reasons' | 'checks' | 'evidence'> {
  /** Of the way that the chart is made by; null where nothing could be scored. */
  readonly skill: Skill | null;
}

/**
 * Ranked probability skill with floods left out, against how often each class was logged and against the month: 1 perfect, 0 no better.
 */
export interface Skill {
  readonly againstFrequencies: Measured;
  readonly againstMonth: Measured;
}

/** Which check of the grade: what code asks by, in place of its words. */
export type CheckId =
  | 'verdicts'
  | 'floods'
  | 'span'
  | 'contrast'
  | 'skill-frequencies-low'
  | 'skill-month-low'
  | 'skill-frequencies'
  | 'skill-season-low'
  | 'skill-season'
  | 'edge-sides'
  | 'edge-near'
  | 'lag-worth'
  | 'lag-sign'
  | 'one-person'
  | 'span-fair'
  | 'undependable'
  | 'skill-fair'
  | 'skill-fair-low'
  | 'skill-good'
  | 'skill-good-low'
  | 'verdicts-good'
  | 'floods-good'
  | 'unmatched';

/** One check of the grade: what was found, what is asked for, and what failing it caps the grade at. */
export interface TrustCheck {
  /** What the check is known by; `edge-sides` and `edge-near` come once for each edge of the good range. */
  readonly id: CheckId;
  readonly check: string;
  readonly statistic: number | null;
  readonly operator: '>=' | '<=' | '>' | '<';
  readonly threshold: number;
  readonly unit: string;
  readonly pass: boolean;
  readonly essential: boolean;
  readonly comment: string;
}
