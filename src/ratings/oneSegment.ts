import { leastSquares } from '../kernel/leastSquares.js';
import { levenberg, type LevenbergDiary } from '../kernel/levenberg.js';
import { studentCritical } from '../kernel/studentT.js';
import { assembleRating, ONE_NAMES } from './assembleRating.js';
import type { RatingFit } from './fitRating.js';
import { profileLimits } from './profileLimits.js';
import { ratingResiduals, segmentAround, segmentBelow, type Gaugings, type RatingErrors } from './ratingForms.js';
import type { CurveTerm } from './types.js';

interface OneSegmentOptions {
  readonly errors: RatingErrors;
  readonly level: number;
  readonly offset?: number;
}

/** An offset farther below the gaugings than this many times their span is an exponential to every digit that matters. */
const FARTHEST_OFFSET = 1e4;

/** Q = C·(h - h0)^b in one segment; see `fitRating`. */
export function fitOneSegment(gaugings: Gaugings, { errors, level, offset }: OneSegmentOptions): RatingFit {
  const { stage } = gaugings;
  const n = stage.length;
  const held = offset === undefined ? [] : [2];
  const free = 3 - held.length;
  const df = n - free;
  const shared = { errors, level, df, names: ONE_NAMES, heldParameters: held.length };
  if (df < 1 || new Set(stage).size < free) return assembleRating(gaugings, { ...shared, status: 'too-few-rows' });

  const lowest = stage.reduce((a, b) => Math.min(a, b));
  const highest = stage.reduce((a, b) => Math.max(a, b));
  const reference = 0.5 * (lowest + highest);
  const around = segmentAround(reference);
  const aroundResiduals = ratingResiduals(gaugings, around, errors);
  const diary = bestFit(gaugings, { errors, reference, lowest, offset });
  const [, slope, kappa] = diary.point;
  const fittedBy = (point: Float64Array): Float64Array => stage.map((h) => Math.exp(around(h, point)));
  if (!(slope > 0)) return assembleRating(gaugings, { ...shared, status: 'not-rising' });
  if (diary.status !== 'converged') return assembleRating(gaugings, { ...shared, status: diary.status });
  if (!(kappa * FARTHEST_OFFSET * (highest - lowest) > 1))
    return unboundedRating(gaugings, { shared, diary, fitted: fittedBy(diary.point) });

  const depth = 1 / kappa;
  const h0 = offset ?? reference - depth;
  const b = slope * depth;
  const lnC = diary.point[0] - b * Math.log(depth);
  const below = ratingResiduals(gaugings, segmentBelow(lowest), errors);
  const start = Float64Array.of(lnC, b, Math.log(lowest - h0));
  // Same point in the standard's letters: its Jacobian gives the covariance, its profiles the intervals of C and b.
  const lettered = levenberg(below, start, { n, held, maxIterations: 0 });
  const covariance = letteredCovariance(lettered, { n, df, toOffset: lowest - h0, held });
  if (!covariance) return assembleRating(gaugings, { ...shared, status: 'singular' });

  const t = studentCritical(level, { df });
  const se = (j: number): number => Math.sqrt(covariance[j * 3 + j]);
  const kappaSe = se(2) / (depth * depth);
  const kappas =
    offset === undefined
      ? profileLimits(aroundResiduals, { diary, n, term: 2, t, standardError: kappaSe })
      : { lower: kappa, upper: kappa };
  const open = !(kappas.lower > 0);
  const limitsOf = (term: number): { lower: number; upper: number } =>
    profileLimits(below, { diary: lettered, n, term, t, standardError: se(term), held });
  const lnCs = limitsOf(0);
  const bs = limitsOf(1);
  const C = Math.exp(lnC);
  const terms: CurveTerm[] = [
    {
      term: 'C',
      estimate: C,
      standardError: C * se(0),
      lower: open ? 0 : Math.exp(lnCs.lower),
      upper: Math.exp(lnCs.upper),
    },
    { term: 'b', estimate: b, standardError: se(1), lower: bs.lower, upper: open ? Infinity : bs.upper },
    {
      term: 'h0',
      estimate: h0,
      standardError: se(2),
      lower: offset ?? (open ? -Infinity : reference - 1 / kappas.lower),
      upper: offset ?? Math.min(lowest, reference - 1 / kappas.upper),
    },
  ];
  return assembleRating(gaugings, {
    ...shared,
    status: 'converged',
    segments: [{ fromStage: h0, toStage: Infinity, coefficient: C, exponent: b, offset: h0 }],
    terms,
    parameters: Float64Array.of(lnC, b, h0),
    covariance,
    fitted: fittedBy(diary.point),
    rss: diary.rss,
  });
}

