import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { allDaysEdges } from '../judge/allDays.js';
import { estimate, type Estimate } from '../kernel/estimate.js';
import { createRandom, splitSeed } from '../kernel/random.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { VERDICT } from '../series/visits.js';
import type { AllDaysEdges, AsOfToday } from './types.js';

/** The draws carry the seed of the chart; what is added to them needs none of its own. */
const SEED = 1;

const DAY = 86_400_000;

/** Days over which the latest verdicts are counted, and how many of them make a drift worth telling. */
const LATEST_DAYS = 60;
const ENOUGH = 3;

/**
 * The verdict's edges as things stand at the record's last reading: the drift at the last visit, faded by its age, taken off the edges of
 * any season. The longer ago, the nearer to those, and as wide.
 *
 * @returns null for a fit without lasting errors, without a verdict, or a record without readings.
 */
export function asOfToday(
  fit: LevelFit,
  { aligned, record }: { aligned: Aligned; record: GaugeRecord },
): AsOfToday | null {
  const { lasting } = fit;
  const verdict = fit.features.find(({ id }) => id === VERDICT);
  const nowMs = lastReadingMs(record);
  const sinceMs = aligned.visitTimesMs[aligned.visitTimesMs.length - 1];
  if (lasting === undefined || verdict === undefined || nowMs === undefined || sinceMs === undefined) return null;
  const age = Math.max(0, nowMs - sinceMs) / DAY;
  const random = createRandom(splitSeed(SEED, 'as of today'));
  const drift = lasting.atLast.map((at, d) => {
    const keep = Math.exp(-age / lasting.memoryDays[d]);
    return keep * at + lasting.sd[d] * Math.sqrt(1 - keep * keep) * random.normal();
  });
  const inner = verdict.classes.length - 1;
  const visits60 = aligned.visitTimesMs.filter((t) => t <= nowMs && t > nowMs - LATEST_DAYS * DAY).length;
  return Object.freeze({
    sinceMs,
    nowMs,
    visits60,
    told: visits60 >= ENOUGH,
    drift: estimate(drift),
    floodShare: lasting.floodShare,
    driftShare: lasting.driftShare,
    logBayesFactor: lasting.logBayesFactor,
    edges: Object.freeze(
      Array.from({ length: inner }, (_, k) =>
        estimate(drift.map((off, d) => fit.offset + Math.exp(verdict.edges[d * inner + k] - off))),
      ),
    ),
  });
}

/** `allDaysEdges` in the gauge's unit. */
export function allDaysOf(
  fit: LevelFit,
  { aligned, record }: { aligned: Aligned; record: GaugeRecord },
): AllDaysEdges | null {
  const found = allDaysEdges(fit, { aligned, record, seed: splitSeed(SEED, 'all days') });
  if (found === null) return null;
  const inUnit = (x: number): number => fit.offset + Math.exp(x);
  const both = ([low, high]: Estimate['i80']): Estimate['i80'] => [
    low === null ? null : inUnit(low),
    high === null ? null : inUnit(high),
  ];
  return Object.freeze({
    edges: Object.freeze(
      found.edges.map(({ median, i80, i95 }) => ({ median: inUnit(median), i80: both(i80), i95: both(i95) })),
    ),
    lowestAtTenth: inUnit(found.lowestAtTenth),
    rateAtLowest: found.rateAtLowest,
  });
}

function lastReadingMs({ timesMs, values }: GaugeRecord): number | undefined {
  let i = values.length - 1;
  while (i >= 0 && values[i] !== values[i]) i--;
  return timesMs[i];
}
