import { naturalLayout, type GaugeSide, type LevelData } from '../../src/kernel/levelLikelihood.js';
import { logCell } from '../../src/kernel/link.js';
import { createRandom } from '../../src/kernel/random.js';

/** One look: class or reading, by feature index and observer. */
export interface CaseLook {
  readonly feature: number;
  readonly class?: number;
  readonly value?: number;
  readonly observer?: number;
  readonly shift?: number;
}

export interface CaseVisit {
  /** x at the nodes of the window. */
  readonly x: readonly number[];
  readonly weights?: readonly number[];
  readonly slope?: number;
  readonly looks: readonly CaseLook[];
}

/** Visits in the arrays of the kernel. `kinds`: classes of each feature, 0 power law, -1 line, -2 power law with growing noise, -3 two power laws. */
export function levelCase(
  visits: readonly CaseVisit[],
  {
    kinds,
    link = 'probit',
    observers = 1,
    exact = false,
    centre = 0,
    mean = 0,
    sd = 1,
    breaks = kinds.map(() => NaN),
    gross,
  }: {
    kinds: readonly number[];
    link?: 'probit' | 'logit';
    observers?: number;
    exact?: boolean;
    centre?: number;
    mean?: number;
    sd?: number;
    /** y - y0 where the two power laws of a kind -3 meet. */
    breaks?: readonly number[];
    /** λ of each feature. */
    gross?: readonly number[];
  },
): { data: LevelData; side: GaugeSide } {
  const looks = visits.flatMap((v) => v.looks);
  const starts = (counts: readonly number[]) => {
    const out = new Int32Array(counts.length + 1);
    counts.forEach((c, i) => (out[i + 1] = out[i] + c));
    return out;
  };
  return {
    data: {
      link: link === 'logit' ? 1 : 0,
      sightingStart: starts(visits.map((v) => v.looks.length)),
      sightingFeature: Int32Array.from(looks, (l) => l.feature),
      sightingClass: Int32Array.from(looks, (l) => l.class ?? -1),
      sightingValue: Float64Array.from(looks, (l) => l.value ?? NaN),
      sightingObserver: Int32Array.from(looks, (l) => l.observer ?? 0),
      nodeStart: starts(visits.map((v) => v.x.length)),
      nodeWeight: Float64Array.from(visits.flatMap((v) => v.weights ?? v.x.map(() => 1 / v.x.length))),
      featureKind: Int32Array.from(kinds),
      featureBreak: Float64Array.from(breaks),
      ...(gross !== undefined && { featureGross: Float64Array.from(gross) }),
      observers,
      exact,
      centre,
    },
    side: {
      x: Float64Array.from(visits.flatMap((v) => v.x)),
      slope: Float64Array.from(visits, (v) => v.slope ?? 0),
      shift: Float64Array.from(looks, (l) => l.shift ?? 0),
      mean,
      sd,
    },
  };
}

/** ln P(saw this | y) written out from the formulas. */
function lnSighting(data: LevelData, natural: Float64Array, j: number, y: number): number {
  const f = data.sightingFeature[j];
  const K = data.featureKind[f];
  const st = naturalLayout(data.featureKind, data.observers).featureStart[f];
  const gross = data.featureGross?.[f] ?? 0;
  if (K > 0) {
    const s = Math.exp(natural[st + K - 1]);
    const k = data.sightingClass[j];
    const lnCell = logCell(
      k > 0 ? (natural[st + k - 1] - y) / s : -Infinity,
      k < K - 1 ? (natural[st + k] - y) / s : Infinity,
      data.link,
    );
    return gross === 0 ? lnCell : Math.log(Math.exp(lnCell) + gross);
  }
  const beta = Math.exp(natural[st + 1]);
  const t = y - data.centre;
  let mean = natural[st] + beta * t;
  let eta = Math.exp(natural[st + 2]);
  if (K === 0 || K === -2) {
    const p = Math.exp(natural[st + 2]);
    mean = natural[st] + beta * p * (Math.exp(t / p) - 1);
    // The noise stands at y0; growing, it goes with the height above the offset v - βp, which is βp at y0 and βp·exp(t/p) elsewhere.
    eta = Math.exp(natural[st + 3] + (K === 0 ? 0 : t / p));
  }
  if (K === -3) {
    const p = Math.exp(natural[st + 2]);
    const p2 = Math.exp(natural[st + 4]);
    const tb = data.featureBreak[f];
    const lower = (at: number): number => natural[st] + beta * p * (Math.exp(at / p) - 1);
    const slope = Math.exp(natural[st + 3]) * beta * Math.exp(tb / p);
    mean = t <= tb ? lower(t) : lower(tb) + slope * p2 * (Math.exp((t - tb) / p2) - 1);
    eta = Math.exp(natural[st + 5]);
  }
  const r = (data.sightingValue[j] - mean) / eta;
  const lnNormal = -0.5 * r * r - Math.log(eta * Math.sqrt(2 * Math.PI));
  return gross === 0 ? lnNormal : Math.log(Math.exp(lnNormal) + gross);
}