/** Weighted straight line of ln Q for one offset after the other, the best of them sharpened. */
function bestFit(
  gaugings: Gaugings,
  { errors, reference, lowest, offset }: { errors: RatingErrors; reference: number; lowest: number; offset?: number },
): LevenbergDiary {
  const { stage, discharge, weight } = gaugings;
  const n = stage.length;
  const half = reference - lowest;
  const residuals = ratingResiduals(gaugings, segmentAround(reference), errors);
  const around = segmentAround(reference);
  const x = new Float64Array(n * 2);
  const y = new Float64Array(n);
  const scratch = new Float64Array(n);
  const row = new Float64Array(3);
  let best: Float64Array | undefined;
  let lowestRss = Infinity;
  const depths =
    offset === undefined
      ? Array.from({ length: 33 }, (_, i) => half * (1 + 10 ** (-4 + i * 0.25)))
      : [reference - offset];
  for (const depth of depths) {
    const kappa = 1 / depth;
    for (let i = 0; i < n; i++) {
      around(stage[i], Float64Array.of(0, 1, kappa), row);
      // In natural units an error of ln Q counts Q times.
      const root = Math.sqrt(weight[i]) * (errors === 'ln' ? 1 : discharge[i]);
      x[2 * i] = root;
      x[2 * i + 1] = root * row[1];
      y[i] = root * Math.log(discharge[i]);
    }
    const { status, coefficients } = leastSquares(x, y, { n, p: 2 });
    const point = Float64Array.of(coefficients[0], coefficients[1], kappa);
    if (status !== 'ok' || !residuals(point, scratch)) continue;
    const rss = scratch.reduce((sum, r) => sum + r * r, 0);
    if (best === undefined || rss < lowestRss) {
      best = point;
      lowestRss = rss;
    }
  }
  const start = best ?? Float64Array.of(0, 0, 1 / depths[0]);
  return levenberg(residuals, start, { n, held: offset === undefined ? [] : [2] });
}

/** Covariance of ln C, b, h0 from a fit in ln C, b, φ; undefined where singular. */
function letteredCovariance(
  { jacobian, residuals, rss }: LevenbergDiary,
  { n, df, toOffset, held }: { n: number; df: number; toOffset: number; held: readonly number[] },
): Float64Array | undefined {
  const p = 3 - held.length;
  const columns = new Float64Array(n * p);
  for (let i = 0; i < n; i++) for (let j = 0; j < p; j++) columns[i * p + j] = jacobian[i * 3 + j];
  const { status, unscaledCovariance } = leastSquares(columns, residuals, { n, p });
  if (status !== 'ok') return undefined;
  // dh0 = -e^φ·dφ
  const factor = [1, 1, -toOffset];
  const covariance = new Float64Array(9);
  for (let a = 0; a < p; a++)
    for (let c = 0; c < p; c++)
      covariance[a * 3 + c] = (unscaledCovariance[a * p + c] * factor[a] * factor[c] * rss) / df;
  return covariance;
}

function unboundedRating(
  gaugings: Gaugings,
  {
    shared,
    diary,
    fitted,
  }: {
    shared: { errors: RatingErrors; level: number; df: number; names: readonly string[] };
    diary: LevenbergDiary;
    fitted: Float64Array;
  },
): RatingFit {
  const open = (term: string, estimate: number): CurveTerm => ({
    ...{ term, estimate, standardError: NaN, lower: NaN, upper: NaN },
  });
  return assembleRating(gaugings, {
    ...shared,
    status: 'unbounded',
    segments: [],
    terms: [open('C', 0), open('b', Infinity), open('h0', -Infinity)],
    fitted,
    rss: diary.rss,
  });
}
