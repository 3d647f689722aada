import type { FittedFeature, LevelFit } from '../../fit/types.js';
import { rounded } from '../../series/format.js';
import { VERDICT } from '../../series/visits.js';

/** Draws that a chart carries for the way: 150 place odds to a few percent of their interval. */
const WAY_DRAWS = 150;

/** What turns sightings of a day into odds: some of the fit's draws, in ln units of the chart's own reading. A page carries it as JSON. */
export interface WayDraws {
  /** 0 normal, 1 logistic blur. */
  readonly link: 0 | 1;
  /** σ of each draw. */
  readonly mismatch: readonly number[];
  /** The verdict first, then the features with classes in their order down the run: edges and blur of each draw. */
  readonly features: readonly {
    readonly id: string;
    readonly classes: readonly string[];
    readonly edges: readonly (readonly number[])[];
    readonly blur: readonly number[];
  }[];
}

/** What a day's sightings say. */
export interface WayOdds {
  /** Odds of the verdict's classes, lowest first. */
  readonly odds: readonly number[];
  /**
   * One for each sighting: probability that as little or less, and as much or more, is seen; by the gauge alone, and after the sightings
   * before it.
   */
  readonly tails: readonly {
    readonly byGauge: readonly [atMost: number, atLeast: number];
    readonly afterOthers: readonly [atMost: number, atLeast: number];
  }[];
}

/**
 * The draws of a fit that a day needs, evenly picked. Null where there is nothing to look at on the way: no feature with classes beside the
 * verdict.
 */
export function wayDraws(fit: LevelFit): WayDraws | null {
  const verdict = fit.features.find(({ id }) => id === VERDICT);
  const seen = fit.features.filter(({ id, classes }) => id !== VERDICT && classes.length > 0);
  if (verdict === undefined || seen.length === 0 || !(fit.draws.count > 0)) return null;
  const step = Math.max(1, Math.ceil(fit.draws.count / WAY_DRAWS));
  const picked = Array.from({ length: Math.ceil(fit.draws.count / step) }, (_, i) => i * step);
  const feature = ({ id, classes, edges, blur }: FittedFeature) => ({
    id,
    classes,
    edges: picked.map((d) =>
      Array.from(edges.subarray(d * (classes.length - 1), (d + 1) * (classes.length - 1)), (e) => rounded(e, 4)),
    ),
    blur: picked.map((d) => rounded(blur[d], 5)),
  });
  return {
    link: fit.link === 'logit' ? 1 : 0,
    mismatch: picked.map((d) => rounded(fit.draws.mismatch[d], 5)),
    features: [feature(verdict), ...seen.map(feature)],
  };
}

/**
 * Odds of the run's classes after what was seen on the way. For each draw the creek's state c ~ N(x, σ²); each sighting multiplies by P(saw
 * = k | c) = F((θ_k - c)/s) - F((θ_{k-1} - c)/s), the likelihood that the chart was fitted by, of the average observer; draws that foresaw
 * what was seen weigh more. The integral over c is the trapezoid rule on ±8 σ in steps of σ/10, which converges exponentially for such
 * smooth integrands. Φ by its series about 0 (G. Marsaglia, J. Stat. Software 11(4), 2004, from memory).
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 * @param options.x ln(reading - zero flow). @param options.seen sightings in their order: place in `way.features` and class.
 */
export function onTheWay(
  { link, mismatch, features }: WayDraws,
  { x, seen }: { x: number; seen: readonly { readonly feature: number; readonly classIndex: number }[] },
): WayOdds {
  const each = 161;
  const n = each * mismatch.length;
  const z = (i: number) => ((i % each) - 80) * 0.1;
  const cdf = (at: number) => {
    if (link === 1) return 1 / (1 + Math.exp(-at));
    if (Math.abs(at) > 8.5) return at > 0 ? 1 : 0;
    let sum = at;
    for (let term = at, k = 3; sum + term !== sum; k += 2) sum += term *= (at * at) / k;
    return 0.5 + sum * Math.exp(-0.5 * at * at) * 0.3989422804014327;
  };
  /** P(class <= k) at every state of every draw. */
  const upTo = (feature: number, k: number) => {
    const { edges, blur, classes } = features[feature]!;
    const cell = (i: number, d: number) => cdf((edges[d]![k]! - x - mismatch[d]! * z(i)) / blur[d]!);
    return Float64Array.from({ length: n }, (_, i) =>
      k < 0 ? 0 : k >= classes.length - 1 ? 1 : cell(i, Math.floor(i / each)),
    );
  };
  const mean = (of: Float64Array, by: Float64Array) => {
    let sum = 0;
    let total = 0;
    for (let i = 0; i < n; i++) {
      sum += by[i]! * of[i]!;
      total += by[i]!;
    }
    return sum / total;
  };
  const prior = Float64Array.from({ length: n }, (_, i) => Math.exp(-0.5 * z(i) ** 2));
  let weights = prior;
  const tails = seen.map(({ feature, classIndex }) => {
    const [below, atMost] = [upTo(feature, classIndex - 1), upTo(feature, classIndex)] as const;
    const by = (w: Float64Array) => [mean(atMost, w), 1 - mean(below, w)] as const;
    const told = { byGauge: by(prior), afterOthers: by(weights) };
    weights = weights.map((w, i) => w * (atMost[i]! - below[i]!));
    return told;
  });
  const cumulative = features[0]!.classes.map((_, k) => mean(upTo(0, k), weights));
  return { odds: cumulative.map((p, k) => p - (k === 0 ? 0 : cumulative[k - 1]!)), tails };
}
