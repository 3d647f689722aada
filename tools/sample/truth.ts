import { HOUR, localParts, RECORD_END, RECORD_START, VISITS_END } from './clock.js';
import { effectiveReading } from './effective.js';
import { LOGGER, LOGGER_FROM, LOGGER_WEEKS } from './clubLogger.js';
import type { Published } from './gaugeFiles.js';
import type { TrueRun } from './place.js';
import { CLASSES, OBSERVERS, RUNS, STAFF, WAVE_SPEED_KM_H } from './place.js';
import type { Heap } from './probit.js';
import { probitEdge } from './probit.js';
import { trueClass, visitWeight } from './visits.js';
import type { World } from './world.js';
import { flowAt } from './world.js';

/** Storages tried, hours. */
const STORAGES = [-20, -16, -12, -10, -8, -6, -5, -4, -3, -2, 0, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20];
/** Lags tried, hours: from -12 to 12, in the end by half hours. */
const LAG_BOUND = 12;
/** Longest stretch between two readings that a straight line may cross, in steps (3 steps, at most 6 h). */
const bridged = (stepHours: number): number => Math.min(3, Math.floor(6 / stepHours));

interface Moments {
  readonly times: Float64Array;
  readonly flows: Float64Array;
  readonly weights: Float64Array;
}

export interface EdgeTruth {
  readonly between: readonly [string, string];
  readonly gauge: number;
  readonly mismatch: number;
  readonly above: number;
}

/** Every hour that could have been logged in a period, with the weight it had. */
function moments(world: World, { run, fromMs, toMs }: { run: TrueRun; fromMs: number; toMs: number }): Moments {
  const times: number[] = [];
  const flows: number[] = [];
  const weights: number[] = [];
  for (let t = fromMs; t < toMs; t += HOUR) {
    const flow = flowAt(world.runs[run.id], t);
    const weight = visitWeight(t, { flow, run });
    if (weight === 0) continue;
    times.push(t);
    flows.push(flow);
    weights.push(weight);
  }
  return { times: Float64Array.from(times), flows: Float64Array.from(flows), weights: Float64Array.from(weights) };
}

/** ln of the effective reading, one value a step of the record; NaN where there is none. */
function logSeries({ values, stepHours, zero }: Published, storageHours: number): Float64Array {
  const above = withShortGapsFilled(
    values.map((v) => v - zero),
    bridged(stepHours),
  );
  return effectiveReading(above, { storageHours, stepHours }).map((e) => (e > 0 ? Math.log(e) : NaN));
}

/** A missing message between two readings is bridged in ln; anything longer than `steps` stays a gap. */
function withShortGapsFilled(values: Float64Array, steps: number): Float64Array {
  const out = values.slice();
  let last = -1;
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!)) continue;
    if (last >= 0 && i - last > 1 && i - last <= steps)
      for (let j = last + 1; j < i; j++)
        out[j] = values[last]! * Math.exp((Math.log(values[i]! / values[last]!) * (j - last)) / (i - last));
    last = i;
  }
  return out;
}

/** x at each moment, `lagHours` earlier. */
function lookUp(
  logs: Float64Array,
  { times, lagHours, stepHours }: { times: Float64Array; lagHours: number; stepHours: number },
): Float64Array {
  return times.map((t) => {
    const position = ((t - RECORD_START) / HOUR - lagHours) / stepHours;
    const i = Math.floor(position);
    const part = position - i;
    if (i < 0 || i + 1 >= logs.length) return NaN;
    return part === 0 ? logs[i]! : logs[i]! * (1 - part) + logs[i + 1]! * part;
  });
}

/**
 * The moments heaped by x and true class, so that a grid of fits costs little: a fiftieth of a ln unit is far below any spread met here.
 * `edges` ascending; returns one heap for each.
 */
function heaps(x: Float64Array, { at, edges }: { at: Moments; edges: readonly number[] }): Heap[] {
  const width = 0.02;
  const known = x.filter((value) => !Number.isNaN(value));
  if (known.length === 0) return edges.map(() => ({ x: known, below: known, above: known }));
  const lowest = known.reduce((a, b) => Math.min(a, b));
  const highest = known.reduce((a, b) => Math.max(a, b));
  const n = Math.floor((highest - lowest) / width) + 1;
  const middle = Float64Array.from({ length: n }, (_, i) => lowest + (i + 0.5) * width);
  const all = edges.map(() => ({ x: middle, below: new Float64Array(n), above: new Float64Array(n) }));
  for (let i = 0; i < x.length; i++) {
    if (Number.isNaN(x[i]!)) continue;
    const bin = Math.floor((x[i]! - lowest) / width);
    for (let k = 0; k < edges.length; k++) {
      const side = at.flows[i]! >= edges[k]! ? all[k]!.above : all[k]!.below;
      side[bin] = side[bin]! + at.weights[i]!;
    }
  }
  return all;
}

