import type { Forecast } from '../../series/forecast.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { quantileSorted } from '../../kernel/quantile.js';
import type { LevelChart } from '../types.js';
import { FEWEST_LIKE } from './likeMoments.js';
import { seriesOf } from './readingSeries.js';

const HOUR = 3_600_000;

/** Forecasts of one flood err alike: the past ones that are counted were issued at least so far apart, and the newest count. */
const APART_MS = 12 * HOUR;
const MOST = 60;
/** Readings before its issue that a forecast goes on from: what a storage of a day and more still remembers. */
const BEFORE_MS = 14 * 24 * HOUR;

/** What an official forecast says of a moment: readings thought equally likely. */
export interface ForecastAt {
  readonly issuedMs: number;
  /** Past forecasts as far ahead whose error is known. */
  readonly past: number;
  /** 80 % of the past ones had ln(gauge / forecast) between these. */
  readonly off80: readonly [number, number];
  /** ln of the chart's own reading: the forecast, off as each of the past ones was, ascending (`past` of them). */
  readonly xs: readonly number[];
}

/**
 * The official forecast as the chart reads a gauge, with its own record of error: each past forecast is held, as far ahead, against what
 * the gauge then showed.
 *
 * @param forecasts those issued so far, the oldest first; the last one is the present one.
 * @returns for a time: null where the forecast does not reach it, or fewer than 12 past ones tell how far off it may be.
 */
export function forecastOf(
  level: LevelChart,
  record: GaugeRecord,
  forecasts: readonly Forecast[],
): (timeMs: number) => ForecastAt | null {
  const newest = forecasts.at(-1);
  if (newest === undefined) return () => null;
  const seen = seriesOf(level, record);
  const present = asRead(level, record, newest);
  const past = spaced(forecasts.filter(({ issuedMs }) => issuedMs <= newest.issuedMs - APART_MS)).map((one) => ({
    issuedMs: one.issuedMs,
    at: asRead(level, record, one),
  }));
  return (timeMs) => {
    const x = present(timeMs);
    if (!(x === x)) return null;
    const ahead = timeMs - newest.issuedMs;
    const off = Float64Array.from(past, ({ issuedMs, at }) => seen.at(issuedMs + ahead) - at(issuedMs + ahead))
      .filter((one) => one === one)
      .sort();
    if (off.length < FEWEST_LIKE) return null;
    const off80 = [quantileSorted(off, 0.1), quantileSorted(off, 0.9)] as const;
    return { issuedMs: newest.issuedMs, past: off.length, off80, xs: Array.from(off, (one) => x + one) };
  };
}

/** The newest ones, apart. */
function spaced(forecasts: readonly Forecast[]): readonly Forecast[] {
  const taken: Forecast[] = [];
  for (const one of [...forecasts].reverse())
    if (taken.length < MOST && (taken.at(-1)?.issuedMs ?? Infinity) - one.issuedMs >= APART_MS) taken.push(one);
  return taken;
}

/** The chart's own reading along a forecast: the readings before its issue, then its values, as one record. NaN outside. */
function asRead(level: LevelChart, record: GaugeRecord, { issuedMs, timesMs, values }: Forecast) {
  const from = record.timesMs.findIndex((timeMs) => timeMs >= issuedMs - BEFORE_MS);
  const to = record.timesMs.findLastIndex((timeMs) => timeMs <= issuedMs);
  const before = from < 0 || to < from ? { timesMs: [], values: [] } : known(record, from, to);
  const steps = timesMs.map((timeMs, i) => timeMs - (i === 0 ? issuedMs : timesMs[i - 1]!));
  const series = seriesOf(level, {
    ...record,
    timesMs: Float64Array.from([...before.timesMs, ...timesMs]),
    values: Float64Array.from([...before.values, ...values]),
    // Forecast values may stand further apart than a sensor's.
    maxGapMs: Math.max(record.maxGapMs, ...steps),
  });
  return (timeMs: number): number => (timeMs > issuedMs ? series.at(timeMs) : NaN);
}

function known({ timesMs, values }: GaugeRecord, from: number, to: number) {
  return { timesMs: timesMs.subarray(from, to + 1), values: values.subarray(from, to + 1) };
}
