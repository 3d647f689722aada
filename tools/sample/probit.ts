import { normalCdf, normalPdf } from '../../src/kernel/normal.js';

/** Weight of moments below and above an edge at value x. */
export interface Heap {
  readonly x: Float64Array;
  readonly below: Float64Array;
  readonly above: Float64Array;
}

export interface ProbitEdge {
  /** ln value at which above and below are equally likely. */
  readonly at: number;
  /** Standard deviation of the hidden state around the gauge's ln value: the mismatch as this edge shows it. */
  readonly spread: number;
  /** Negative log-likelihood per unit of weight. */
  readonly meanNegLogLik: number;
}

const TINY = 1e-12;

/**
 * Weighted probit of "above the edge" on x: P = Φ((x - at) / spread), by Fisher scoring in slope and intercept with halved steps.
 * `undefined` where one side is empty, or where x does not rise with the creek at all.
 */
export function probitEdge({ x, below, above }: Heap): ProbitEdge | undefined {
  const n = x.length;
  const total = { below: 0, above: 0, x: 0 };
  for (let i = 0; i < n; i++) {
    const w = below[i]! + above[i]!;
    total.below += below[i]!;
    total.above += above[i]!;
    total.x += w * x[i]!;
  }
  const weight = total.below + total.above;
  if (!(total.below > 0 && total.above > 0)) return undefined;
  const mean = total.x / weight;
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (below[i]! + above[i]!) * (x[i]! - mean) ** 2;
  const sd = Math.sqrt(squares / weight);
  if (!(sd > 1e-9)) return undefined; // one value only, but for the rounding of its mean

  const loss = (a: number, b: number): number => {
    let value = 0;
    for (let i = 0; i < n; i++) {
      const p = normalCdf(a + (b * (x[i]! - mean)) / sd);
      value -= above[i]! * Math.log(Math.max(p, TINY)) + below[i]! * Math.log(Math.max(1 - p, TINY));
    }
    return value / weight;
  };
  let a = 0;
  let b = 1;
  let now = loss(a, b);
  for (let iteration = 0; iteration < 60; iteration++) {
    let ga = 0;
    let gb = 0;
    let haa = 0;
    let hab = 0;
    let hbb = 0;
    for (let i = 0; i < n; i++) {
      const z = (x[i]! - mean) / sd;
      const eta = a + b * z;
      const p = Math.min(1 - TINY, Math.max(TINY, normalCdf(eta)));
      const d = normalPdf(eta);
      const g = (d * (above[i]! * (1 - p) - below[i]! * p)) / (p * (1 - p));
      const h = ((above[i]! + below[i]!) * d * d) / (p * (1 - p));
      ga += g;
      gb += g * z;
      haa += h;
      hab += h * z;
      hbb += h * z * z;
    }
    const det = haa * hbb - hab * hab;
    const da = (hbb * ga - hab * gb) / det;
    const db = (haa * gb - hab * ga) / det;
    let step = 1;
    let next = loss(a + da, b + db);
    while (!(next <= now) && step > 1e-6) next = loss(a + (step /= 2) * da, b + step * db);
    if (!(next <= now)) break;
    const gained = now - next;
    a += step * da;
    b += step * db;
    now = next;
    if (gained < 1e-12) break;
  }
  return b > 0 ? { at: mean - (a / b) * sd, spread: sd / b, meanNegLogLik: now } : undefined;
}
