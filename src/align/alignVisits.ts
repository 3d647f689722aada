import type { Creek, Run } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { VERDICT, type Sighting, type Visit } from '../series/visits.js';
import { gaussLegendre } from '../kernel/gaussLegendre.js';
import { effectiveSeries } from './effectiveSeries.js';
import { floodOfVisits } from './floods.js';
import { lnAt, type Cursor, type Interpolation } from './interpolate.js';
import { knownTimes, type KnownTimes } from './knownTimes.js';
import { lnSpread } from './lnSpread.js';
import type { Aligned, AlignedFeature } from './types.js';
import { waveHours } from './waveHours.js';

const HOUR = 3_600_000;
const MINUTE = 60_000;

/** Storages tried, hours; neighbours differ by about half, which no sixty visits tell apart. Negative: the gauge is the slower one. */
export const DEFAULT_STORAGES_HOURS: readonly number[] = [-24, -18, -12, -8, -5, -3, 0, 3, 5, 8, 12, 18, 24, 48];
export const DEFAULT_LAG_HOURS = { min: -24, max: 48 } as const;
export const LAG_STEP_HOURS = 0.5;

/**
 * |dx/dt| below this per hour is steady water: under 2 % of the discharge an hour. The stage of the same water moves less in ln units, the
 * less the farther its datum lies below: there it is 2 % of the record's own spread.
 */
const STEADY_PER_HOUR = 0.02;

/** A visit takes part when at least this share of the lags of the single reading finds a gauge value. */
const MIN_MATCHED_SHARE = 0.5;

export interface AlignOptions {
  /** Hours, ascending; default -24 to 48 (or the creek's bounds) in steps of half an hour. */
  readonly lagsHours?: readonly number[];
  /** Hours, ascending, must hold 0. */
  readonly storagesHours?: readonly number[];
  /** How x is told between two readings; default 'ln'. 'previous' is for sensitivity: nothing later than the moment enters. */
  readonly interpolation?: Interpolation;
}

/** The grid of lags from bounds; both ends are kept. */
export function lagGrid(bounds: { readonly min: number; readonly max: number }, step = LAG_STEP_HOURS): number[] {
  if (!(bounds.min <= bounds.max)) throw new RangeError(`lag bounds: ${bounds.min} to ${bounds.max} is not a range`);
  const from = Math.ceil(bounds.min / step);
  const to = Math.floor(bounds.max / step);
  return Array.from({ length: Math.max(1, to - from + 1) }, (_, i) => (from + i) * step);
}

/** The storages tried within bounds; 0 always stays. */
export function storageGrid(bounds?: { readonly min: number; readonly max: number }): number[] {
  if (bounds === undefined) return [...DEFAULT_STORAGES_HOURS];
  return DEFAULT_STORAGES_HOURS.filter((k) => k === 0 || (k >= bounds.min && k <= bounds.max));
}

/**
 * Put a run's visits beside one gauge record on a grid of lags and storages.
 *
 * For each visit and each node of its time window: x = ln e_k(t - lag). The window of a visit (its give-or-take) is shared by
 * its sightings and integrated by Gauss–Legendre nodes (1 for an exact time, 5 up to ±1 h, 9 beyond). A sighting at another
 * time or further down the run keeps its own x through `shift`.
 *
 * @param input the creek (for zone bounds and wave speed), the run, the record and the visits (other runs' visits are passed over).
 * @returns plain arrays, see Aligned; visits without a gauge value at half of the lags are in `unmatched`.
 * @throws RangeError when the grid is empty, lacks storage 0, or with so many visits would not fit into memory.
 */
