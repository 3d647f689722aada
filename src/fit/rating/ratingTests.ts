import { signProbability } from '../../kernel/binomial.js';
import { normalCdf, normalQuantile } from '../../kernel/normal.js';
import { studentCdf, studentCritical } from '../../kernel/studentT.js';
import { checkLevel, checkPairs } from './checkPairs.js';

/** One verdict, as a row. */
export interface RatingTest {
  readonly test: 'sign' | 'runs' | 'bias';
  /** What was asked, in a sentence. */
  readonly question: string;
  readonly statistic: number;
  /** The statistic passes below this. */
  readonly threshold: number;
  /** Two-sided; exact for the sign test, normal for the runs test, Student's t for the bias test. */
  readonly pValue: number;
  readonly pass: boolean;
  readonly status: 'ok' | 'too-few-rows';
  readonly comment: string;
}

export interface RatingTestsResult {
  readonly kind: 'rating-tests';
  readonly status: 'ok' | 'too-few-rows';
  readonly observations: number;
  readonly tests: readonly RatingTest[];
}

/** Gaugings below which the normal approximations are not to be trusted (a convention of ours). */
const FEWEST = 6;

const QUESTIONS = {
  sign: 'As many gaugings above the curve as below?',
  runs: 'Do the signs of the deviations, in order of stage, change as often as chance would have it?',
  bias: 'Is the mean deviation in per cent zero?',
} as const;

/**
 * The standard's own three tests of a rating curve against gaugings, in order of rising stage. With n deviations, n₊ above the
 * curve, c changes of sign and P = 100·(measured - curve)/curve:
 *
 *   sign: t = (|n₊ - n/2| - 1/2)/√(n/4)            runs: t = (|c - (n-1)/2| - 1/2)/√((n-1)/4)
 *   bias: t = |mean P|/(sd P/√n), Student's t with n - 1 degrees of freedom
 *
 * The first two compare with the normal quantile of the level, the third with Student's. A deviation of exactly 0 counts half
 * on each side in the sign test and takes the sign before it in the runs test. Source: ISO 1100-2:1998 (the tests of a
 * stage-discharge relation; formulas from memory, the text was not at hand). A curve fitted to the same gaugings passes sign
 * and bias tests too easily: use them on new gaugings.
 *
 * With fewer than 6 gaugings the status is `too-few-rows` and nothing passes or fails: statistics are NaN, `pass` is false.
 * @param measured n discharges, above 0
 * @param curve n discharges of the curve at the same stages, above 0
 * @param options stage: n stages, for the order (default: the order given); level: default 0.95
 * @throws RangeError for lengths that differ, values not above 0, a level outside (0, 1)
 * @example ratingTests(discharge, fit.fitted, { stage }).tests.map((t) => t.pass)
 */
export function ratingTests(
  measured: ArrayLike<number>,
  curve: ArrayLike<number>,
  { stage, level = 0.95 }: { stage?: ArrayLike<number>; level?: number } = {},
): RatingTestsResult {
  checkPairs('ratingTests', { measured, curve, stage }, { positive: ['measured', 'curve'] });
  checkLevel('ratingTests', level);
  const n = measured.length;
  const status = n < FEWEST ? 'too-few-rows' : 'ok';
  const order = Array.from({ length: n }, (_, i) => i);
  if (stage) order.sort((a, b) => stage[a] - stage[b] || a - b);
  const percent = order.map((i) => (100 * (measured[i] - curve[i])) / curve[i]);

  const above = percent.reduce((sum, d) => sum + (d > 0 ? 1 : d === 0 ? 0.5 : 0), 0);
  const sign = Math.max(0, Math.abs(above - n / 2) - 0.5) / Math.sqrt(n / 4);

  let changes = 0;
  let before = 0;
  for (const d of percent) {
    const now = Math.sign(d) || before;
    if (before !== 0 && now !== before) changes++;
    before = now;
  }
  const runs = Math.max(0, Math.abs(changes - (n - 1) / 2) - 0.5) / Math.sqrt((n - 1) / 4);

  const mean = percent.reduce((sum, d) => sum + d, 0) / n;
  const sd = Math.sqrt(percent.reduce((sum, d) => sum + (d - mean) ** 2, 0) / (n - 1));
  const bias = mean === 0 ? 0 : Math.abs(mean) / (sd / Math.sqrt(n));

  const row = (
    test: RatingTest['test'],
    { statistic, pValue, comment }: { statistic: number; pValue: number; comment: string },
  ): RatingTest => {
    const few = status === 'too-few-rows';
    const cut = test === 'bias' ? studentCritical(level, { df: n - 1 }) : -normalQuantile((1 - level) / 2);
    return Object.freeze({
      test,
      question: QUESTIONS[test],
      statistic: few ? NaN : statistic,
      threshold: few ? NaN : cut,
      pValue: few ? NaN : pValue,
      pass: !few && statistic < cut,
      status,
      comment: few ? `${n} gaugings are too few for this test; it wants ${FEWEST}.` : comment,
    });
  };
  return Object.freeze({
    kind: 'rating-tests',
    status,
    observations: n,
    tests: Object.freeze([
      row('sign', {
        statistic: sign,
        pValue: signProbability(Math.floor(Math.min(above, n - above)), { n }),
        comment: `${above} of ${n} gaugings lie above the curve.`,
      }),
      row('runs', {
        statistic: runs,
        pValue: 2 * normalCdf(-runs),
        comment: `The sign changes ${changes} times along the stage; ${(n - 1) / 2} were to be expected.`,
      }),
      row('bias', {
        statistic: bias,
        pValue: 2 * studentCdf(-bias, { df: n - 1 }),
        comment: `The mean deviation is ${mean.toFixed(1)} %, with a standard deviation of ${sd.toFixed(1)} %.`,
      }),
    ]),
  } as const);
}
