import { goodClasses } from '../../judge/goodClasses.js';
import { brierParts, type BrierParts } from '../../kernel/brier.js';
import { quantileSorted } from '../../kernel/quantile.js';
import { createRandom } from '../../kernel/random.js';
import { rankedProbabilityScore } from '../../kernel/rps.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { VERDICT } from '../../series/visits.js';
import type { LevelChart } from '../types.js';
import { FEWEST_LIKE, likeMoments } from './likeMoments.js';
import { carried } from './oddsNow.js';
import { seriesOf, type ReadingSeries } from './readingSeries.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const YEAR = 365.2425 * DAY;

/** Hours ahead at which an outlook is scored. */
export const SKILL_HOURS: readonly number[] = [3, 6, 12, 24, 36, 48, 72];
/** Past moments that are looked ahead from, at most, evenly over the record; fewer scored ones than `FEWEST` say nothing. */
const MOMENTS = 150;
const FEWEST = 30;
/** The season: moments of other years within so many days of the same day of the year, every so many days. */
const SEASON = { days: 30, everyDays: 3 };
const RESAMPLES = 400;
/** Odds of good are binned to tenths for the parts of the Brier score. */
const BINS = 10;

/** Share of a base's score that is taken away, with an 80 % interval from resampling moments by month. */
export interface OutlookGain {
  readonly value: number;
  readonly i80: readonly [number, number];
}

/** How good an outlook was at past moments of years held out. */
export interface OutlookSkill {
  readonly kind: 'outlook-skill';
  readonly leads: readonly {
    readonly hours: number;
    readonly moments: number;
    /** Mean ranked probability scores of the outlook, of the class staying as it is, and of the season in the other years. */
    readonly rps: { readonly outlook: number; readonly persistence: number; readonly season: number };
    readonly againstPersistence: OutlookGain;
    readonly againstSeason: OutlookGain;
    /** Odds of good, to tenths, against how often it was good. */
    readonly good: BrierParts;
  }[];
  /** The longest lead up to which the outlook is better than the season with 90 % confidence; null where it is at none. */
  readonly usefulHours: number | null;
}

/**
 * Outlooks made at past moments from the other years alone, against what the gauge then showed: the class between the chart's edges. What
 * the chart itself does not know of the creek is no part of it; `trust` says that.
 *
 * @returns null where the record is too short to hold a year out.
 * @example outlookSkill(chart.level, record)?.usefulHours
 */
export function outlookSkill(level: LevelChart, record: GaugeRecord): OutlookSkill | null {
  const series = seriesOf(level, record);
  const edges = level.edges
    .filter(({ feature }) => feature === VERDICT)
    .map(({ median }) => Math.log(median - series.offset));
  if (series.timesMs.length === 0 || edges.some((edge) => !(edge === edge))) return null;
  const cases = momentsOf(series).map((nowMs) => forecastsAt(series, { nowMs, edges }));
  const [lowest, highest] = goodClasses(level.odds.classes);
  const isGood = (k: number) => k >= lowest && k <= highest;
  const leads = SKILL_HOURS.flatMap((hours, h) => {
    const known = cases.flatMap((one) => (one[h] === null ? [] : [one[h]]));
    if (known.length < FEWEST) return [];
    const scores = (key: 'outlook' | 'persistence' | 'season') =>
      known.map((one) => rankedProbabilityScore(one[key], one.seen));
    const [outlook, persistence, season] = [scores('outlook'), scores('persistence'), scores('season')];
    const months = known.map(({ nowMs }) => Math.floor(nowMs / (YEAR / 12)));
    const odds = known.map((one) => one.outlook.reduce((sum, p, k) => sum + (isGood(k) ? p : 0), 0));
    return [
      {
        hours,
        moments: known.length,
        rps: { outlook: mean(outlook), persistence: mean(persistence), season: mean(season) },
        againstPersistence: gainOf(outlook, persistence, months),
        againstSeason: gainOf(outlook, season, months),
        good: brierParts(
          odds.map((p) => Math.round(p * BINS) / BINS),
          known.map(({ seen }) => (isGood(seen) ? 1 : 0)),
        ),
      },
    ];
  });
  if (leads.length === 0) return null;
  const firstBad = leads.findIndex(({ againstSeason }) => !(againstSeason.i80[0] > 0));
  const useful = firstBad < 0 ? leads.length : firstBad;
  return { kind: 'outlook-skill', leads, usefulHours: useful === 0 ? null : leads[useful - 1].hours };
}

