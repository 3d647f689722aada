import { otherSystemUnit, type GaugeUnit } from '../series/units.js';
import { meanWindowHours, type inflow } from '../align/effectiveSeries.js';
import { limbAsked } from './howToRead.js';
import type { oddsAt, seenOdds } from './figures/oddsAt.js';
import type { wholePercents } from './figures/wholePercents.js';
import type { GaugeChart, LevelChart } from './types.js';

/** Everything that turns numbers read at gauges into odds, as plain data: a page carries it as JSON. */
export interface Calculator {
  readonly unit: GaugeUnit;
  readonly otherUnit: GaugeUnit;
  /** Readings asked for, one a gauge, each with what becomes of it (as in `GaugeParts`). */
  readonly parts: readonly {
    readonly name: string;
    readonly unit: GaugeUnit;
    readonly otherUnit: GaugeUnit;
    readonly hoursEarlier: number;
    readonly factor: number;
  }[];
  readonly combine: 'sum' | 'product';
  readonly scale: number;
  readonly zeroFlow: number;
  /** Hours of a mean to be typed in beside the reading, half way between them; 0 where none is asked for. */
  readonly meanHours: number;
  /** Hours by which the change in one hour is multiplied and added; 0 where none is asked for. */
  readonly changeHours: number;
  /** Power of the ratio to the reading one hour earlier; 0 where none is asked for. */
  readonly limbHours: number;
  readonly log: boolean;
  readonly classes: readonly string[];
  readonly gaugeValues: readonly number[];
  readonly probability: readonly (readonly number[])[];
  readonly low80: readonly (readonly number[])[];
  readonly high80: readonly (readonly number[])[];
  readonly seen: { readonly from: number; readonly to: number };
  /** What the visits met, ascending, in the chart's own reading. */
  readonly visits: readonly number[];
}

/**
 * What a reading says, or why it says nothing. Percents are whole and sum to 100; `low` and `high` are the ends of their 80 % intervals.
 */
export type ReadingAnswer =
  | {
      readonly kind: 'odds';
      readonly percents: readonly number[];
      readonly low: readonly number[];
      readonly high: readonly number[];
      readonly likeliest: number;
      /** How many visits met a reading between `from` and `to`, a twentieth of the span seen on either side. */
      readonly near: { readonly visits: number; readonly from: number; readonly to: number };
    }
  | {
      readonly kind: 'not-seen';
      readonly side: 'above' | 'below';
      readonly end: number;
      /** At least (above) or at most (below) this class; -1 where even that is open. */
      readonly classIndex: number;
    }
  | { readonly kind: 'refused'; readonly why: 'not-a-number' | 'no-flow' | 'far-off' };

/** Storages closer to zero than this are read as the reading itself, as the sentence on how to read does. */
const NEGLIGIBLE_HOURS = 0.25;

/** The calculator of a chart: it asks for exactly the numbers that `howToRead` names. */
export function calculatorOf({ gauge, visits }: GaugeChart, level: LevelChart): Calculator {
  const { unit, otherUnit, parts } = gauge;
  const { storageHours } = level.reading;
  const own = { name: gauge.name, unit, hoursEarlier: 0, factor: 1 };
  return {
    unit,
    otherUnit,
    parts: (parts?.of ?? [own]).map(({ name, unit: partUnit, hoursEarlier, factor }) => ({
      name,
      unit: partUnit,
      otherUnit: otherSystemUnit(partUnit),
      hoursEarlier,
      factor,
    })),
    combine: parts?.combine ?? 'sum',
    scale: parts?.scale ?? 1,
    zeroFlow: gauge.zeroFlowStage ?? 0,
    meanHours: storageHours > NEGLIGIBLE_HOURS ? meanWindowHours(storageHours) : 0,
    changeHours: storageHours < -NEGLIGIBLE_HOURS ? -storageHours : 0,
    limbHours: limbAsked(level),
    log: gauge.parameter === 'discharge',
    classes: level.odds.classes,
    gaugeValues: level.odds.gaugeValues,
    probability: level.odds.probability,
    low80: level.odds.low80,
    high80: level.odds.high80,
    seen: level.seen,
    visits: visits.flatMap(({ reading }) => reading ?? []).sort((a, b) => a - b),
  };
}

