import { checkPairs } from './checkPairs.js';

/** How the scatter around a curve grows with what is read. */
export interface ErrorGrowth {
  readonly kind: 'error-growth';
  readonly status: 'ok' | 'too-few-rows' | 'no-scatter';
  /** δ in sd = σ·fitted^δ: 0, errors in the unit; 1, errors in per cent. */
  readonly exponent: number;
  /** Profile likelihood interval; infinite where it is open. */
  readonly lower: number;
  readonly upper: number;
  readonly observations: number;
  /** Which errors to fit with: `ln` where the interval leaves out 0, `natural` where it leaves out 1, `either` else. */
  readonly suggests: 'natural' | 'ln' | 'either' | 'none';
  readonly sentence: string;
}

/** Fewer say nothing about their scatter. */
const FEWEST = 8;
/** δ looked at; a scatter that falls as fast, or rises faster, is no such law. */
const FROM = -2;
const TO = 4;
const STEP = 0.01;
/** Half the 0.95 quantile of χ² with one degree of freedom. */
const DROP = 1.9207294103470613;

/**
 * Does the scatter of readings around a curve grow with the reading? Maximum likelihood of δ in r_i ~ N(0, σ²·f_i^(2δ)), the curve held as fitted:
 *
 *   ℓ(δ) = -n/2·ln Σ(r_i/f_i^δ)² - δ·Σ ln f_i,
 *
 * with the 95 % profile interval. A staff read to the nearest centimetre has δ near 0, a gauging's error in per cent has δ near 1. The curve takes up some of the scatter, so
 * the interval is a little too narrow with few readings.
 *
 * @param fitted n values of the curve, above 0. @param observed n readings.
 * @returns `too-few-rows` below 8, `no-scatter` where every reading lies on the curve or all fitted values are the same; numbers are then NaN.
 * @throws RangeError for lengths that differ, or a fitted value not above 0.
 * @example errorGrowth(fit.fitted, discharge).suggests
 */
export function errorGrowth(fitted: ArrayLike<number>, observed: ArrayLike<number>): ErrorGrowth {
  checkPairs('errorGrowth', { fitted, observed }, { positive: ['fitted'] });
  const n = fitted.length;
  const ln = Float64Array.from(fitted, Math.log);
  const mean = ln.reduce((a, b) => a + b, 0) / n;
  const residual = Float64Array.from(fitted, (f, i) => observed[i] - f);
  const spread = ln.reduce((sum, v) => sum + (v - mean) ** 2, 0);
  const scatter = residual.reduce((sum, r) => sum + r * r, 0);
  const status = n < FEWEST ? 'too-few-rows' : scatter > 0 && spread > 1e-20 ? 'ok' : 'no-scatter';
  if (status !== 'ok')
    return Object.freeze({
      kind: 'error-growth' as const,
      status,
      exponent: NaN,
      lower: NaN,
      upper: NaN,
      observations: n,
      suggests: 'none' as const,
      sentence:
        status === 'too-few-rows'
          ? `${n} readings are too few to tell how their scatter grows; 8 are needed.`
          : 'There is no scatter to judge.',
    });
  const logLikelihood = (delta: number): number => {
    let sum = 0;
    // Around the mean of ln f, so that the last term is 0.
    for (let i = 0; i < n; i++) sum += (residual[i] * Math.exp(-delta * (ln[i] - mean))) ** 2;
    return -0.5 * n * Math.log(sum);
  };
  const grid = Array.from({ length: Math.round((TO - FROM) / STEP) + 1 }, (_, k) => FROM + k * STEP);
  const values = grid.map(logLikelihood);
  const top = Math.max(...values);
  const inside = grid.filter((_, k) => values[k] >= top - DROP);
  const lower = inside[0] === FROM ? -Infinity : inside[0];
  const upper = inside[inside.length - 1] === grid[grid.length - 1] ? Infinity : inside[inside.length - 1];
  const suggests = lower > 0 && upper >= 1 ? 'ln' : lower <= 0 && upper < 1 ? 'natural' : 'either';
  const body = { exponent: grid[values.indexOf(top)], lower, upper };
  return Object.freeze({
    kind: 'error-growth' as const,
    status,
    ...body,
    observations: n,
    suggests,
    sentence: sentenceOf(body, suggests),
  });
}

function sentenceOf(
  { exponent, lower, upper }: Pick<ErrorGrowth, 'exponent' | 'lower' | 'upper'>,
  suggests: ErrorGrowth['suggests'],
): string {
  const end = (value: number): string => (Number.isFinite(value) ? value.toFixed(1) : 'open');
  const range = `the scatter goes with the reading to the power ${exponent.toFixed(1)} (${end(lower)} to ${end(upper)})`;
  if (suggests === 'ln') return `Errors in per cent fit: ${range}.`;
  if (suggests === 'natural') return `Errors in the unit fit: ${range}.`;
  return `The readings can't tell errors in the unit from errors in per cent: ${range}.`;
}