export function alignVisits(
  input: { readonly creek: Creek; readonly run: Run; readonly record: GaugeRecord; readonly visits: readonly Visit[] },
  options: AlignOptions = {},
): Aligned {
  const { creek, run, record } = input;
  const lags = Float64Array.from(options.lagsHours ?? lagGrid(creek.lagHours ?? DEFAULT_LAG_HOURS));
  const storages = Float64Array.from(options.storagesHours ?? storageGrid(creek.storageHours));
  if (lags.length === 0) throw new RangeError('alignVisits: lagsHours is empty');
  const zero = storages.indexOf(0);
  if (zero < 0) throw new RangeError('alignVisits: storagesHours must hold 0 (the single reading)');

  const known = knownTimes(record, options.interpolation);
  const { slopeHours } = known;
  const single = lnSeries(record, 0);
  const { kept, unmatched } = splitMatched(input, { lags, single, known });
  const features = usedFeatures(run, kept);
  const featureIndex = new Map(features.map((f, i) => [f.id, i]));
  const observers = [...new Set(kept.flatMap((v) => v.sightings.map((s) => s.observer)))].sort();
  const observerIndex = new Map(observers.map((o, i) => [o, i]));
  const kmOf = new Map(run.features.map((f) => [f.id, f.kmFromPutIn ?? 0]));
  const hoursPerKm = waveHours(creek, 1);

  const n = kept.length;
  const sightings = kept.flatMap((v) => v.sightings);
  const m = sightings.length;
  const sightingStart = new Int32Array(n + 1);
  kept.forEach((v, i) => (sightingStart[i + 1] = sightingStart[i] + v.sightings.length));

  const windows = kept.map(windowNodes);
  const nodeStart = new Int32Array(n + 1);
  windows.forEach((w, i) => (nodeStart[i + 1] = nodeStart[i] + w.offsetsMs.length));
  const N = nodeStart[n];
  const G = lags.length * storages.length;
  refuseLargeGrid(G, { nodes: N, visits: n, sightings: m });
  const x = new Float64Array(G * N);
  const slope = new Float64Array(G * n);
  const shift = new Float64Array(G * m);

  for (let k = 0; k < storages.length; k++) {
    const lnE = k === zero ? single : lnSeries(record, storages[k]);
    for (let i = 0; i < n; i++) {
      const visit = kept[i];
      const { offsetsMs } = windows[i];
      const cursor: Cursor = { index: 0 };
      const { timesMs, interpolation } = known;
      const at = (timeMs: number) => lnAt(timesMs, lnE, timeMs, { maxGapMs: record.maxGapMs, cursor, interpolation });
      for (let l = 0; l < lags.length; l++) {
        const g = k * lags.length + l;
        const lagMs = lags[l] * HOUR;
        for (let q = 0; q < offsetsMs.length; q++)
          x[g * N + nodeStart[i] + q] = at(visit.timeMs + offsetsMs[q] - lagMs);
        const middle = at(visit.timeMs - lagMs);
        slope[g * n + i] = (middle - at(visit.timeMs - lagMs - slopeHours * HOUR)) / slopeHours;
        for (let j = 0; j < visit.sightings.length; j++) {
          const s = visit.sightings[j];
          const laterMs = s.timeMs - visit.timeMs - (kmOf.get(s.feature) ?? 0) * hoursPerKm * HOUR;
          const d = laterMs === 0 ? 0 : at(visit.timeMs + laterMs - lagMs) - middle;
          shift[g * m + sightingStart[i] + j] = Number.isFinite(d) ? d : 0;
        }
      }
    }
  }

  const visitTimesMs = Float64Array.from(kept, (v) => v.timeMs);

  return Object.freeze({
    kind: 'aligned' as const,
    run: run.id,
    gauge: record.gauge,
    gaugeName: record.name,
    parameter: record.parameter,
    unit: record.unit,
    offset: record.zeroFlowStage ?? 0,
    features,
    observers,
    visitIds: kept.map((v) => v.id),
    visitTimesMs,
    sightingStart,
    sightingFeature: Int32Array.from(sightings, (s) => featureIndex.get(s.feature)!),
    sightingClass: Int32Array.from(sightings, (s) => s.classIndex),
    sightingValue: Float64Array.from(sightings, (s) => s.value),
    sightingObserver: Int32Array.from(sightings, (s) => observerIndex.get(s.observer)!),
    sightingRow: Int32Array.from(sightings, (s) => s.row),
    lagsHours: lags,
    storagesHours: storages,
    nodeStart,
    nodeWeight: Float64Array.from(windows.flatMap((w) => w.weights)),
    x,
    slope,
    shift,
    flood: floodOfVisits(record, visitTimesMs),
    limb: limbs(record, { single, known, visitTimesMs }),
    unmatched,
  });
}

function lnSeries(record: GaugeRecord, storageHours: number): Float64Array {
  const e = effectiveSeries(record, storageHours);
  for (let i = 0; i < e.length; i++) e[i] = Math.log(e[i]);
  return e;
}

/** Rising (1), steady (0) or falling (-1) water at each visit, by the reading itself. */
function limbs(
  record: GaugeRecord,
  { single, known, visitTimesMs }: { single: Float64Array; known: KnownTimes; visitTimesMs: Float64Array },
): Int8Array {
  const steady = STEADY_PER_HOUR * (record.parameter === 'stage' ? Math.min(1, lnSpread(record)) : 1);
  const { timesMs, slopeHours } = known;
  // By default linear between readings, whatever is tried for sensitivity elsewhere.
  const options = {
    maxGapMs: record.maxGapMs,
    cursor: { index: 0 },
    ...(record.dayMeans && { interpolation: known.interpolation }),
  };
  const at = (timeMs: number) => lnAt(timesMs, single, timeMs, options);
  return Int8Array.from(visitTimesMs, (t) => {
    const rate = (at(t) - at(t - slopeHours * HOUR)) / slopeHours;
    return rate > steady ? 1 : rate < -steady ? -1 : 0;
  });
}

