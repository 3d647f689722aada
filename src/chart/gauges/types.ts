import type { LoggerDoubt } from '../../fit/logger/loggerDoubt.js';
import type { CombinedPart, GaugeRanking } from '../../judge/gauges/types.js';
import type { Interval } from '../../judge/types.js';
import type { GaugeUnit } from '../../series/units.js';
import type { ReadingWay } from '../../fit/types.js';
import type { Edge, Estimate, Provenance, RatingSummary } from '../types.js';

/**
 * Which gauge to read for each run, and what else than visits tells of it: what gauges.json holds. Plain data for JSON: no typed arrays,
 * no NaN; null where something can't be said, and then a sentence says why.
 */
export interface CreekGauges {
  readonly kind: 'creek-gauges';
  readonly schema: 1;
  readonly creek: { readonly name: string; readonly timeZone: string };
  /** In the order of creek.json. */
  readonly runs: readonly RunGauges[];
  readonly cautions: readonly string[];
  readonly provenance: Provenance;
}

export interface RunGauges {
  readonly id: string;
  readonly name: string;
  /**
   * All candidates, single, derived and combined, by one score on the same floods; null with fewer than one gauge that could be fitted.
   */
  readonly ranking: GaugeRanking | null;
  /** Why there is no ranking; null where there is one. */
  readonly noRanking: string | null;
  /**
   * What to say beside the choice where its own chart, if it has one, is not for use; null where it is, where nothing is chosen, and where
   * `combined` carries a caution of its own.
   */
  readonly chosenCaution: string | null;
  /** How to read the chosen gauge where it is a combined one, which has no chart of its own; null else. */
  readonly combined: CombinedReading | null;
  /** One a logger that stood at this run. */
  readonly loggers: readonly LoggerReport[];
  /** One a gauge of the run that is fitted, in the order of creek.json: the lag in depth. */
  readonly lags: readonly LagReport[];
  /** One a numeric feature of the run. */
  readonly staffs: readonly StaffReport[];
}

/** A combined gauge that was chosen: read each gauge at its own time, and take the weighted mean of the logarithms. */
export interface CombinedReading {
  readonly id: string;
  readonly name: string;
  readonly howToRead: string;
  /** The numbers behind the sentence: weights that sum to 1, lag and storage of each part. */
  readonly parts: readonly CombinedPart[];
  readonly unit: GaugeUnit;
  /** Edges of the verdict on the weighted geometric mean. */
  readonly edges: readonly Edge[];
  /** Lowest and highest mean of any visit: outside nothing is known. */
  readonly seen: { readonly from: number; readonly to: number };
  /** Whether any of its gauges is for use by itself. */
  readonly aloneUsable: boolean;
  /**
   * What every output says beside the edges: that they have no grade, and where no gauge is for use by itself, that they are not for
   * going.
   */
  readonly caution: string;
}

export interface LoggerReport {
  readonly id: string;
  readonly name: string;
  readonly unit: GaugeUnit;
  readonly kmFromPutIn: number | null;
  /** First and last level; null where its file could not be read. */
  readonly fromMs: number | null;
  readonly toMs: number | null;
  /** In the order of creek.json. */
  readonly gauges: readonly LoggerGauge[];
}

/** One logger explained by one official gauge. */
export interface LoggerGauge {
  readonly gauge: string;
  readonly gaugeName: string;
  readonly status: 'converged' | 'too-few-rows' | 'constant-gauge' | 'constant-logger';
  /** Lag, storage and how sure, in words; or why there is none. */
  readonly sentence: string;
  /** Why its lag and storage have no say in the visits', which the sentence tells in words; null where they may, and without a fit. */
  readonly doubt: LoggerDoubt;
  /** Hours; null without a fit. */
  readonly lag: Estimate | null;
  readonly storage: Estimate | null;
  readonly form: 'power' | 'line' | null;
  readonly explained: number | null;
  readonly residualSd: number | null;
  readonly floods: number;
  readonly rows: number;
  readonly effectiveRows: number | null;
  /** The gauge's reading carried to the logger, beside what it showed, thinned to at most 1500 times; null breaks a line. */
  readonly levels: {
    readonly timesMs: readonly number[];
    readonly seen: readonly (number | null)[];
    readonly expected: readonly (number | null)[];
    readonly low80: readonly (number | null)[];
    readonly high80: readonly (number | null)[];
  } | null;
  /** Correlation of the changes of both; null where too few. */
  readonly ccf: {
    readonly lagsHours: readonly number[];
    readonly correlation: readonly (number | null)[];
    readonly band: number;
    readonly peakLagHours: number;
  } | null;
  /** The visits' lag and storage without and with the logger (the chart's are with); null where the visits were not fitted. */
  readonly withVisits: {
    readonly lagAlone: Estimate;
    readonly lagWith: Estimate;
    readonly storageAlone: Estimate;
    readonly storageWith: Estimate;
    readonly sentence: string;
  } | null;
}

export interface LagReport {
  readonly gauge: string;
  readonly gaugeName: string;
  /** What the distance says of the lag; null where creek.json does not say how the gauge lies to the run. */
  readonly travel: {
    readonly lengthKm: number;
    readonly lies: 'upstream' | 'downstream';
    readonly tracerHours: Interval;
    readonly waveHours: Interval;
    /** Does the lag found go with these times? null where no lag was found. */
    readonly lagGoes: boolean | null;
    readonly sentence: string;
  } | null;
  /**
   * Does the lag shorten as the flow grows? null where it was not asked: only gauges of a usable grade that lead by more than the lead
   * are, and no derived ones.
   */
  readonly flow: {
    readonly visits: number;
    readonly flowAt: number;
    readonly unit: GaugeUnit;
    readonly lag: Estimate;
    readonly exponent: Estimate;
    readonly logBayesFactor: number;
    readonly kept: boolean;
    readonly sentence: string;
  } | null;
}

export interface StaffReport {
  readonly feature: string;
  readonly name: string;
  readonly unit: string;
  /** Readings on visits with a verdict: what the staff read for each class, lowest class first. */
  readonly classes: readonly {
    readonly word: string;
    readonly readings: readonly number[];
    readonly median: number | null;
  }[];
  /** The staff's rating in the level model, for each gauge that fitted one. */
  readonly gauges: readonly StaffRating[];
  readonly sentence: string;
}

/** A staff on the creek against a gauge, read as its chart does, from the visits' fit. */
export interface StaffRating {
  readonly gauge: string;
  readonly gaugeName: string;
  readonly unit: GaugeUnit;
  readonly way: ReadingWay;
  readonly form: 'power' | 'line';
  /** Where two power laws meet: the gauge value of the break and the exponent above it; null for one curve. */
  readonly upper: NonNullable<RatingSummary['upper']> | null;
  /** Why this form. */
  readonly formSentence: string;
  /** Does the scatter grow with the reading? By evidence, in words. */
  readonly noiseSentence: string;
  /** Reading at no flow: median, intervals, one-sided bound; null for a line. */
  readonly offset: (Estimate & { readonly below95: number; readonly sentence: string }) | null;
  /** Ascending, in the gauge's unit (V), with the staff's median, the 80 % band of the curve and that of one reading. */
  readonly gaugeValues: readonly number[];
  readonly median: readonly number[];
  readonly curve80: readonly Interval[];
  readonly reading80: readonly Interval[];
  /** One a visit with a reading of the staff: reading of the gauge, what the staff read, what was expected there. */
  readonly points: readonly {
    readonly visit: string;
    readonly gaugeValue: number;
    readonly staff: number;
    readonly expected: number;
  }[];
}
