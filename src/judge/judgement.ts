import type { Link, ReadingWay, Way } from '../fit/types.js';
import type { Estimate, Interval } from '../kernel/estimate.js';
import type { GaugeUnit } from '../series/units.js';
import type { ObserverAgreement } from './agreement.js';
import type { FrontierRule } from './chooseRule.js';
import type { Evidence } from './evidence.js';
import type { Counted, Measured } from './floodRatios.js';
import type { RuleReach } from './judgedRules.js';
import type { Reliability } from './reliability.js';
import type { Rule, RuleCost } from './rule.js';
import type { Grade, Skill, TrustCheck } from './types.js';

export type { ReadingWay, Way } from '../fit/types.js';

/**
 * How far to trust one run against one gauge: the whole judgement, one entry of trust.json. Plain data for JSON: no typed arrays, no NaN;
 * null where something can't be said, and then a sentence says why.
 */
export interface Judgement {
  readonly kind: 'judgement';
  readonly run: string;
  readonly runName: string;
  readonly gauge: string;
  readonly gaugeName: string;
  readonly unit: GaugeUnit;
  /** Verdict classes, lowest first. */
  readonly classes: readonly string[];
  readonly leadHours: number;
  /**
   * The way that the chart is made by (see `chooseWay`), which everything below is about unless it says otherwise; null where nothing
   * could be fitted.
   */
  readonly way: ReadingWay | null;
  readonly grade: Grade;
  readonly reasons: readonly string[];
  /** At most three plain sentences, most useful first: what would make it better. */
  readonly improve: readonly string[];
  readonly checks: readonly TrustCheck[];
  /**
   * `full`: every flood left out by a fit of its own, lead curve, sensitivity. `quick`: floods left out by importance weights, and those
   * parts left away.
   */
  readonly depth: 'full' | 'quick';
  readonly evidence: Evidence;
  readonly scores: JudgedScores | null;
  readonly rules: JudgedRules | null;
  readonly leadCurve: JudgedLeadCurve | null;
  readonly observers: JudgedObservers;
  readonly shift: JudgedShift;
  readonly suspects: JudgedSuspects;
  readonly nextLook: JudgedNextLook | null;
  readonly influence: JudgedInfluence | null;
  readonly sensitivity: JudgedSensitivity | null;
}

export interface WayScore {
  readonly way: Way;
  /** Mean ranked probability score, of the classes' number minus one: lower is better. */
  readonly rps: Measured;
  readonly skill: Skill & {
    /** Against the same gauge read at the moment, without lag and storage; null for that way itself. */
    readonly againstNoLag: Measured | null;
  };
  /** Mean -ln of the odds of what was seen, nats. */
  readonly logScore: Measured;
  /** What the chart saves in log score against the logged frequencies. */
  readonly logGain: Measured;
}

export interface JudgedScores {
  /** How visits were grouped into floods, in a sentence. */
  readonly floodRule: string;
  readonly method: 'refits' | 'weights';
  /** Plain sentence about the dependability of the method; for weights with the worst k̂. */
  readonly methodSentence: string;
  readonly ways: readonly WayScore[];
  /** What the effective reading gains in skill over one reading, on the same floods; null where one of them could not be fitted. */
  readonly gain: Measured | null;
  readonly reliability: Omit<Reliability, 'kind'> & { readonly sentence: string };
  readonly sharpness: {
    readonly meanTop: Measured;
    readonly sure: Counted;
    readonly sureRight: Counted;
    readonly entropyBits: Measured;
    readonly loggedEntropyBits: Measured;
  };
  readonly confusion: {
    /** Verdicts by weight: rows what was said, columns what was seen, lowest class first. */
    readonly table: readonly (readonly number[])[];
    readonly right: Counted;
    readonly withinOne: Counted;
    /** The creek was higher than said: the direction that hurts. */
    readonly seenHigher: Counted;
    readonly seenLower: Counted;
  };
  /** How often the chart will be wrong, and in which direction: the paddler's answer in a sentence or two. */
  readonly sentence: string;
  /** One row a flood that holds a verdict. */
  readonly floods: readonly {
    readonly firstMs: number;
    readonly lastMs: number;
    readonly verdicts: number;
    readonly rps: number;
    readonly rpsFrequencies: number;
    /** k̂ of the weights that would stand for leaving it out. */
    readonly paretoK: number | null;
  }[];
}

/** A range to go by, and what it would have cost on the logged days. */
export interface JudgedRules {
  /** Share of days gone that may be found too high: the odds at neither end of the rule are above it. */
  readonly rate: number;
  /** `good`: the rule stays within the good range as the chart prints it. */
  readonly reach: RuleReach;
  /** The reading that the rule looks at. */
  readonly reading: { readonly lagHours: number; readonly storageHours: number };
  readonly chosen: {
    /** As printed, to `digits` decimals, in the gauge's unit. */
    readonly rule: Rule;
    readonly digits: number;
    /** The chart's odds of "too high" at either end. */
    readonly tooHighAtEnds: readonly [number, number];
    /** Of the logged days inside it, by which it was chosen. */
    readonly cost: JudgedCost;
    /** With the rule for each flood chosen without that flood: the honest figure. */
    readonly costLeftOut: JudgedCost;
  } | null;
  /** Cost of going within the sure range of good, where there is one. */
  readonly sureGood: { readonly rule: Rule; readonly cost: JudgedCost } | null;
  /** Rules that no other beats, between any two logged readings. */
  readonly frontier: readonly FrontierRule[];
  readonly sentence: string;
}

/** What a rule costs, in days, with intervals. */
export type JudgedCost = RuleCost;

