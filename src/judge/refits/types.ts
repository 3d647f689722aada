import type { Aligned } from '../../align/types.js';
import type { LevelFits } from '../../fit/fitLevels.js';
import type { FitStatus, ReadingWay, Way } from '../../fit/types.js';
import type { Question, WarmStart } from '../../fit/warmStart.js';
import type { Creek, Run } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Visit } from '../../series/visits.js';
import type { JudgedEdge, JudgedInfluence, JudgedLeadCurve, JudgedObservers, JudgedSensitivity } from '../judgement.js';
import type { LeftOut } from '../leaveFloodOut.js';
import type { ShiftFinding } from '../shift.js';

/** One run against one gauge, with everything that fits of its own are made from. */
export interface JudgedRelation {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
  /** The creek's visits as read; those of other runs are passed over. */
  readonly visits: readonly Visit[];
  /** The visits that `fits` was made from. */
  readonly aligned: Aligned;
  readonly fits: LevelFits;
  /** ln prior of each grid point that `fits` was made with (a logger's); every fit of the judgement carries it. Absent where it is flat. */
  readonly gridPrior?: Float64Array;
  /** Null where it was not looked for. */
  readonly shift: ShiftFinding | null;
}

export interface PlanOptions {
  /** Whole number; default 1. */
  readonly seed?: number;
  /** The way of reading whose edges are looked at (observers, influence, sensitivity, shift); default 'effective'. */
  readonly way?: ReadingWay;
  /** `floods`: every flood left out and nothing else, for a gauge that is no use or too thin. Default 'full'. */
  readonly depth?: 'full' | 'floods';
  /** Hours of the lead curve; those below the chart's own lead and beyond the largest lag are passed over. Default 0, 1, 2, 4, 8, 12. */
  readonly leads?: readonly number[];
}

/** Everything to be fitted for one relation: plain data, so that it can go to other cores. */
export interface RelationPlan {
  readonly kind: 'relation-plan';
  readonly context: JudgeContext;
  readonly tasks: readonly JudgeTask[];
}

/** What all tasks of a relation share. */
export interface JudgeContext {
  readonly relation: JudgedRelation;
  /** In words, for progress and errors. */
  readonly label: string;
  readonly seed: number;
  readonly way: ReadingWay;
  readonly depth: 'full' | 'floods';
  /** Ways and leads that left-out floods are predicted for: both ways at each lead, the chart's own first, then the gauge as it stands. */
  readonly questions: readonly Question[];
  /** Each visit left out by importance weights: influence[edge][visit], the edge's new median in x. */
  readonly influence: readonly (readonly number[])[];
}

/** Where the fits of a relation start; made once, by `prepareRelation`. */
export interface Prepared {
  /** Null where there is no fit to start from. */
  readonly floods: WarmStart | null;
  readonly edges: WarmStart | null;
}

/** One fit of its own: small plain data. `id` is unique within its relation. */
export type JudgeTask =
  | { readonly kind: 'flood'; readonly id: string; readonly flood: number }
  | { readonly kind: 'observer'; readonly id: string; readonly observer: string }
  | { readonly kind: 'visit'; readonly id: string; readonly visit: number }
  | { readonly kind: 'variant'; readonly id: string; readonly variant: Variant }
  | { readonly kind: 'span'; readonly id: string; readonly span: 'before' | 'after' };

export type Variant = JudgedSensitivity['variants'][number]['variant'];

/** What came of one task; plain data. `status` says why where there is nothing. */
export type JudgeResult = FloodResult | EdgesResult;

/** The odds of a flood's verdicts by fits that never saw it. */
export interface FloodResult {
  readonly kind: 'flood';
  readonly id: string;
  readonly status: FitStatus;
  readonly flood: number;
  /** Visits of the flood. */
  readonly visits: number;
  /** One entry a question of the plan; null without a fit. */
  readonly answers: readonly (FloodAnswer | null)[];
}

export interface FloodAnswer {
  /** P(class) of each case of the flood in order (the share without a reading left out): probability[c·K + k]. */
  readonly probability: Float64Array;
  /** Share of the weight of each case that found no reading. */
  readonly missing: Float64Array;
  readonly paretoK: number;
  /** Effective share of the draws. */
  readonly effective: number;
}

/** The verdict's edges by one fit. */
export interface EdgesResult {
  readonly kind: 'edges';
  readonly id: string;
  readonly status: FitStatus;
  /** Visits that took part. */
  readonly visits: number;
  /** Empty without a fit. */
  readonly edges: readonly JudgedEdge[];
}

/** All that the fits of one relation told. */
export interface RelationRefits {
  /** Floods left out by fits of their own, at the chart's lead; null where a way could not be fitted or nobody gave a verdict. */
  readonly leftOut: Readonly<Record<Way, LeftOut | null>>;
  readonly leadCurve: JudgedLeadCurve | null;
  readonly without: JudgedObservers['without'];
  readonly influence: JudgedInfluence | null;
  readonly sensitivity: JudgedSensitivity | null;
  readonly before: readonly JudgedEdge[] | null;
  readonly after: readonly JudgedEdge[] | null;
  /** Plain sentences: what could not be fitted, and how often. */
  readonly problems: readonly string[];
}
