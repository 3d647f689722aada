import type { FitDiagnostics, FitStatus, Link, ReadingWay } from '../fit/types.js';
import type { Estimate } from '../kernel/estimate.js';
import type { Measured } from '../judge/floodRatios.js';
import type { CreekTrust } from '../judge/judgement.js';
import type { Grade, TrustSummary } from '../judge/types.js';
import type { RecordJump } from '../series/gaugeRecord.js';
import type { GaugeUnit, Parameter } from '../series/units.js';
import type { WayDraws } from './day/onTheWay.js';
import type { Outlook } from './day/outlook.js';
import type { OutlookSkill } from './day/outlookSkill.js';
import type { SaidScore } from './day/saidScore.js';
import type { Season } from './day/season.js';

export { estimate } from '../kernel/estimate.js';
export type { CreekTrust, Judgement } from '../judge/judgement.js';
export type { Estimate, Grade, Interval, Skill, TrustCheck, TrustSummary } from '../judge/types.js';

/** How far to trust a creek's chart: what trust.json holds. */
export interface TrustFile extends CreekTrust {
  readonly provenance: Provenance;
}

/** The whole result for a creek: what chart.json holds. Numbers are unrounded unless a name says `rounded`. */
export interface CreekChart {
  readonly kind: 'creek-chart';
  readonly schema: 1;
  readonly creek: { readonly name: string; readonly timeZone: string };
  readonly runs: readonly RunChart[];
  readonly cautions: readonly string[];
  readonly provenance: Provenance;
  /** Count of input rows not used, by issue code; the rows themselves are in not-used.csv. */
  readonly notUsed: readonly { readonly code: string; readonly rows: number }[];
}

export interface RunChart {
  readonly id: string;
  readonly name: string;
  /** Verdict classes, lowest first. */
  readonly classes: readonly string[];
  readonly features: readonly {
    readonly id: string;
    readonly name: string;
    readonly classes: readonly string[];
    readonly unit?: string;
    readonly looks?: Readonly<Record<string, string>>;
  }[];
  /** Best first. */
  readonly gauges: readonly GaugeChart[];
  /** Id of the gauge to read: one of `gauges` with a usable grade and a level. Null where none is to be relied on. */
  readonly recommended: string | null;
  /** Where no gauge is to be relied on so many hours ahead: the longest shorter lead at which one still is, of those tried. */
  readonly shorterLead?: { readonly hours: number; readonly gaugeName: string; readonly grade: Grade };
  /** What was said on past days against what was logged; undefined where nothing was kept. */
  readonly said?: SaidScore;
  /** Where the verdict comes from when nobody gives one. */
  readonly verdictFrom?: string;
}

/**
 * How the reading of a derived gauge is worked out, each part read `hoursEarlier` before: Σ factor · reading, or scale · Π reading ^
 * factor. Factors (of a product the scale) take the parts' units with them.
 */
export interface GaugeParts {
  readonly combine: 'sum' | 'product';
  readonly scale: number;
  readonly of: readonly {
    readonly gauge: string;
    readonly name: string;
    readonly unit: GaugeUnit;
    readonly hoursEarlier: number;
    readonly factor: number;
  }[];
}

/** One run read from one gauge. */
export interface GaugeChart {
  readonly gauge: {
    readonly id: string;
    readonly name: string;
    readonly parameter: Parameter;
    readonly unit: GaugeUnit;
    readonly otherUnit: GaugeUnit;
    readonly distanceKm?: number;
    /** How a derived gauge is made up, since no station shows it; every `howToRead` ends with it. */
    readonly madeOf?: string;
    /** The same for whoever computes; undefined where a station shows the reading. */
    readonly parts?: GaugeParts;
    /** Reading at which nothing flows, for a stage gauge that knows it. */
    readonly zeroFlowStage?: number;
    /**
     * Where the record's unit or zero seems to have jumped; the chart is made without the readings before the last. Undefined where
     * nowhere.
     */
    readonly jumps?: readonly RecordJump[];
  };
  readonly trust: TrustSummary;
  /**
   * The chart, by the simplest way of reading that nothing clearly beats. Undefined when nothing could be fitted; `trust.grade` and
   * `status` say why.
   */
  readonly level?: LevelChart;
  /** The way of reading that was not taken; undefined where it could not be fitted or comes to the same instruction. */
  readonly other?: OtherWay;
  /**
   * Hours by which the gauge leads, over both signs: what the record says about who leads. A plan may use only what stands before it
   * (`level.reading`).
   */
  readonly lag: LagSummary;
  /** Storage of the effective reading, given the lags that a plan may use. */
  readonly storage: HoursPosterior;
  /** Joint posterior probability, rows = storages, columns = lags, of the whole grid (all lags). */
  readonly surface: {
    readonly lagsHours: readonly number[];
    readonly storagesHours: readonly number[];
    readonly probability: readonly (readonly number[])[];
  };
  readonly visits: readonly VisitMark[];
  readonly hydrograph: Hydrograph;
  /** How often each class comes over the record; undefined without a level. */
  readonly season?: Season;
  /** How the creek may go on from the last reading of the record, and how good such outlooks were; of the recommended gauge only. */
  readonly ahead?: { readonly outlook: Outlook; readonly skill: OutlookSkill | null };
  /** Edges of the any-lag fit (storage 0, both signs of lag): it confirms afterwards and is not for planning. */
  readonly confirmEdges: readonly Edge[];
}