/** Moments evenly over the record that have a reading. */
function momentsOf({ timesMs, at }: ReadingSeries): readonly number[] {
  const [from, to] = [timesMs[0], timesMs[timesMs.length - 1] - SKILL_HOURS[0] * HOUR];
  const step = Math.max(3 * DAY, (to - from) / MOMENTS);
  const moments: number[] = [];
  for (let timeMs = from + 12 * HOUR; timeMs <= to; timeMs += step) if (at(timeMs) === at(timeMs)) moments.push(timeMs);
  return moments;
}

interface Forecast {
  readonly nowMs: number;
  readonly outlook: readonly number[];
  readonly persistence: readonly number[];
  readonly season: readonly number[];
  readonly seen: number;
}

/** At one moment, for each lead: the odds of the classes by the outlook and by both bases, and the class that came. */
function forecastsAt(
  series: ReadingSeries,
  { nowMs, edges }: { nowMs: number; edges: readonly number[] },
): readonly (Forecast | null)[] {
  const leave = (timeMs: number) => Math.abs(timeMs - nowMs) < YEAR / 2;
  const like = likeMoments(series, { nowMs, leave });
  const classOf = (x: number) => edges.filter((edge) => x >= edge).length;
  const oddsOf = (xs: readonly number[]) => {
    const odds = new Array<number>(edges.length + 1).fill(0);
    for (const x of xs) odds[classOf(x)] += 1 / xs.length;
    return odds;
  };
  const now = oddsOf([series.at(nowMs)]);
  return SKILL_HOURS.map((hours) => {
    const seen = series.at(nowMs + hours * HOUR);
    const xs = carried(series, { nowMs, hours, like });
    const season = seasonAt(series, { timeMs: nowMs + hours * HOUR, leave });
    if (!(seen === seen) || xs.length < FEWEST_LIKE || season.length < FEWEST_LIKE) return null;
    return { nowMs, outlook: oddsOf(xs), persistence: now, season: oddsOf(season), seen: classOf(seen) };
  });
}

/** Readings of other years around the same day of the year, at the same hour. */
function seasonAt(
  { timesMs, at }: ReadingSeries,
  { timeMs, leave }: { timeMs: number; leave: (timeMs: number) => boolean },
): readonly number[] {
  const first = Math.floor((timesMs[0] - timeMs) / YEAR);
  const last = Math.ceil((timesMs[timesMs.length - 1] - timeMs) / YEAR);
  const found: number[] = [];
  for (let year = first; year <= last; year++)
    for (let day = -SEASON.days; day <= SEASON.days; day += SEASON.everyDays) {
      const other = timeMs + Math.round((year * YEAR) / DAY) * DAY + day * DAY;
      const x = leave(other) ? NaN : at(other);
      if (x === x) found.push(x);
    }
  return found;
}

const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;

/** 1 - Σ ours/Σ theirs; its interval from drawing whole months anew. */
function gainOf(ours: readonly number[], theirs: readonly number[], months: readonly number[]): OutlookGain {
  const ids = [...new Set(months)];
  const sums = ids.map((id) => {
    const own = months.flatMap((month, i) => (month === id ? [i] : []));
    const sum = (of: readonly number[]) => own.reduce((total, i) => total + of[i], 0);
    return [sum(ours), sum(theirs)] as const;
  });
  const random = createRandom(1);
  const gain = (pick: (i: number) => number) => {
    let [a, b] = [0, 0];
    for (let i = 0; i < sums.length; i++) {
      const [one, other] = sums[pick(i)];
      [a, b] = [a + one, b + other];
    }
    // Both without a fault: neither gains. Far below zero all are equally useless.
    return a === b ? 0 : Math.max(-1, 1 - a / b);
  };
  const drawn = Float64Array.from({ length: RESAMPLES }, () => gain(() => random.integer(sums.length))).sort();
  return { value: gain((i) => i), i80: [quantileSorted(drawn, 0.1), quantileSorted(drawn, 0.9)] };
}
