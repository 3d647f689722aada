import type { Forecast } from '../../series/forecast.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { oddsAt, seenOdds } from '../figures/oddsAt.js';
import type { LevelChart } from '../types.js';
import { forecastOf } from './forecast.js';
import { FEWEST_LIKE, likeMoments, type LikeMoment } from './likeMoments.js';
import { readingSeries, seriesOf, type ReadingSeries } from './readingSeries.js';

const HOUR = 3_600_000;

/** A reading older than this many hours tells of another day. */
export const STALE_HOURS = 24;

/** What the newest readings say of the creek at the time of arrival. */
export interface OddsNow {
  readonly kind: 'odds-now';
  readonly classes: readonly string[];
  readonly arrivalMs: number;
  /**
   * The newest reading before the arrival, gauge unit, and when it was taken: newer than the one asked for, perhaps. Null where there is
   * none.
   */
  readonly newest: { readonly timeMs: number; readonly value: number } | null;
  /** When the reading that the chart asks for is taken. */
  readonly askedMs: number;
  /**
   * The chart's own reading then, gauge unit, with an 80 % interval where the gauge had to be carried forward; null where nothing can be
   * said.
   */
  readonly reading: { readonly value: number; readonly i80: readonly [number, number] } | null;
  /** Hours by which the newest reading was carried forward, by past moments like it; 0: it is the reading asked for. */
  readonly carriedHours: number;
  /** How many past moments like this one, or past forecasts, carried it. */
  readonly like: number;
  /** When the official forecast that carried it was issued; null where past moments did. */
  readonly forecastMs: number | null;
  /** Change of ln reading over three hours: above 0 it rises. From the readings of the last six hours at most; null where there is one. */
  readonly change: number | null;
  /** Odds of each class at arrival, lowest first; they sum to 1 - notSeen. Null where nothing can be said. */
  readonly odds: readonly number[] | null;
  /** The part of the odds' 80 % intervals that comes from the chart. */
  readonly low80: readonly number[] | null;
  readonly high80: readonly number[] | null;
  /**
   * The odds, were the reading a tenth lower or higher above zero flow: as far off as a late or provisional one may well be (common
   * practice).
   */
  readonly ifOff: { readonly lower: readonly number[] | null; readonly higher: readonly number[] | null };
  /** Share of the readings thought possible that no visit has met, below and above. */
  readonly notSeen: { readonly below: number; readonly above: number };
  /** Why nothing is said, or null. */
  readonly why: 'no-reading' | 'stale' | 'not-seen' | 'nothing-like-it' | null;
}

/**
 * Odds of each class at the time of arrival from the newest readings of a gauge.
 *
 * The chart asks for the reading `lagHours` before arrival. Where that moment has not come yet, the newest reading is carried forward as
 * past moments like it went on (`likeMoments`), or as the official forecast says, off as past ones were; the odds are averaged over them.
 *
 * @param level the chart. @param record the gauge's record; its last reading is the newest. @param options.arrivalMs UTC ms.
 * @param options.forecasts official ones of the gauge, by time of issue. @param options.leave past moments to be passed over.
 * @returns always an answer; `why` says why there are no odds. Readings outside what visits have met add to `notSeen` and to no class.
 * @throws RangeError for an arrival that is no time.
 * @example oddsNow(chart.level, record, { arrivalMs: Date.parse('2024-05-04T10:00Z') })
 */
export function oddsNow(
  level: LevelChart,
  record: GaugeRecord,
  {
    arrivalMs,
    leave,
    forecasts = [],
  }: { arrivalMs: number; leave?: (timeMs: number) => boolean; forecasts?: readonly Forecast[] },
): OddsNow {
  if (!Number.isFinite(arrivalMs)) throw new RangeError(`oddsNow: arrivalMs must be a time, got ${arrivalMs}`);
  const { lagHours } = level.reading;
  const series = seriesOf(level, record);
  const askedMs = arrivalMs - lagHours * HOUR;
  const nowMs = newestBefore(series, askedMs);
  const answer = { ...NOTHING, classes: level.odds.classes, arrivalMs, askedMs };
  if (nowMs === null) return { ...answer, why: 'no-reading' };
  const plain = readingSeries(record, { storageHours: 0 });
  const latestMs = newestBefore(plain, arrivalMs) ?? nowMs;
  const carriedHours = (askedMs - nowMs) / HOUR;
  const known = {
    ...answer,
    newest: { timeMs: latestMs, value: plain.offset + Math.exp(plain.at(latestMs)) },
    change: changeAt(plain, latestMs),
    carriedHours,
  };
  if (carriedHours > STALE_HOURS) return { ...known, why: 'stale' };
  const oddsOf = (of: readonly number[]) => {
    const off = (by: number) =>
      meanOdds(
        level,
        of.map((x) => x + by),
        series.offset,
      ).odds;
    return { ...meanOdds(level, of, series.offset), ifOff: { lower: off(-TENTH), higher: off(TENTH) } };
  };
  const officialAt = forecastOf(
    level,
    record,
    forecasts.filter(({ issuedMs }) => issuedMs < askedMs),
  );
  const official = carriedHours > 0 ? officialAt(askedMs) : null;
  if (official !== null) {
    const { issuedMs, past, xs } = official;
    return { ...known, like: past, forecastMs: issuedMs, ...oddsOf(xs) };
  }
  const like = carriedHours > 0 ? likeMoments(series, { nowMs, ...(leave && { leave }) }) : [];
  const xs = carriedHours > 0 ? carried(series, { nowMs, hours: carriedHours, like }) : [series.at(nowMs)];
  if (carriedHours > 0 && xs.length < FEWEST_LIKE) return { ...known, like: xs.length, why: 'nothing-like-it' };
  return { ...known, like: carriedHours > 0 ? xs.length : 0, ...oddsOf(xs) };
}

