import type { Season } from '../chart/day/season.js';
import type { Measured } from '../judge/floodRatios.js';
import type { Grade, Interval } from '../judge/types.js';
import type { GaugeUnit } from '../series/units.js';

/**
 * The answer for one run, as data: what a reader needs before anything else. Numbers stand here rounded once, in the gauge's own unit, and
 * converted from there; every writer, the calculator and the card take them from here. Made by `answersOf`, which alone decides whether a
 * level is given.
 */
export interface RunAnswer {
  readonly run: { readonly id: string; readonly name: string };
  /** Null where no gauge gives a level; `refusal` then says why. */
  readonly reading: AnswerReading | null;
  readonly refusal: string | null;
  readonly grade: Grade;
  /**
   * On floods left out: how often the likeliest class was right, and how often the creek was higher than said. Null where the chart was not
   * judged.
   */
  readonly right: Measured | null;
  readonly higher: Measured | null;
  /** How often the run is good; null where the record does not tell of a whole year. */
  readonly season: Season | null;
  readonly visits: number;
  readonly floods: number;
  readonly lastVisitMs: number | null;
}

export interface AnswerReading {
  readonly gauge: string;
  readonly gaugeName: string;
  readonly unit: GaugeUnit;
  readonly otherUnit: GaugeUnit;
  /** One sentence: what to read, when. */
  readonly instruction: string;
  readonly leadHours: number;
  /** Every class, lowest first, with its own edges; null where it has none on that side. */
  readonly classes: readonly { readonly word: string; readonly from: number | null; readonly to: number | null }[];
  readonly edges: readonly AnswerEdge[];
  /** Where "good" has odds of at least 80 %; null where it is nowhere sure. */
  readonly sureGood: readonly [number, number] | null;
  /** Lowest and highest value that any visit has met, rounded inward. */
  readonly seen: readonly [number, number];
}

export interface AnswerEdge {
  readonly between: readonly [string, string];
  readonly value: number;
  readonly valueOther: number;
  readonly digits: number;
  readonly digitsOther: number;
  readonly i80: Interval;
  /** Odds of each class at the printed edge, lowest class first. */
  readonly odds: readonly number[];
  readonly seenBothSides: boolean;
}