/** The way of reading a gauge that its chart is not made by. */
export interface OtherWay {
  readonly way: ReadingWay;
  readonly howToRead: string;
  /** Against the logged frequencies, floods left out. */
  readonly skill: Measured;
  /** Its skill minus that of the chart's way, on the same floods. */
  readonly difference: Measured;
}

/** Posterior of a number of hours on a grid; probabilities sum to 1. */
export interface HoursPosterior extends Estimate {
  readonly hours: readonly number[];
  readonly probability: readonly number[];
}

export interface LagSummary extends HoursPosterior {
  /** e.g. `The gauge leads by 3 h (80 % interval: 1 h to 5 h).` */
  readonly sentence: string;
}

/** What each value of the gauge means, by one way of reading it. */
export interface LevelChart {
  readonly way: ReadingWay;
  readonly leadHours: number;
  readonly link: Link;
  readonly status: FitStatus;
  readonly statusSentence: string;
  /** One plain sentence, e.g. `Take the gauge's mean over the last 24 h.`, and for a derived gauge what it is made of. */
  readonly howToRead: string;
  /** The numbers behind the sentence. */
  readonly reading: { readonly lagHours: number; readonly storageHours: number };
  /** Edges of the verdict, then of every feature with classes. */
  readonly edges: readonly Edge[];
  /** The verdict's edges as things stand; absent without an estimate of what lasts. `edges` are those of any season. */
  readonly asOfToday?: AsOfToday;
  /** The verdict's edges if every day counted alike, not only those that people log; absent where the record can't tell. */
  readonly allDays?: AllDaysEdges;
  readonly ratings: readonly RatingSummary[];
  readonly odds: OddsTable;
  readonly sureRanges: readonly SureRange[];
  /** Gauge values between the lowest and highest visit; outside is `not seen`. */
  readonly seen: { readonly from: number; readonly to: number };
  readonly mismatch: Estimate;
  readonly blur: readonly ({ readonly feature: string; readonly sharesMismatch: boolean } & Estimate)[];
  readonly observers: readonly ({ readonly observer: string; readonly sightings: number } & Estimate)[];
  readonly limb: { readonly kept: boolean; readonly logBayesFactor: number; readonly hours?: Estimate };
  /** What turns sightings of a day into odds. */
  readonly onTheWay?: WayDraws;
  readonly diagnostics: FitDiagnostics;
}

/** The drift that the latest verdicts show, faded by its age to the record's last reading. */
export interface AsOfToday {
  /** Last visit, and the record's last reading. */
  readonly sinceMs: number;
  readonly nowMs: number;
  /** Visits in the 60 days before `nowMs`; from three on the drift is worth telling (`told`). */
  readonly visits60: number;
  readonly told: boolean;
  /** How much higher the creek stands than the gauge says, ln units, now. */
  readonly drift: Estimate;
  /** Shares of the mismatch's variance that a flood's visits share, and that drifts; ln evidence of both over none. */
  readonly floodShare: number;
  readonly driftShare: number;
  readonly logBayesFactor: number;
  /** Of the verdict, lowest first, in the gauge's unit. */
  readonly edges: readonly Estimate[];
}

/** See `allDaysEdges`; edges in the gauge's unit. */
export interface AllDaysEdges {
  readonly edges: readonly Estimate[];
  /** The lowest edge if days below it were logged a tenth as often as those above. */
  readonly lowestAtTenth: number;
  /** Rate of logging at the lowest edge over that when it runs. */
  readonly rateAtLowest: Estimate;
}

