import type { Aligned } from '../../src/align/types.js';
import { createRandom } from '../../src/kernel/random.js';

const DAY = 86_400_000;
const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];

/** A creek whose relation to the gauge is known: `Aligned` with lag and storage 0. */
export interface History {
  readonly seed: number;
  /** Default 40. */
  readonly visitsEachSide?: number;
  /** ln units that the state stands higher in the second half; default 0. */
  readonly step?: number;
  /** σ; default 0.25. */
  readonly mismatch?: number;
  /** Share of σ² that all visits of one flood have in common; default 0.5. */
  readonly floodShare?: number;
  /** Visits of a flood, 1 to this; default 3. */
  readonly mostVisitsAFlood?: number;
  /** A numeric staff beside the verdict and the ledge; default none. */
  readonly staff?: boolean;
  /** Half of the visits with a time window of three nodes; default none. */
  readonly windowed?: boolean;
}

/**
 * Draws visits to an invented creek: x of each flood N(2, 0.7²), visits of one flood 0.3 around it, state x + ε with a part of ε common to the
 * flood, a step half way, verdict and a ledge of five classes (blur 0.15), three observers (bias sd 0.08).
 */
export function simulateHistory({
  seed,
  visitsEachSide = 40,
  step = 0,
  mismatch = 0.25,
  floodShare = 0.5,
  mostVisitsAFlood = 3,
  staff = false,
  windowed = false,
}: History): Aligned {
  const random = createRandom(seed);
  const bias = [0, 0, 0].map(() => 0.08 * random.normal());
  const edges = [1.2, 1.8, 2.4, 3];
  const flood: number[] = [];
  const state: number[] = [];
  const centre: number[] = [];
  const timesMs: number[] = [];
  // The step falls between two floods, after exactly visitsEachSide visits.
  for (const half of [0, 1]) {
    let left = visitsEachSide;
    while (left > 0) {
      const visits = Math.min(left, 1 + random.integer(mostVisitsAFlood));
      left -= visits;
      const number = flood.length === 0 ? 0 : flood[flood.length - 1] + 1;
      const level = 2 + 0.7 * random.normal();
      const common = Math.sqrt(floodShare) * mismatch * random.normal();
      for (let v = 0; v < visits; v++) {
        const x = level + 0.3 * random.normal();
        flood.push(number);
        centre.push(x);
        state.push(x + half * step + common + Math.sqrt(1 - floodShare) * mismatch * random.normal());
        timesMs.push(Date.UTC(2020, 0, 1) + (number * 9 + v) * DAY);
      }
    }
  }
  const n = flood.length;
  const seen = (c: number): number => edges.filter((edge) => c + 0.15 * random.normal() > edge).length;
  const perVisit = staff ? 3 : 2;
  const feature: number[] = [];
  const classIndex: number[] = [];
  const value: number[] = [];
  const observer: number[] = [];
  const nodeStart = [0];
  const nodeWeight: number[] = [];
  const x: number[] = [];
  for (let i = 0; i < n; i++) {
    const who = random.integer(3);
    const c = state[i] + bias[who];
    feature.push(0, 1);
    classIndex.push(seen(c), seen(c - 0.1));
    value.push(NaN, NaN);
    if (staff) {
      feature.push(2);
      classIndex.push(-1);
      value.push(20 + Math.exp((c + 4) / 1.8) + random.normal());
    }
    for (let j = 0; j < perVisit; j++) observer.push(who);
    const window = windowed && i % 2 === 0 ? [-0.2, 0, 0.2] : [0];
    for (const off of window) {
      x.push(centre[i] + off);
      nodeWeight.push(1 / window.length);
    }
    nodeStart.push(x.length);
  }
  const m = feature.length;
  return Object.freeze({
    kind: 'aligned',
    run: 'main',
    gauge: 'bridge',
    gaugeName: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    offset: 0,
    features: [
      { id: 'verdict', name: 'verdict', classes: CLASSES },
      { id: 'ledge', name: 'the ledge', classes: CLASSES },
      ...(staff ? [{ id: 'staff', name: 'the staff', classes: [], unit: 'cm' }] : []),
    ],
    observers: ['Ann', 'Bo', 'Cy'],
    visitIds: flood.map((_, i) => `v${i + 1}`),
    visitTimesMs: Float64Array.from(timesMs),
    sightingStart: Int32Array.from({ length: n + 1 }, (_, i) => i * perVisit),
    sightingFeature: Int32Array.from(feature),
    sightingClass: Int32Array.from(classIndex),
    sightingValue: Float64Array.from(value),
    sightingObserver: Int32Array.from(observer),
    sightingRow: Int32Array.from({ length: m }, (_, j) => j + 2),
    lagsHours: Float64Array.of(0),
    storagesHours: Float64Array.of(0),
    nodeStart: Int32Array.from(nodeStart),
    nodeWeight: Float64Array.from(nodeWeight),
    x: Float64Array.from(x),
    slope: new Float64Array(n),
    shift: new Float64Array(m),
    flood: Int32Array.from(flood),
    limb: new Int8Array(n),
    unmatched: [],
  });
}
