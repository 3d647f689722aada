import type { Aligned } from '../../src/align/types.js';
import type { ProblemOptions } from '../../src/fit/gridProblem.js';

/** One look: at a feature (by index, default the verdict), with its own shift of x. */
export interface PlainLook {
  readonly feature?: number;
  readonly saw?: number;
  readonly value?: number;
  readonly observer?: number;
  readonly shift?: number;
}

export interface PlainVisit {
  /** x by grid point; a number stands for all of them. */
  readonly x: number | readonly number[];
  readonly looks: readonly PlainLook[];
  readonly slope?: number;
  readonly flood?: number;
}

const DAY = 86_400_000;

/** Visits with exact times on a grid, ready for fitting, straight from numbers. Features: class lists, or a unit for a staff. */
export function plainAligned(
  visits: readonly PlainVisit[],
  {
    features,
    observers = 1,
    lags = [0],
    storages = [0],
  }: {
    features: readonly (readonly string[] | string)[];
    observers?: number;
    lags?: readonly number[];
    storages?: readonly number[];
  },
): Aligned {
  const n = visits.length;
  const looks = visits.flatMap((v) => v.looks);
  const m = looks.length;
  const G = lags.length * storages.length;
  const start = new Int32Array(n + 1);
  visits.forEach((v, i) => (start[i + 1] = start[i] + v.looks.length));
  const perPoint = <T>(list: readonly T[], of: (item: T, g: number) => number) =>
    Float64Array.from({ length: G * list.length }, (_, at) => of(list[at % list.length], Math.floor(at / list.length)));
  return {
    kind: 'aligned',
    run: 'gorge',
    gauge: 'weir',
    gaugeName: 'the weir',
    parameter: 'discharge',
    unit: 'm3/s',
    offset: 0,
    features: features.map((f, i) => {
      const name = i === 0 ? 'verdict' : `feature ${i}`;
      const id = i === 0 ? 'verdict' : `f${i}`;
      return typeof f === 'string' ? { id, name, classes: [], unit: f } : { id, name, classes: f };
    }),
    observers: Array.from({ length: observers }, (_, o) => `observer ${o + 1}`),
    visitIds: visits.map((_, i) => `v${i}`),
    visitTimesMs: Float64Array.from(visits, (_, i) => i * 10 * DAY),
    sightingStart: start,
    sightingFeature: Int32Array.from(looks, (l) => l.feature ?? 0),
    sightingClass: Int32Array.from(looks, (l) => l.saw ?? -1),
    sightingValue: Float64Array.from(looks, (l) => l.value ?? NaN),
    sightingObserver: Int32Array.from(looks, (l) => l.observer ?? 0),
    sightingRow: Int32Array.from(looks, (_, j) => j + 2),
    lagsHours: Float64Array.from(lags),
    storagesHours: Float64Array.from(storages),
    nodeStart: Int32Array.from({ length: n + 1 }, (_, i) => i),
    nodeWeight: new Float64Array(n).fill(1),
    x: perPoint(visits, (v, g) => (typeof v.x === 'number' ? v.x : v.x[g])),
    slope: perPoint(visits, (v) => v.slope ?? 0),
    shift: m === 0 ? new Float64Array(0) : perPoint(looks, (l) => l.shift ?? 0),
    flood: Int32Array.from(visits, (v, i) => v.flood ?? i),
    limb: new Int8Array(n),
    unmatched: [],
  };
}

/** Options of a fit by maximum likelihood: no priors, no mismatch, no biases. */
export const BARE: ProblemOptions = {
  link: 0,
  priors: 'none',
  priorWidth: 1,
  mismatch: false,
  bias: false,
  limb: false,
  ratingForm: new Map(),
  scale: 1,
  observerSd: 0.1,
};