/** Mean negative log-likelihood of the verdict's edges together. An edge that the gauge can't tell counts as its plain frequency would. */
function score(x: Float64Array, { run, at }: { run: TrueRun; at: Moments }): number {
  let total = 0;
  for (const heap of heaps(x, { at, edges: run.edgesM3s })) {
    const below = heap.below.reduce((s, w) => s + w, 0);
    const above = heap.above.reduce((s, w) => s + w, 0);
    if (!(below > 0 && above > 0)) continue;
    const p = above / (above + below);
    total += probitEdge(heap)?.meanNegLogLik ?? -p * Math.log(p) - (1 - p) * Math.log(1 - p);
  }
  return total;
}

const round = (value: number, digits: number): number => Number(value.toPrecision(digits));

function edgesAt(x: Float64Array, { run, at, zero }: { run: TrueRun; at: Moments; zero: number }) {
  const lists = [
    { id: 'verdict', classes: CLASSES, edgesM3s: run.edgesM3s },
    ...run.features.map((f) => ({ id: f.id, classes: f.classes, edgesM3s: f.edgesM3s })),
  ];
  const edges: Record<string, (EdgeTruth | null)[]> = {};
  for (const { id, classes, edgesM3s } of lists)
    edges[id] = heaps(x, { at, edges: edgesM3s }).map((heap, k) => {
      const fitted = probitEdge(heap);
      // Beyond the readings ever met, or with a spread wider than a whole season, the number means nothing.
      const inside = fitted !== undefined && fitted.at >= heap.x[0]! && fitted.at <= heap.x[heap.x.length - 1]!;
      if (!inside || fitted.spread > 1.5) return null;
      const above = at.flows.reduce((n, flow, i) => n + (flow >= edgesM3s[k]! && !Number.isNaN(x[i]!) ? 1 : 0), 0);
      return {
        between: [classes[k]!, classes[k + 1]!],
        gauge: round(zero + Math.exp(fitted.at), 5),
        mismatch: round(fitted.spread, 4),
        above,
      };
    });
  return edges;
}

interface Reading {
  readonly storageHours: number;
  readonly lagHours: number;
}

/** What a gauge truly knows of a run in one period: by one reading at its best lag, and by the best effective reading. */
function gaugeTruth(record: Published, { run, at }: { run: TrueRun; at: Moments }) {
  const { stepHours, zero } = record;
  const series = new Map(STORAGES.map((storageHours) => [storageHours, logSeries(record, storageHours)]));
  const xOf = ({ storageHours, lagHours }: Reading): Float64Array =>
    lookUp(series.get(storageHours)!, { times: at.times, lagHours, stepHours });
  const known = new Map<string, number>();
  const loss = (reading: Reading): number => {
    const key = `${reading.storageHours} ${reading.lagHours}`;
    let value = known.get(key);
    if (value === undefined) known.set(key, (value = score(xOf(reading), { run, at })));
    return value;
  };
  // Every second storage and lag first, then every half hour and every storage around the best of them, until it stays the best.
  const best = ({ storages, lowestLag }: { storages: readonly number[]; lowestLag: number }): Reading => {
    let found: Reading = { storageHours: storages[0]!, lagHours: lowestLag };
    const consider = (reading: Reading): void => {
      if (reading.lagHours < lowestLag || reading.lagHours > LAG_BOUND) return;
      if (loss(reading) < loss(found)) found = reading;
    };
    for (const storageHours of storages.filter((_, i) => i % 2 === 0))
      for (let lagHours = lowestLag; lagHours <= LAG_BOUND; lagHours += 2) consider({ storageHours, lagHours });
    for (let start: Reading | undefined; start !== found;) {
      start = found;
      const near = storages.indexOf(start.storageHours);
      for (const storageHours of storages.slice(Math.max(0, near - 1), near + 2))
        for (let off = -1.5; off <= 1.5; off += 0.5) consider({ storageHours, lagHours: start.lagHours + off });
    }
    return found;
  };
  const shown = (reading: Reading) => ({
    ...reading,
    meanNegLogLik: round(loss(reading), 5),
    edges: edgesAt(xOf(reading), { run, at, zero }),
  });
  const one = shown(best({ storages: [0], lowestLag: -LAG_BOUND }));
  return {
    /** Loss of a chart that tells the frequency of each class and never looks at a gauge. */
    withoutGauge: round(score(new Float64Array(at.times.length), { run, at }), 5),
    lagHours: one.lagHours,
    meanNegLogLik: one.meanNegLogLik,
    edges: one.edges,
    routed: { ...shown(best({ storages: STORAGES, lowestLag: -LAG_BOUND })), withoutStorage: one.meanNegLogLik },
    planning: shown(best({ storages: STORAGES, lowestLag: 0 })),
    lagProfile: Array.from({ length: 2 * LAG_BOUND + 1 }, (_, i) => i - LAG_BOUND).map((lagHours) => [
      lagHours,
      round(loss({ storageHours: 0, lagHours }), 5),
    ]),
    moments: at.times.length,
  };
}