/**
 * Gauge value at which half of the days lie below the edge and half at or above it: P(class <= k) = 1/2. In the gauge's unit. Where a class
 * is narrow neither neighbour need be likely there: see `odds`.
 */
export interface Edge extends Estimate {
  /** Feature id or `verdict`. */
  readonly feature: string;
  readonly between: readonly [string, string];
  /** Rounded to the safer side in the gauge's unit, and that number in the other system's unit. */
  readonly rounded: number;
  readonly roundedOther: number;
  /** Digits after the point that `rounded` is to be shown with. */
  readonly digits: number;
  readonly digitsOther: number;
  /** Odds of each class of the feature at `rounded`, lowest class first. */
  readonly odds: readonly number[];
  /** False where fewer than one visit stands on one side: the edge comes from the prior. */
  readonly seenBothSides: boolean;
}

export interface RatingSummary {
  readonly feature: string;
  readonly unit: string;
  readonly form: 'power' | 'line';
  readonly base: Estimate;
  readonly exponent: Estimate;
  /**
   * Where the evidence asks for a second power law above a break: the gauge value it begins at (held, so without an interval), and its
   * exponent.
   */
  readonly upper?: { readonly from: number; readonly exponent: Estimate };
  /**
   * Sd of one reading around the curve, in the feature's unit; where it grows with the height above the base, at the gauge value
   * `noiseAtGauge`.
   */
  readonly noise: Estimate;
  readonly noiseForm: 'constant' | 'growing';
  readonly noiseAtGauge: number | null;
  /** Median and 80 % band of the feature's reading over the odds table's gauge values. */
  readonly median: readonly number[];
  readonly low80: readonly number[];
  readonly high80: readonly number[];
  /** 80 % band of one reading by the average observer, with mismatch and noise. */
  readonly readingLow80: readonly number[];
  readonly readingHigh80: readonly number[];
}

export interface OddsTable {
  readonly classes: readonly string[];
  /** Ascending, evenly spaced in x, in the gauge's unit (V values). */
  readonly gaugeValues: readonly number[];
  /** probability[v][k]; each row sums to 1. */
  readonly probability: readonly (readonly number[])[];
  /** 80 % band of the odds of each class over the draws, like `probability`. */
  readonly low80: readonly (readonly number[])[];
  readonly high80: readonly (readonly number[])[];
  /** P(class >= k+1) at 80 % band of the parameters is drawn from here: atLeast[k][v] median, low80, high80, for k = 0..K-2. */
  readonly atLeast: readonly {
    readonly median: readonly number[];
    readonly low80: readonly number[];
    readonly high80: readonly number[];
  }[];
}

/** The gauge values where a class has odds of at least 80 %. */
export interface SureRange {
  readonly class: string;
  readonly empty: boolean;
  readonly from: number | null;
  readonly to: number | null;
  readonly roundedFrom: number | null;
  readonly roundedTo: number | null;
  readonly roundedFromOther: number | null;
  readonly roundedToOther: number | null;
  readonly digits: number;
  readonly digitsOther: number;
  /** The best odds reached anywhere among the values seen. */
  readonly bestOdds: number;
  /** Plain sentence, also when empty. */
  readonly says: string;
}

export interface VisitMark {
  readonly visit: string;
  readonly timeMs: number;
  /** Reading by the chart's instruction, gauge unit; null where unmatched. */
  readonly reading: number | null;
  /** What the record itself shows at the lag of that reading: the place of a mark on the record's line. */
  readonly onRecord: number | null;
  /** Verdict class index, -1 where none was given. */
  readonly classIndex: number;
  readonly observer: string;
  readonly flood: number;
  readonly limb: 'rising' | 'steady' | 'falling';
  readonly sightings: readonly { readonly feature: string; readonly saw: string; readonly row: number }[];
}

export interface Hydrograph {
  /** Thinned so that peaks stay: at most 4000 points. null breaks the line at gaps. */
  readonly timesMs: readonly number[];
  readonly values: readonly (number | null)[];
}

/** What a chart was made from and by. */
export interface Provenance {
  readonly tool: 'sightstage';
  readonly version: string;
  readonly seed: number;
  readonly options: Readonly<Record<string, string | number | boolean>>;
  readonly files: readonly { readonly name: string; readonly sha256: string; readonly bytes: number }[];
  readonly approval: readonly {
    readonly gauge: string;
    readonly approved: number;
    readonly provisional: number;
    readonly unknown: number;
  }[];
}
