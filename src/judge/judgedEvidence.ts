import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { finiteInterval } from '../kernel/estimate.js';
import { quantile, quantileSorted } from '../kernel/quantile.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { ZoneClock } from '../series/time.js';
import { evidenceOf, type Evidence } from './evidence.js';
import { goodEdges } from './printedEdges.js';
import { gridPoint, visitX } from './gridPoint.js';
import { missingEvidence } from './missingEvidence.js';
import type { Interval } from './types.js';

const DAY = 86_400_000;

/** More readings than this say no more about months and spans. */
const READINGS_LOOKED_AT = 40_000;

/**
 * What a relation rests on, and what is missing.
 *
 * @param relation the visits, the record, and the fit of the better way of reading (null where nothing could be fitted): it says where the
 *   good range lies and at which lag and storage the visits' gauge values are taken.
 * @param clock clock of the creek's zone: months are those that people there call so.
 */
export function judgedEvidence(
  { aligned, record, fit }: { aligned: Aligned; record: GaugeRecord; fit: LevelFit | null },
  clock: ZoneClock,
): Evidence {
  const evidence = evidenceOf(aligned);
  const monthOf = (timeMs: number): number => new Date(timeMs + clock.offsetAt(timeMs)).getUTCMonth();
  const monthCounts = new Array<number>(12).fill(0);
  for (const timeMs of aligned.visitTimesMs) monthCounts[monthOf(timeMs)]++;
  const readings = thinned(record);
  const lastReadingMs = readings.length > 0 ? readings[readings.length - 1].timeMs : null;
  const ageDays =
    lastReadingMs === null || evidence.lastVisitMs === null
      ? null
      : Math.max(0, (lastReadingMs - evidence.lastVisitMs) / DAY);
  const logged = {
    ...evidence,
    ageDays,
    monthCounts,
    approvedShare: approvedShare(record.approval),
  };
  return {
    ...logged,
    span: visitSpan(aligned, fit),
    recordSpan: spanOf(Float64Array.from(readings, ({ value }) => value)),
    missing: missingEvidence(aligned, {
      ...logged,
      goodByMonth: fit === null ? null : goodByMonth(readings, { fit, monthOf }),
    }),
  };
}

/** Share of the readings approved by the agency; null where nothing is said of most of them. */
function approvedShare({ approved, provisional, unknown }: GaugeRecord['approval']): number | null {
  const known = approved + provisional;
  return known > unknown ? approved / (known + unknown) : null;
}

interface Reading {
  readonly timeMs: number;
  readonly value: number;
}

/** The record's readings, every so many of them where there are very many; the last one stays. */
function thinned({ timesMs, values }: GaugeRecord): Reading[] {
  const known: number[] = [];
  for (let i = 0; i < values.length; i++) if (values[i] === values[i]) known.push(i);
  const step = Math.max(1, Math.ceil(known.length / READINGS_LOOKED_AT));
  return known
    .filter((_, at) => (known.length - 1 - at) % step === 0)
    .map((i) => ({ timeMs: timesMs[i], value: values[i] }));
}

function spanOf(values: Float64Array): Interval {
  const sorted = values.slice().sort();
  return finiteInterval(quantileSorted(sorted, 0.05), quantileSorted(sorted, 0.95));
}

/** Lowest and highest gauge value of the visits, at the middle draw's lag and storage; without a fit at lag 0, storage 0. */
function visitSpan(aligned: Aligned, fit: LevelFit | null): Interval {
  if (aligned.visitIds.length === 0) return [null, null] as const;
  const point = gridPoint(
    aligned,
    fit === null
      ? { lagHours: 0, storageHours: 0 }
      : { lagHours: quantile(fit.draws.lagHours, 0.5), storageHours: quantile(fit.draws.storageHours, 0.5) },
  );
  let low = Infinity;
  let high = -Infinity;
  for (let visit = 0; visit < aligned.visitIds.length; visit++) {
    const x = visitX(aligned, { visit, point });
    if (!(x === x)) continue;
    const value = aligned.offset + Math.exp(x);
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return finiteInterval(low, high);
}

/** Share of each month's readings that lie in the good range; NaN for a month without readings. */
function goodByMonth(
  readings: readonly Reading[],
  { fit, monthOf }: { fit: LevelFit; monthOf: (timeMs: number) => number },
): Float64Array {
  const { lower, upper } = goodEdges(fit);
  const inside = new Float64Array(12);
  const all = new Float64Array(12);
  for (const { timeMs, value } of readings) {
    const month = monthOf(timeMs);
    all[month]++;
    if (value >= (lower?.median ?? -Infinity) && value <= (upper?.median ?? Infinity)) inside[month]++;
  }
  return inside.map((count, month) => count / all[month]);
}
