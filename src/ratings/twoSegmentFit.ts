import { leastSquares } from '../kernel/leastSquares.js';
import { levenberg, type LevenbergDiary } from '../kernel/levenberg.js';
import { studentCritical } from '../kernel/studentT.js';
import { assembleRating, TWO_NAMES } from './assembleRating.js';
import type { RatingFit } from './fitRating.js';
import { ratingResiduals, twoSegments, type Gaugings, type RatingErrors } from './ratingForms.js';
import type { CurveTerm } from './types.js';

/** Gaugings wanted on either side of the break. */
const EACH_SIDE = 4;
/** Breaks tried. */
const BREAKS = 40;
/** Depths below the lowest gauging and below the break at which an offset is tried, as shares of the span. */
const DEPTHS = [0.02, 0.1, 0.4, 1.5];
/** An offset farther below its segment than this many spans is no offset any more. */
const FARTHEST_OFFSET = 1e3;

/** Two segments that meet at a break; see `fitRating`. */
export function fitTwoSegments(
  gaugings: Gaugings,
  { errors, level }: { errors: RatingErrors; level: number },
): RatingFit {
  const { stage } = gaugings;
  const n = stage.length;
  const df = n - 6;
  const shared = { errors, level, df, names: TWO_NAMES };
  const sorted = stage.slice().sort();
  const first = sorted[EACH_SIDE - 1];
  const last = sorted[n - EACH_SIDE];
  if (df < 1 || !(first < last)) return assembleRating(gaugings, { ...shared, status: 'too-few-rows' });
  const lowest = sorted[0];
  const span = sorted[n - 1] - lowest;
  const form = twoSegments(lowest);
  const residuals = ratingResiduals(gaugings, form, errors);

  const tried: { at: number; diary: LevenbergDiary }[] = [];
  for (let i = 0; i < BREAKS; i++) {
    const at = first + ((last - first) * (i + 0.5)) / BREAKS;
    const start = startAt(gaugings, { errors, at, lowest, span });
    if (start) tried.push({ at, diary: levenberg(residuals, start, { n, held: [3], maxIterations: 60 }) });
  }
  if (tried.length === 0) return assembleRating(gaugings, { ...shared, status: 'singular' });
  const coarse = tried.reduce((a, b) => (b.diary.rss < a.diary.rss ? b : a));
  // The curve is continuous in the break, its slope is not: one free run from the best of the tried ones, kept if it is better.
  const freed = levenberg(residuals, coarse.diary.point, { n, maxIterations: 300 });
  const inside = freed.point[3] >= first && freed.point[3] <= last && freed.rss <= coarse.diary.rss;
  const diary = inside ? freed : coarse.diary;
  const [lnC, b1, phi1, k, b2, phi2] = diary.point;
  if (!(b1 > 0 && b2 > 0)) return assembleRating(gaugings, { ...shared, status: 'not-rising' });
  if (Math.exp(Math.max(phi1, phi2)) > FARTHEST_OFFSET * span)
    return assembleRating(gaugings, { ...shared, status: 'unbounded' });
  const fit = leastSquares(diary.jacobian, diary.residuals, { n, p: 6 });
  if (fit.status !== 'ok') return assembleRating(gaugings, { ...shared, status: 'singular' });

  const h1 = lowest - Math.exp(phi1);
  const h2 = k - Math.exp(phi2);
  // By the standard's letters: dh1 = -e^φ1·dφ1, dh2 = dk - e^φ2·dφ2.
  const change = new Float64Array(36);
  for (let j = 0; j < 6; j++) change[j * 6 + j] = 1;
  change[14] = h1 - lowest;
  change[33] = 1;
  change[35] = h2 - k;
  const covariance = transformed(fit.unscaledCovariance, change, diary.rss / df);
  const se = (j: number): number => Math.sqrt(covariance[j * 6 + j]);
  const t = studentCritical(level, { df });
  const estimates = [lnC, b1, h1, k, b2, h2];
  const C1 = Math.exp(lnC);
  // The break's interval: every tried break that is not refused, and its refused neighbours, so that no better one hides between.
  const bearable = diary.rss * (1 + (t * t) / df);
  const kept = tried.filter(({ diary: { rss } }) => rss <= bearable);
  const stride = (last - first) / BREAKS;
  const terms = TWO_NAMES.map((term, j): CurveTerm => {
    if (j === 0) {
      const [lower, upper] = [Math.exp(lnC - t * se(0)), Math.exp(lnC + t * se(0))];
      return { term, estimate: C1, standardError: C1 * se(0), lower, upper };
    }
    const estimate = estimates[j];
    if (j === 3) {
      const lower = Math.max(first, Math.min(k, ...kept.map(({ at }) => at)) - stride);
      const upper = Math.min(last, Math.max(k, ...kept.map(({ at }) => at)) + stride);
      return { term, estimate, standardError: se(j), lower, upper };
    }
    if (j === 2 || j === 5) {
      // Offsets in ln of the depth below their segment, so that the interval is skewed and never passes it.
      const top = j === 2 ? lowest : k;
      const spread = Math.exp((t * se(j)) / (top - estimate));
      return {
        term,
        estimate,
        standardError: se(j),
        lower: top - (top - estimate) * spread,
        upper: top - (top - estimate) / spread,
      };
    }
    return { term, estimate, standardError: se(j), lower: estimate - t * se(j), upper: estimate + t * se(j) };
  });
  const C2 = Math.exp(lnC + b1 * Math.log(k - h1) - b2 * Math.log(k - h2));
  return assembleRating(gaugings, {
    ...shared,
    status: 'converged',
    segments: [
      { fromStage: h1, toStage: k, coefficient: C1, exponent: b1, offset: h1 },
      { fromStage: k, toStage: Infinity, coefficient: C2, exponent: b2, offset: h2 },
    ],
    terms,
    parameters: Float64Array.from(estimates),
    covariance,
    fitted: stage.map((h) => Math.exp(form(h, diary.point))),
    rss: diary.rss,
  });
}

