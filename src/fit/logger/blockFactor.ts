import { curveAt, type CurveSetting } from './curveFit.js';
import type { LoggerRows } from './loggerRows.js';

/** Rows of two days stand or fall together. */
const BLOCK_MS = 48 * 3_600_000;

/** Below this many blocks their disagreement is not known well enough to use: the smallest factor then is 1/4. */
const FEWEST_BLOCKS = 6;
const SMALLEST = 0.05;
const CAREFUL = 0.25;

/**
 * How much the log-likelihood over lags (and storages) is to be flattened: H/J, its curvature over the sum of squares of the slopes that
 * two-day blocks of rows contribute (a sandwich estimate in one direction; "magnitude adjustment" of a likelihood whose rows are not what
 * it takes them for; from memory). In a world where the model is right the two are equal. The smaller of both directions, at most 1.
 *
 * @param options.logLikelihood of all grid points (G, storage-major).
 */
export function blockFactorOf(
  rows: LoggerRows,
  { lags, logLikelihood, setting }: { lags: Float64Array; logLikelihood: Float64Array; setting: CurveSetting },
): number {
  const nL = lags.length;
  const G = logLikelihood.length;
  const n = rows.level.length;
  let best = 0;
  for (let g = 1; g < G; g++) if (logLikelihood[g] > logLikelihood[best]) best = g;
  const block = Int32Array.from(rows.timesMs, (t) => Math.floor((t - rows.timesMs[0]) / BLOCK_MS));
  const blocks = n === 0 ? 0 : block[n - 1] + 1;
  const rowTerms = (g: number): { terms: Float64Array; rss: number } => {
    const terms = new Float64Array(n);
    const { rss } = curveAt(rows.x.subarray(g * n, (g + 1) * n), setting, terms);
    return { terms: terms.map((r) => r * r), rss };
  };
  const factor = (step: number, inside: boolean): number => {
    if (!inside) return 1;
    const [low, mid, high] = [rowTerms(best - step), rowTerms(best), rowTerms(best + step)];
    const noise = mid.rss / n;
    const curvature = (low.rss - 2 * mid.rss + high.rss) / (2 * noise);
    const slopes = new Float64Array(blocks);
    for (let i = 0; i < n; i++) slopes[block[i]] += (low.terms[i] - high.terms[i]) / (4 * noise);
    const mean = slopes.reduce((a, b) => a + b, 0) / blocks;
    const squares = slopes.reduce((sum, s) => sum + (s - mean) ** 2, 0);
    return curvature > 0 && squares > 0 ? curvature / squares : 1;
  };
  const l = best % nL;
  const k = Math.floor(best / nL);
  // Two steps of lag where there is room: neighbours half an hour apart differ by little more than rounding on an hourly record.
  const wide = l >= 2 && l + 2 < nL ? 2 : 1;
  const ratio = Math.min(factor(wide, l > 0 && l + 1 < nL), factor(nL, k > 0 && (k + 1) * nL < G), 1);
  return Math.max(blocks < FEWEST_BLOCKS ? Math.min(ratio, CAREFUL) : ratio, SMALLEST);
}