/**
 * The chart's own reading from what gauges show, by the arithmetic of the fit.
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 * @param now a number for each part, in its unit. @param before the same one hour earlier, @param mean the same over the last
 *   `meanHours`; read only where the instruction asks for it.
 * @returns in the chart's unit; NaN where a number is missing or nothing flows.
 */
export function readingFrom(
  { parts, combine, scale, zeroFlow, meanHours, changeHours, limbHours }: Calculator,
  { now, before, mean }: { now: readonly number[]; before: readonly number[]; mean: readonly number[] },
  helpers: { readonly inflow: typeof inflow },
): number {
  const combined = (values: readonly number[]) =>
    parts.reduce(
      (total, { factor }, i) => (combine === 'sum' ? total + factor * values[i]! : total * values[i]! ** factor),
      combine === 'sum' ? 0 : scale,
    ) - zeroFlow;
  const q = combined(now);
  const smooth = meanHours > 0 ? 0.5 * q + 0.5 * combined(mean) : q;
  if (changeHours === 0 && limbHours === 0) return zeroFlow + smooth;
  const earlier = combined(before);
  const effective = changeHours > 0 ? helpers.inflow(q, q - earlier, changeHours) : smooth;
  return zeroFlow + (limbHours === 0 ? effective : effective * (q / earlier) ** limbHours);
}

/**
 * What a reading says: odds where visits have been, "not seen" outside, and a refusal for what no gauge shows.
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 */
export function answerReading(
  calculator: Calculator,
  value: number,
  helpers: {
    readonly oddsAt: typeof oddsAt;
    readonly seenOdds: typeof seenOdds;
    readonly wholePercents: typeof wholePercents;
  },
): ReadingAnswer {
  const { seen, gaugeValues, probability, visits, log, zeroFlow } = calculator;
  if (!Number.isFinite(value)) return { kind: 'refused', why: 'not-a-number' };
  if (log && !(value > zeroFlow)) return { kind: 'refused', why: 'no-flow' };
  const at = log ? Math.log : (x: number) => x;
  const back = log ? Math.exp : (x: number) => x;
  const span = Math.max(at(seen.to) - at(seen.from), log ? 0.2 : 1e-9);
  // Ten times what was ever met, or three spans away on a stage: a slip of the unit or of the point, not a river.
  const far = log ? Math.log(10) : 3 * span;
  if (at(value) > at(seen.to) + far || at(value) < at(seen.from) - far) return { kind: 'refused', why: 'far-off' };
  const { side, rows } = helpers.seenOdds(calculator, value, helpers);
  if (side !== 0) {
    const above = side > 0;
    const end = above ? seen.to : seen.from;
    const odds = helpers.oddsAt({ gaugeValues, probability }, end) ?? [];
    const order = above ? [...odds.keys()].reverse() : [...odds.keys()];
    let sum = 0;
    const classIndex = order.find((k) => (sum += odds[k]!) >= 0.5) ?? -1;
    return { kind: 'not-seen', side: above ? 'above' : 'below', end, classIndex };
  }
  const [odds, low80, high80] = rows as [number[], number[], number[]];
  const percents = helpers.wholePercents(odds);
  const from = back(at(value) - span / 20);
  const to = back(at(value) + span / 20);
  return {
    kind: 'odds',
    percents,
    low: low80.map((p, k) => Math.min(percents[k]!, Math.floor(100 * p))),
    high: high80.map((p, k) => Math.max(percents[k]!, Math.ceil(100 * p))),
    // Of equal ones the higher class: with water it is the one to be warned of.
    likeliest: percents.reduce((best, p, k) => (p >= percents[best]! ? k : best), 0),
    near: { visits: visits.filter((visit) => visit >= from && visit <= to).length, from, to },
  };
}