/** With break and offsets given the rest is a straight line problem; the best of a few offsets. */
function startAt(
  { stage, discharge, weight }: Gaugings,
  { errors, at, lowest, span }: { errors: RatingErrors; at: number; lowest: number; span: number },
): Float64Array | undefined {
  const n = stage.length;
  const x = new Float64Array(n * 3);
  const y = new Float64Array(n);
  let best: Float64Array | undefined;
  let lowestRss = Infinity;
  for (const d1 of DEPTHS)
    for (const d2 of DEPTHS) {
      for (let i = 0; i < n; i++) {
        const root = Math.sqrt(weight[i]) * (errors === 'ln' ? 1 : discharge[i]);
        x[3 * i] = root;
        x[3 * i + 1] = root * Math.log(Math.min(stage[i], at) - lowest + d1 * span);
        x[3 * i + 2] = root * Math.log1p(Math.max(0, stage[i] - at) / (d2 * span));
        y[i] = root * Math.log(discharge[i]);
      }
      const { status, coefficients: c, rss } = leastSquares(x, y, { n, p: 3 });
      if (status !== 'ok' || !(rss < lowestRss)) continue;
      lowestRss = rss;
      best = Float64Array.of(c[0], c[1], Math.log(d1 * span), at, c[2], Math.log(d2 * span));
    }
  return best;
}

/** factor·G·V·Gᵀ for 6 × 6 matrices. */
function transformed(v: Float64Array, g: Float64Array, factor: number): Float64Array {
  const out = new Float64Array(36);
  for (let a = 0; a < 6; a++)
    for (let b = 0; b < 6; b++) {
      let sum = 0;
      for (let c = 0; c < 6; c++) for (let d = 0; d < 6; d++) sum += g[a * 6 + c] * v[c * 6 + d] * g[b * 6 + d];
      out[a * 6 + b] = factor * sum;
    }
  return out;
}
