import { kendallScore, kendallUpperTail } from '../../kernel/kendall.js';
import { normalCdf, normalQuantile } from '../../kernel/normal.js';
import { quantile, quantileSorted } from '../../kernel/quantile.js';
import { pairSlopes } from '../../kernel/theilSen.js';
import { checkLevel, checkPairs } from './checkPairs.js';

/** Up to this n, without ties, the interval's ranks are exact. */
const EXACT_UP_TO = 60;

export interface RobustLineOptions {
  /**
   * `exact`: the widest critical S whose confidence is at least the level, from the distribution of S without ties. `normal`: ranks
   * (N ± z·√var S)/2 rounded, as Sen 1968 and scipy. Default exact without ties up to n = 60, else normal.
   */
  readonly interval?: 'exact' | 'normal';
  /** `medians`: median y - slope·median x (Conover; USGS TM 4-A3). `residuals`: median of y - slope·x. Default medians. */
  readonly intercept?: 'medians' | 'residuals';
  /** Default 0.95. */
  readonly level?: number;
}

/** A line through the middle of all pairs' slopes. */
export interface RobustLine {
  readonly kind: 'robust-line';
  readonly status: 'ok' | 'too-few-rows' | 'constant';
  readonly statusSentence: string;
  readonly slope: number;
  /** -Infinity and Infinity where so few rows can't give the level. */
  readonly slopeLower: number;
  readonly slopeUpper: number;
  readonly intercept: number;
  readonly level: number;
  /** What the interval really has: at least the level when exact and not open. */
  readonly confidence: number;
  readonly intervalMethod: 'exact' | 'normal';
  readonly kendallS: number;
  readonly observations: number;
  /** Pairs with different x. */
  readonly pairs: number;
}

const SENTENCES: Readonly<Record<RobustLine['status'], string>> = {
  ok: 'The line is the median of the slopes of all pairs; a quarter of wild readings does not move it far.',
  'too-few-rows': 'Fewer than 3 rows: no robust line.',
  constant: 'All x are the same: there is no line.',
};

/**
 * Theil-Sen (Kendall-Theil) line: slope = median of (y_j - y_i)/(x_j - x_i), its interval between two ordered slopes chosen by
 * Kendall's S. With C the critical value it runs from the ((N - C)/2)-th to the ((N + C)/2 + 1)-th of N slopes.
 * Source: H. Theil, 1950; P. K. Sen, J. Amer. Statist. Assoc. 63 (1968) 1379-1389; M. Hollander & D. A. Wolfe, 1973, ch. 9;
 * D. R. Helsel et al., USGS TM 4-A3, 2020, ch. 10 (formulas from memory).
 * With fewer than 3 rows, or one x only, the status says so and the numbers are NaN. Too few rows for the level (n = 4 at
 * 0.95) leave the interval open: -Infinity to Infinity.
 * @param x n finite numbers
 * @param y n finite numbers
 * @throws RangeError for lengths that differ, values that are not finite, `interval: 'exact'` with ties
 * @example robustLine([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78]).slope // 4
 */
export function robustLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  { interval, intercept = 'medians', level = 0.95 }: RobustLineOptions = {},
): RobustLine {
  checkPairs('robustLine', { x, y });
  checkLevel('robustLine', level);
  const n = x.length;
  const score = kendallScore(x, y);
  if (interval === 'exact' && score.ties)
    throw new RangeError("robustLine: interval 'exact' needs data without ties; leave the option out or take 'normal'");
  const intervalMethod = interval ?? (!score.ties && n <= EXACT_UP_TO ? 'exact' : 'normal');
  const slopes = pairSlopes(x, y);
  const status = n < 3 ? 'too-few-rows' : slopes.length === 0 ? 'constant' : 'ok';
  const slope = status === 'ok' ? quantileSorted(slopes, 0.5) : NaN;
  const xs = Float64Array.from(x);
  const ys = Float64Array.from(y);
  const middle =
    intercept === 'medians'
      ? quantile(ys, 0.5) - slope * quantile(xs, 0.5)
      : quantile(
          ys.map((v, i) => v - slope * xs[i]),
          0.5,
        );
  const ends =
    status !== 'ok'
      ? { slopeLower: NaN, slopeUpper: NaN, confidence: NaN }
      : intervalMethod === 'exact'
        ? exactInterval(slopes, n, level)
        : normalInterval(slopes, score.variance, level);
  return Object.freeze({
    kind: 'robust-line',
    status,
    statusSentence: SENTENCES[status],
    slope,
    ...ends,
    intercept: middle,
    level,
    intervalMethod,
    kendallS: score.s,
    observations: n,
    pairs: slopes.length,
  } as const);
}

interface SlopeInterval {
  readonly slopeLower: number;
  readonly slopeUpper: number;
  readonly confidence: number;
}

function exactInterval(slopes: Float64Array, n: number, level: number): SlopeInterval {
  const N = slopes.length;
  // S moves in steps of 2 from N downwards; C is the smallest with P(|S| ≤ C) at least the level.
  let C = N;
  while (C - 2 >= 0 && 1 - 2 * kendallUpperTail(C, { n }) >= level) C -= 2;
  const confidence = C === N ? 1 : 1 - 2 * kendallUpperTail(C + 2, { n });
  if (C === N) return { slopeLower: -Infinity, slopeUpper: Infinity, confidence };
  const rank = (N - C) / 2;
  return { slopeLower: slopes[rank - 1], slopeUpper: slopes[N - rank], confidence };
}

function normalInterval(slopes: Float64Array, variance: number, level: number): SlopeInterval {
  const N = slopes.length;
  const sd = Math.sqrt(variance);
  const C = -normalQuantile((1 - level) / 2) * sd;
  const low = Math.max(Math.round((N - C) / 2) - 1, 0);
  const high = Math.min(Math.round((N + C) / 2), N - 1);
  const open = N - C < 1;
  // The interval holds the slopes whose S is at most this far from 0.
  const held = N - 2 * (low + 1);
  return {
    slopeLower: open ? -Infinity : slopes[low],
    slopeUpper: open ? Infinity : slopes[high],
    confidence: open ? 1 : 1 - 2 * normalCdf(-(held + 1) / sd),
  };
}