export type GaugeTruth = ReturnType<typeof gaugeTruth>;
export type Truth = ReturnType<typeof makeTruth>;

/** Everything that the sample knows and a chart has to find out. */
export function makeTruth({ world, records, seed }: { world: World; records: readonly Published[]; seed: number }) {
  const runs = RUNS.map((run) => {
    const fit = moments(world, { run, fromMs: RECORD_START, toMs: VISITS_END });
    const test = moments(world, { run, fromMs: VISITS_END, toMs: RECORD_END });
    const creekEdges = (classes: readonly string[], edgesM3s: readonly number[]) =>
      edgesM3s.map((m3s, k) => ({ between: [classes[k]!, classes[k + 1]!], m3s }));
    return {
      id: run.id,
      creekEdges: {
        verdict: creekEdges(CLASSES, run.edgesM3s),
        ...Object.fromEntries(run.features.map((f) => [f.id, creekEdges(f.classes, f.edgesM3s)])),
      },
      blur: { verdict: run.blur, ...Object.fromEntries(run.features.map((f) => [f.id, f.blur])) },
      gauges: Object.fromEntries(
        records.map((record) => [
          record.id,
          { fit: gaugeTruth(record, { run, at: fit }), test: gaugeTruth(record, { run, at: test }) },
        ]),
      ),
    };
  });
  const lower = runs.find((r) => r.id === 'lower')!;
  const { exponent, baseCm, scaleCm, referenceM3s, noiseCm } = STAFF;
  return {
    how:
      'weighted probit of the hidden record on the ln value (above zero flow) of the gauge as published, hours of daylight weighted as the visits were drawn; ' +
      'lag and storage by the smallest mean negative log-likelihood of the edges of the verdict. fit: the period of the visits; test: the period of later*.csv; ' +
      'routed: best storage and lag; planning: the same with lag 0 or more. lag > 0: the gauge leads. storage > 0: the creek is the slower one',
    seed,
    run: lower.id,
    visitsEnd: new Date(VISITS_END).toISOString(),
    waveSpeedKmH: WAVE_SPEED_KM_H,
    staff: { feature: STAFF.id, run: 'lower', baseCm, scaleCm, referenceM3s, exponent, noiseCm },
    logger: {
      ...LOGGER,
      run: 'lower',
      referenceM3s,
      from: new Date(LOGGER_FROM).toISOString(),
      weeks: LOGGER_WEEKS,
    },
    observerBias: Object.fromEntries(OBSERVERS.map((o) => [o.name, o.bias])),
    creekEdges: lower.creekEdges,
    blur: lower.blur,
    gauges: lower.gauges,
    otherRuns: Object.fromEntries(runs.filter((r) => r !== lower).map((r) => [r.id, r])),
  };
}

/** The true class of every hour of daylight after the last visit. */
export function laterClasses(world: World, run: TrueRun): string {
  const lines = ['time,class'];
  for (let t = VISITS_END; t < RECORD_END; t += HOUR) {
    const { hour } = localParts(t);
    if (hour < 8 || hour > 18) continue;
    const level = CLASSES[trueClass(flowAt(world.runs[run.id], t), run.edgesM3s)]!;
    lines.push(`${new Date(t).toISOString().slice(0, 19)}Z,${level}`);
  }
  return lines.join('\n') + '\n';
}
