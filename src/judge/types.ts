/** Lower and upper bound; `null` where there is none (JSON has no infinity). */
export type Interval = readonly [number | null, number | null];

/** How far a chart is to be trusted, in plain words. */
export type Grade = 'too thin' | 'no usable relation' | 'rough guide' | 'fair guide' | 'good guide';

/** What is known so far about how far to trust the chart. */
export interface TrustSummary {
  readonly grade: Grade;
  readonly reasons: readonly string[];
  readonly visits: number;
  readonly floods: number;
  /** UTC; null without visits. */
  readonly firstVisitMs: number | null;
  readonly lastVisitMs: number | null;
  /** Count of visits in each verdict class. */
  readonly classCounts: readonly number[];
  /** Ranked probability skill with floods left out, effective / one reading, against how often each class was logged, and against the month. */
  readonly skill: {
    readonly effective: SkillEstimate | null;
    readonly oneReading: SkillEstimate | null;
  };
  readonly checks: readonly TrustCheck[];
  /** Share of readings approved by the agency; null where the file does not say. */
  readonly approvedShare: number | null;
}

/** Skill against a base, with its interval from floods drawn anew. */
export interface SkillEstimate {
  readonly againstFrequencies: number;
  readonly againstFrequencies80: Interval;
  readonly againstMonth: number;
  readonly againstMonth80: Interval;
}

/** One check of the grade: what was found, what is asked for, and what failing it caps the grade at. */
export interface TrustCheck {
  readonly check: string;
  readonly statistic: number | null;
  readonly operator: '>=' | '<=' | '>' | '<';
  readonly threshold: number;
  readonly unit: string;
  readonly pass: boolean;
  readonly essential: boolean;
  readonly comment: string;
}
