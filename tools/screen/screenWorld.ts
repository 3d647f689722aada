import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import type { Verdicts } from '../../src/judge/screen/screenPair.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { CLASSES, EDGE_POINTS, river, START, visitHours, type Season } from '../simulateSeasons/seasonWorld.js';

const HOUR = 3_600_000;
export const YEARS = 3;
const HOURS = YEARS * 8766;

/** The gauge of a river in a country with one season: its own weather, the calendar of all. */
export function countryGauge(id: string, { season, seed }: { season: Season; seed: number }): GaugeRecord {
  const values = river(createRandom(splitSeed(seed, id)), { season, hours: HOURS }).map((ln) => 5 * Math.exp(ln));
  return {
    kind: 'gauge-record',
    gauge: id,
    name: id,
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(values, (_, h) => START + h * HOUR),
    values,
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: HOURS },
    codes: {},
  };
}

/** ln of a creek hour by hour: a river of its own, or (`by`) what a gauge will show four hours later, and a third of a river of its own. */
function creekOf(random: Random, { season, by }: { season: Season; by?: GaugeRecord | undefined }): Float64Array {
  const own = river(random, { season, hours: HOURS });
  if (by === undefined) return own;
  return own.map((ln, h) => Math.log(by.values[Math.min(HOURS - 1, h + 4)]!) + 0.35 * ln);
}

/** The verdicts of one run, mostly written when it runs; blurred by 0.12. @param of.by the gauge that tells of the creek, if any does. */
export function countryLog(
  id: string,
  { season, seed, visits, by }: { season: Season; seed: number; visits: number; by?: GaugeRecord },
): Verdicts & { readonly classes: readonly string[] } {
  const random = createRandom(splitSeed(seed, `log ${id}`));
  const creek = creekOf(random, { season, by });
  const sorted = creek.slice().sort();
  const edges = EDGE_POINTS.map((point) => sorted[Math.floor(point * HOURS)]!);
  const hours = visitHours(random, { creek, from: edges[0]!, count: visits });
  return {
    classes: CLASSES,
    timesMs: hours.map((h) => START + h * HOUR),
    classIndex: hours.map((h) => edges.filter((edge) => creek[h]! + 0.12 * random.normal() > edge).length),
  };
}