/** ln L of each visit by Simpson's rule on `intervals` even pieces, `reach` sds of the gauge's normal to either side; summed in logs. */
export function bruteLogLik(
  data: LevelData,
  side: GaugeSide,
  natural: Float64Array,
  { intervals = 40_000, reach = 40 }: { intervals?: number; reach?: number } = {},
): Float64Array {
  const layout = naturalLayout(data.featureKind, data.observers);
  const n = data.sightingStart.length - 1;
  return Float64Array.from({ length: n }, (_, i) => {
    const nodes = Array.from({ length: data.nodeStart[i + 1] - data.nodeStart[i] }, (__, q) => data.nodeStart[i] + q);
    const known = nodes.filter((q) => side.x[q] === side.x[q]);
    const vel = side.slope[i] === side.slope[i] ? side.slope[i] : 0;
    const total = known.reduce((w, q) => w + data.nodeWeight[q], 0);
    const mixture =
      known.length > 0
        ? known.map((q) => ({ w: data.nodeWeight[q] / total, mu: side.x[q] + natural[layout.gamma] * vel }))
        : [{ w: 1, mu: side.mean }];
    const sigma = known.length > 0 ? Math.exp(natural[layout.lnSigma]) : side.sd;
    const lnGiven = (c: number): number => {
      let total = 0;
      for (let j = data.sightingStart[i]; j < data.sightingStart[i + 1]; j++)
        total += lnSighting(data, natural, j, c + side.shift[j] + natural[layout.bias + data.sightingObserver[j]]);
      return total;
    };
    if (data.exact && known.length > 0)
      return Math.log(mixture.reduce((sum, { w, mu }) => sum + w * Math.exp(lnGiven(mu)), 0));
    const lo = Math.min(...mixture.map((m) => m.mu)) - reach * sigma;
    const hi = Math.max(...mixture.map((m) => m.mu)) + reach * sigma;
    const h = (hi - lo) / intervals;
    const ln = Float64Array.from({ length: intervals + 1 }, (__, r) => {
      const c = lo + r * h;
      const nearest = Math.min(...mixture.map((m) => Math.abs(c - m.mu))) / sigma;
      const prior = mixture.reduce(
        (sum, { w, mu }) => sum + w * Math.exp(0.5 * (nearest * nearest - ((c - mu) / sigma) ** 2)),
        0,
      );
      return Math.log(prior) - 0.5 * nearest * nearest + lnGiven(c);
    });
    const top = ln.reduce((a, b) => Math.max(a, b), -Infinity);
    const sum = ln.reduce(
      (a, g, r) => a + (r === 0 || r === intervals ? 1 : r % 2 === 1 ? 4 : 2) * Math.exp(g - top),
      0,
    );
    return top + Math.log((sum * h) / 3 / (sigma * Math.sqrt(2 * Math.PI)));
  });
}

/** Visits with looks at five-class, three-class, power-law and line features by three observers, and parameters near which they arose. */
export function richCase(
  seed: number,
  {
    growing = false,
    ...options
  }: {
    link?: 'probit' | 'logit';
    exact?: boolean;
    visits?: number;
    growing?: boolean;
    gross?: readonly number[];
  } = {},
): { data: LevelData; side: GaugeSide; natural: Float64Array } {
  const random = createRandom(seed);
  const kinds = [5, 3, growing ? -2 : 0, -1];
  const centre = 2.1;
  const pick = <T>(list: readonly T[]): T => list[random.integer(list.length)];
  const visits = Array.from({ length: options.visits ?? 9 }, (_, i): CaseVisit => {
    const x = 2 + 0.8 * random.normal();
    const slope = 0.15 * random.normal();
    const nodes = i % 3 === 1 ? [-0.2, -0.1, 0, 0.1, 0.2].map((d) => x + d * (1 + random.uniform())) : [x];
    if (i === 4) nodes[0] = NaN;
    const unmatched = i === 6 && options.exact !== true;
    const state = x + 0.2 * random.normal();
    const looks: CaseLook[] = [];
    for (let f = 0; f < 4; f++) {
      if (f > 0 && random.uniform() < 0.3) continue;
      const look = { feature: f, observer: random.integer(3), shift: pick([0, 0, 0.1 * random.normal()]) };
      if (f === 0) looks.push({ ...look, class: Math.min(4, Math.max(0, Math.round(state + 0.2 * random.normal()))) });
      if (f === 1) looks.push({ ...look, class: state > 2.6 ? 2 : state > 1.4 ? 1 : 0 });
      if (f === 2) looks.push({ ...look, value: 0.3 + Math.exp((state - 2.4) / 1.6) + 0.05 * random.normal() });
      if (f === 3) looks.push({ ...look, value: 40 + 25 * (state - 2) + 4 * random.normal() });
    }
    return {
      x: unmatched ? nodes.map(() => NaN) : nodes,
      weights: nodes.length === 5 ? [0.1, 0.25, 0.3, 0.25, 0.1] : [1],
      slope: i === 2 ? NaN : slope,
      looks,
    };
  });
  const { data, side } = levelCase(visits, { kinds, observers: 3, centre, mean: 2, sd: 0.9, ...options });
  const jitter = (size: number) => size * random.normal();
  const natural = Float64Array.from([
    0.5 + jitter(0.1),
    1.5 + jitter(0.1),
    2.5 + jitter(0.1),
    3.4 + jitter(0.1),
    Math.log(0.2) + jitter(0.3),
    1.4 + jitter(0.1),
    2.6 + jitter(0.1),
    Math.log(0.25) + jitter(0.3),
    1.1 + jitter(0.05),
    Math.log(0.5) + jitter(0.1),
    Math.log(1.6) + jitter(0.1),
    Math.log(0.08) + jitter(0.2),
    42 + jitter(1),
    Math.log(25) + jitter(0.1),
    Math.log(5) + jitter(0.2),
    Math.log(0.2) + jitter(0.3),
    jitter(0.8),
    jitter(0.1),
    jitter(0.1),
    jitter(0.1),
  ]);
  return { data, side, natural };
}