const NOTHING = {
  kind: 'odds-now' as const,
  newest: null,
  reading: null,
  carriedHours: 0,
  like: 0,
  forecastMs: null,
  change: null,
  odds: null,
  low80: null,
  high80: null,
  ifOff: { lower: null, higher: null },
  notSeen: { below: 0, above: 0 },
};

const TENTH = Math.log(1.1);

/** Hours over which water is said to rise or fall; readings up to twice as long ago tell. */
const LIMB_HOURS = 3;

/** Change of x over three hours, from the reading nearest to three hours before among those of the last six. */
function changeAt({ timesMs, x, at }: ReadingSeries, nowMs: number): number | null {
  const whole = at(nowMs) - at(nowMs - LIMB_HOURS * HOUR);
  if (whole === whole) return whole;
  const off = (i: number) => Math.abs(nowMs - LIMB_HOURS * HOUR - timesMs[i]!);
  const before = Array.from(timesMs.keys())
    .filter((i) => timesMs[i]! < nowMs && timesMs[i]! >= nowMs - 2 * LIMB_HOURS * HOUR && x[i] === x[i])
    .reduce<number | null>((best, i) => (best === null || off(i) < off(best) ? i : best), null);
  if (before === null) return null;
  return ((at(nowMs) - x[before]!) * LIMB_HOURS * HOUR) / (nowMs - timesMs[before]!);
}

/** The time asked for where it has a reading, else that of the last reading before it. */
function newestBefore({ timesMs, x, at }: ReadingSeries, askedMs: number): number | null {
  const asked = at(askedMs);
  if (asked === asked) return askedMs;
  for (let i = timesMs.length - 1; i >= 0; i--) if (timesMs[i] <= askedMs && x[i] === x[i]) return timesMs[i];
  return null;
}

/** x after some hours, as each of the like moments went on; those that run into a gap are left out. */
export function carried(
  { at }: ReadingSeries,
  { nowMs, hours, like }: { nowMs: number; hours: number; like: readonly LikeMoment[] },
): readonly number[] {
  const x0 = at(nowMs);
  return like
    .map(({ timeMs, x }) => x0 + at(timeMs + hours * HOUR) - x)
    .filter((x) => x === x)
    .sort((a, b) => a - b);
}

/** Odds averaged over readings thought equally likely (ascending ln values). */
export function meanOdds(
  { odds, seen }: LevelChart,
  xs: readonly number[],
  offset: number,
): Pick<OddsNow, 'reading' | 'odds' | 'low80' | 'high80' | 'notSeen' | 'why'> {
  const table = { ...odds, seen };
  const sums = [0, 1, 2].map(() => new Array<number>(odds.classes.length).fill(0));
  let below = 0;
  let above = 0;
  for (const x of xs) {
    const { side, rows } = seenOdds(table, offset + Math.exp(x), { oddsAt });
    if (side < 0) below += 1 / xs.length;
    else if (side > 0) above += 1 / xs.length;
    else rows.forEach((row, r) => row.forEach((p, k) => (sums[r][k] += p / xs.length)));
  }
  const at = (share: number) => offset + Math.exp(xs[Math.round(share * (xs.length - 1))]);
  const reading = { value: at(0.5), i80: [at(0.1), at(0.9)] as const };
  const [mean, low80, high80] = sums;
  return below + above > 1 - 1e-9
    ? { reading, odds: null, low80: null, high80: null, notSeen: { below, above }, why: 'not-seen' }
    : { reading, odds: mean, low80, high80, notSeen: { below, above }, why: null };
}
