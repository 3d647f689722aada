import { alignVisits } from '../../src/align/alignVisits.js';
import type { Aligned } from '../../src/align/types.js';
import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT, type Visit } from '../../src/series/visits.js';

const HOUR = 3_600_000;
export const START = Date.UTC(2018, 0, 1);
const YEAR_HOURS = 8766;
export const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];
/** Points of all the creek's hours where one class ends. */
export const EDGE_POINTS = [0.4, 0.6, 0.82, 0.95];

/** One hump of melt in early summer, or a wet third of the year. */
export type Season = 'snowmelt' | 'monsoon';

export interface SeasonOptions {
  readonly season: Season;
  readonly seed: number;
  readonly visits: number;
  readonly years: number;
  /** Lags and storages to align on, hours. */
  readonly lagsHours?: readonly number[];
  readonly storagesHours?: readonly number[];
}

export interface SeasonWorld {
  readonly aligned: Aligned;
  readonly record: GaugeRecord;
  /** ln state of the creek at the visits. */
  readonly creekLn: Float64Array;
}

/**
 * Two rivers under one climate and two weathers: hour by hour, ln of each is the same season (1.2 ln units from dry to wet) plus its own wandering
 * (sd 0.25, forgotten in ten days) and its own floods (more of them in the wet season). What the gauge knows of the creek is the calendar.
 * People go by day, 25 times as likely while it runs.
 */
export function seasonWorld({
  season,
  seed,
  visits: count,
  years,
  lagsHours = [0, 2, 4, 6, 8, 10, 12],
  storagesHours = [-12, -5, 0, 5, 12],
}: SeasonOptions): SeasonWorld {
  const random = createRandom(splitSeed(seed, `${season}/${count}/${years}`));
  const hours = Math.round(years * YEAR_HOURS);
  const gauge = river(random, { season, hours });
  const creek = river(random, { season, hours });
  const sorted = creek.slice().sort();
  const edges = EDGE_POINTS.map((p) => sorted[Math.floor(p * hours)]);
  const at = visitHours(random, { creek, from: edges[0], count });
  const record: GaugeRecord = {
    kind: 'gauge-record',
    gauge: 'over-the-hill',
    name: 'the gauge over the hill',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from({ length: hours }, (_, h) => START + h * HOUR),
    values: gauge.map((v) => 5 * Math.exp(v)),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: hours },
    codes: {},
  };
  const visits = at.map((h, i): Visit => ({
    id: `v${i + 1}`,
    run: 'main',
    timeMs: START + h * HOUR,
    sightings: [
      {
        row: i + 2,
        timeMs: START + h * HOUR,
        giveOrTakeMin: 0,
        run: 'main',
        feature: VERDICT,
        classIndex: edges.filter((e) => creek[h] + 0.12 * random.normal() > e).length,
        value: NaN,
        observer: 'Ann',
        note: '',
      },
    ],
  }));
  const run: Run = { id: 'main', name: 'main run', classes: CLASSES, features: [] };
  const aligned = alignVisits({ creek: creekOf(run), run, record, visits }, { lagsHours, storagesHours });
  return {
    aligned,
    record,
    creekLn: Float64Array.from(at, (h) => creek[h]),
  };
}

/** Share of the season at an hour, 0 dry to 1 wet. */
function wetness(season: Season, hour: number): number {
  const day = (hour / 24) % 365.25;
  if (season === 'snowmelt') return Math.exp(-0.5 * ((day - 160) / 32) ** 2);
  const edge = (from: number) => 1 / (1 + Math.exp(-(day - from) / 10));
  return edge(160) - edge(280);
}

/** ln of one river (hours). */
export function river(random: Random, { season, hours }: { season: Season; hours: number }): Float64Array {
  const keep = Math.exp(-1 / 240);
  const out = new Float64Array(hours);
  let wander = 0.25 * random.normal();
  let flood = 0;
  let rising = 0;
  let rise = 0;
  for (let h = 0; h < hours; h++) {
    const wet = wetness(season, h);
    wander = keep * wander + 0.25 * Math.sqrt(1 - keep * keep) * random.normal();
    // A flood every six days in the wet season, every twenty-four in the dry one; five hours up, by half in a day and a half.
    if (random.uniform() < (wet > 0.5 ? 1 / 6 : 1 / 24) / 24) {
      rising = 5;
      rise = (0.3 + random.uniform()) / 5;
    }
    flood = rising-- > 0 ? flood + rise : flood * Math.exp(-1 / 52);
    out[h] = 1.2 * wet + wander + flood;
  }
  return out;
}

export function visitHours(
  random: Random,
  { creek, from, count }: { creek: Float64Array; from: number; count: number },
): number[] {
  const chosen = new Set<number>();
  while (chosen.size < count) {
    const h = 48 + random.integer(creek.length - 96);
    if (h % 24 < 8 || h % 24 > 18 || random.uniform() > (creek[h] > from ? 1 : 0.04)) continue;
    if ([...chosen].every((other) => Math.abs(other - h) >= 6)) chosen.add(h);
  }
  return [...chosen].sort((a, b) => a - b);
}

function creekOf(run: Run): Creek {
  return {
    schema: 1,
    name: 'simulated',
    timeZone: 'UTC',
    runs: [run],
    gauges: [{ id: 'over-the-hill', name: '', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
  };
}