/** The run's visits with usable sightings, in time order, and those that find no gauge value at most lags. */
function splitMatched(
  { run, record, visits }: { run: Run; record: GaugeRecord; visits: readonly Visit[] },
  { lags, single, known: { timesMs } }: { lags: Float64Array; single: Float64Array; known: KnownTimes },
): { kept: Visit[]; unmatched: Aligned['unmatched'] } {
  const kept: Visit[] = [];
  const unmatched: { visit: string; row: number; file?: string; reason: string }[] = [];
  const known = new Set([VERDICT, ...run.features.map((f) => f.id)]);
  const byTime = (a: Visit, b: Visit): number => a.timeMs - b.timeMs || (a.id < b.id ? -1 : 1);
  const ordered = visits.filter((v) => v.run === run.id).sort(byTime);
  for (const visit of ordered) {
    const sightings = visit.sightings.filter((s) => known.has(s.feature));
    if (sightings.length === 0) continue;
    const timeMs = anchorTime(visit, sightings);
    const cursor: Cursor = { index: 0 };
    let found = 0;
    for (const lag of lags)
      if (Number.isFinite(lnAt(timesMs, single, timeMs - lag * HOUR, { maxGapMs: record.maxGapMs, cursor }))) found++;
    if (found >= MIN_MATCHED_SHARE * lags.length) kept.push({ ...visit, timeMs, sightings });
    else {
      const reason = whyUnmatched(record, timesMs, timeMs);
      for (const { row, file } of sightings) unmatched.push({ visit: visit.id, row, ...(file && { file }), reason });
    }
  }
  return { kept: kept.sort(byTime), unmatched };
}

function whyUnmatched(
  { gauge, values, zeroFlowStage, jumps = [] }: GaugeRecord,
  timesMs: Float64Array,
  timeMs: number,
): string {
  if (jumps.some((jump) => timeMs < jump.timeMs) && !values.some((v, i) => v === v && timesMs[i] <= timeMs))
    return `the unit or the zero of gauge ${gauge} jumped after this time, and readings before the jump are not used`;
  const n = timesMs.length;
  if (n === 0 || timeMs < timesMs[0] || timeMs > timesMs[n - 1])
    return `the record of gauge ${gauge} does not reach this time`;
  const after = timesMs.findIndex((t) => t >= timeMs);
  const dry = (value: number) => value - (zeroFlowStage ?? 0) <= 0;
  if (dry(values[after]) || dry(values[Math.max(0, after - 1)]))
    return zeroFlowStage === undefined
      ? `gauge ${gauge} reads zero or below around this time, which has no place on a scale of logarithms`
      : `gauge ${gauge} stands at or below its zero-flow stage around this time`;
  return `gauge ${gauge} has a gap or refused readings around this time`;
}

/** Bytes of the grid of readings; above it a fit would not fit into the memory of a small machine, and would take hours. */
export const MOST_GRID_BYTES = 600_000_000;

function refuseLargeGrid(points: number, counts: { nodes: number; visits: number; sightings: number }): void {
  const bytes = 8 * points * (counts.nodes + counts.visits + counts.sightings);
  if (bytes <= MOST_GRID_BYTES) return;
  throw new RangeError(
    `alignVisits: ${counts.sightings} sightings of ${counts.visits} visits on ${points} lags and storages ` +
      `need ${Math.ceil(bytes / 1e6)} MB, ` +
      `more than ${MOST_GRID_BYTES / 1e6}: narrow lagHours or storageHours, or leave out old seasons`,
  );
}

/**
 * The time that a visit's state belongs to: its own, unless its sightings differ in how exactly they are timed; then that of the most
 * exactly timed one (the verdict before others), so that a look at a known minute is not smeared over somebody's afternoon.
 */
function anchorTime(visit: Visit, sightings: readonly Sighting[]): number {
  const exactest = Math.min(...sightings.map((s) => s.giveOrTakeMin));
  if (sightings.every((s) => s.giveOrTakeMin === exactest)) return visit.timeMs;
  const candidates = sightings.filter((s) => s.giveOrTakeMin === exactest);
  return (candidates.find((s) => s.feature === VERDICT) ?? candidates[0]).timeMs;
}

function usedFeatures(run: Run, visits: readonly Visit[]): AlignedFeature[] {
  const seen = new Set(visits.flatMap((v) => v.sightings.map((s) => s.feature)));
  const all: AlignedFeature[] = [
    { id: VERDICT, name: 'verdict', classes: run.classes },
    ...run.features.map((f) => ({
      id: f.id,
      name: f.name,
      classes: f.classes ?? [],
      ...(f.unit === undefined ? {} : { unit: f.unit }),
    })),
  ];
  return all.filter((f) => f.id === VERDICT || seen.has(f.id));
}

/** Offsets and weights that integrate over a visit's time window, uniform within it. */
function windowNodes(visit: Visit): { offsetsMs: number[]; weights: number[] } {
  const minutes = Math.min(...visit.sightings.map((s: Sighting) => s.giveOrTakeMin));
  if (!(minutes > 0)) return { offsetsMs: [0], weights: [1] };
  const { nodes, weights } = gaussLegendre(minutes <= 60 ? 5 : 9);
  return {
    offsetsMs: Array.from(nodes, (u) => u * minutes * MINUTE),
    weights: Array.from(weights, (w) => w / 2),
  };
}