/** Skill against the hours that one decides ahead. */
export interface JudgedLeadCurve {
  readonly points: readonly {
    readonly leadHours: number;
    readonly skill: Measured;
    /** What is lost of it against deciding at the first lead, on the same floods; left away there. */
    readonly loss?: Measured;
  }[];
  readonly sentence: string;
}

export interface JudgedObservers {
  readonly rows: readonly {
    readonly observer: string;
    readonly sightings: number;
    readonly visits: number;
    /** b_o, ln units of the gauge: positive, says a higher class than the others at the same water. */
    readonly biasMedian: number;
    readonly bias80: readonly [number, number];
    readonly bias95: readonly [number, number];
    /** Probability that the bias is above 0. */
    readonly above: number;
    readonly sentence: string;
  }[];
  readonly agreement: readonly {
    readonly feature: string;
    readonly name: string;
    readonly sharedVisits: number;
    /** Krippendorff's α (ordinal for classes, interval for numbers); null where it can't be worked out. */
    readonly alpha: number | null;
    readonly i80: Interval;
  }[];
  readonly pairs: ObserverAgreement['pairs'];
  /** The verdict's edges when one observer's sightings are left out (full depth only). */
  readonly without: readonly {
    readonly observer: string;
    readonly edges: readonly EdgeMove[];
    /** The largest move, in shares of the edge's 80 % interval. */
    readonly largestMove: number;
    readonly sentence: string;
  }[];
}

/** An edge of the verdict in two charts, gauge unit. */
export interface EdgeMove {
  readonly between: readonly [string, string];
  readonly from: number;
  readonly to: number;
  readonly i80: Interval;
  /** (ln to - ln from) over the ln width of the chart's own 80 % interval; on the offset scale for stage. */
  readonly move: number;
}

export interface JudgedShift {
  readonly status: 'judged' | 'too-few';
  readonly probability: number | null;
  readonly found: boolean;
  readonly pettittP: number | null;
  readonly step: {
    readonly betweenMs: readonly [number, number];
    readonly date80Ms: readonly [number, number];
    /** ln units of the gauge: positive, the creek now stands higher at the same reading. */
    readonly sizeMedian: number;
    readonly size80: readonly [number, number];
    readonly visitsBefore: number;
    readonly visitsAfter: number;
  } | null;
  /** State minus gauge of each visit with a reading, ascending in time. */
  readonly residuals: readonly { readonly visit: string; readonly timeMs: number; readonly residual: number }[];
  /** The verdict's edges by the visits before and after (full depth, and only where a shift was found). */
  readonly before: readonly JudgedEdge[] | null;
  readonly after: readonly JudgedEdge[] | null;
  readonly sentence: string;
}

/** An edge as one part of the log gives it. */
export interface JudgedEdge extends Estimate {
  readonly between: readonly [string, string];
}

/** Visits that look wrong, worst first. */
export interface JudgedSuspects {
  readonly judged: number;
  readonly rows: readonly {
    readonly visit: string;
    readonly timeMs: number;
    readonly rows: readonly number[];
    readonly observers: readonly string[];
    /** Probability that all is as written. */
    readonly sound: number;
    /** Likeliest explanation first, in words, with its probability. */
    readonly explanations: readonly {
      readonly kind: string;
      readonly sentence: string;
      readonly probability: number;
    }[];
  }[];
  readonly sentence: string;
}

export interface JudgedNextLook {
  /**
   * Expected shrinkage of the edges of the good range by one more verdict at each gauge value: 0.1, the intervals get 10 % narrower on
   * (geometric) average.
   */
  readonly byValue: readonly { readonly gaugeValue: number; readonly shrinkage: number }[];
  /** The same for one more sighting of a feature at its own best gauge value; the verdict first. */
  readonly byFeature: readonly {
    readonly feature: string;
    readonly name: string;
    readonly gaugeValue: number;
    readonly shrinkage: number;
  }[];
  /** The three most useful looks, in words. */
  readonly looks: readonly {
    readonly feature: string;
    readonly from: number;
    readonly to: number;
    readonly shrinkage: number;
    readonly sentence: string;
  }[];
}

export interface JudgedInfluence {
  /** One row an edge of the verdict: the visit whose leaving out moves it most. */
  readonly rows: readonly {
    readonly between: readonly [string, string];
    readonly visit: string;
    readonly timeMs: number;
    readonly rows: readonly number[];
    readonly from: number;
    readonly to: number;
    /** In shares of the edge's 80 % interval, on the ln scale. */
    readonly move: number;
    readonly method: 'refit' | 'weights';
    readonly sentence: string;
  }[];
}

/** How the edges move when a choice of the model is changed. */
export interface JudgedSensitivity {
  readonly variants: readonly {
    readonly variant: 'priors-half' | 'priors-double' | 'other-link' | 'other-interpolation';
    readonly says: string;
    readonly link: Link;
    readonly edges: readonly EdgeMove[];
    /** Largest |move| of its edges. */
    readonly largestMove: number;
    /** An edge moves by more than a quarter of its interval. */
    readonly flagged: boolean;
  }[];
  readonly sentence: string;
}

/** Everything in trust.json: the judgement of every run against every gauge, best first within a run. */
export interface CreekTrust {
  readonly kind: 'creek-trust';
  readonly schema: 1;
  readonly creek: { readonly name: string; readonly timeZone: string };
  /** How deeply it was asked to be judged; `first`: the answer is still being checked. */
  readonly depth: 'first' | 'quick' | 'full' | 'thorough';
  readonly runs: readonly { readonly id: string; readonly name: string; readonly gauges: readonly Judgement[] }[];
  readonly cautions: readonly string[];
}
