import { expect } from 'vitest';
import { findMode } from '../../../src/fit/findMode.js';
import { createGridProblem } from '../../../src/fit/gridProblem.js';
import { choleskyFactor, choleskyInverse } from '../../../src/kernel/cholesky.js';
import { cellProbability } from '../../../src/kernel/link.js';
import { normalQuantile } from '../../../src/kernel/normal.js';
import { expectClose } from '../../expectClose.js';
import { BARE, plainAligned } from '../../fit/plainAligned.js';
import type { ReferenceFit } from './cases.js';

/** A table of ordinal regression in the level model's words. */
export interface OrdinalTable {
  readonly classes: number;
  /** Class of each row, from 0. */
  readonly saw: readonly number[];
  /** Covariate whose coefficient is 1/s; it must be positive. Default none: the scale is held at 1. */
  readonly x?: readonly number[];
  /** Factor, from 0, as observers: its dummies are their biases, the first held at 0. */
  readonly factor?: readonly number[];
  /** Known part of the linear predictor, in units of x. */
  readonly shift?: readonly number[];
  /** Group of the random intercept, from 0, as visits: its sd is the mismatch. */
  readonly group?: readonly number[];
}

export interface BareOptions {
  readonly link: 'probit' | 'logit';
  /** Holds the coefficient of x (for a profile). */
  readonly slope?: number;
  /** Holds the random intercept's sd; the slope must be held, too. */
  readonly sd?: number;
}

/** A bare fit in the words of cumulative link models: θ/s = threshold, 1/s = slope, b_o/s = dummy of o, σ/s = sd. */
export interface BareFit {
  readonly link: 'probit' | 'logit';
  readonly logLik: number;
  /** Thresholds, slope (with x), dummies, sd. */
  readonly coef: readonly number[];
  /** By the delta method from the Hessian at the maximum; not where something is held. */
  readonly covariance: readonly (readonly number[])[];
  readonly se: readonly number[];
  /** Edges on the scale of x. */
  readonly edges: readonly number[];
}

const range = <T>(n: number, of: (i: number) => T): T[] => Array.from({ length: n }, (_, i) => of(i));

function alignedOf({ classes, saw, x, factor, shift, group }: OrdinalTable) {
  const look = (i: number) => ({ saw: saw[i], observer: factor?.[i] ?? 0 });
  const visits = group
    ? range(Math.max(...group) + 1, (g) => ({
        x: 0,
        looks: saw.flatMap((_, i) =>
          group[i] === g ? [{ ...look(i), shift: (x?.[i] ?? 0) + (shift?.[i] ?? 0) }] : [],
        ),
      }))
    : saw.map((_, i) => ({ x: x?.[i] ?? 0, looks: [{ ...look(i), shift: shift?.[i] }] }));
  return plainAligned(visits, { features: [range(classes, String)], observers: Math.max(0, ...(factor ?? [])) + 1 });
}

/** Maximum likelihood of the level model with one feature and no priors; without groups also without mismatch. */
export function bareFit(table: OrdinalTable, { link, slope, sd }: BareOptions): BareFit {
  const all = createGridProblem(alignedOf(table), {
    ...BARE,
    link: link === 'logit' ? 1 : 0,
    mismatch: table.group !== undefined,
    bias: table.factor !== undefined,
  });
  const K = table.classes;
  const { plan } = all;
  const start = all.start(0);
  const held = new Set([plan.bias]);
  if (!table.x || slope !== undefined) held.add(K - 1);
  if (!table.x || slope !== undefined) start[K - 1] = -Math.log(slope ?? 1);
  if (sd !== undefined) held.add(plan.lnSigma);
  if (sd !== undefined) start[plan.lnSigma] = Math.log(sd / slope!);
  const free = plan.free.filter((i) => !held.has(i));
  const problem = { ...all, plan: { ...plan, free } };
  const mode = findMode(problem, 0, start, { tolerance: 1e-12, maxIterations: 200 });
  if (mode.status !== 'converged') throw new Error(`bareFit: the climb ended as ${mode.status}`);
  const words = (u: Float64Array): number[] => {
    const natural = problem.natural(u);
    const s = Math.exp(natural[K - 1]);
    return [
      ...Array.from(natural.subarray(0, K - 1), (edge) => edge / s),
      ...(table.x ? [1 / s] : []),
      ...(table.factor ? range(plan.observers - 1, (o) => natural[plan.bias + o + 1] / s) : []),
      ...(table.group ? [Math.exp(natural[plan.lnSigma]) / s] : []),
    ];
  };
  const covariance = deltaCovariance(words, { u: mode.u, free, hessian: mode.hessian });
  return {
    link,
    logLik: mode.value,
    coef: words(mode.u),
    covariance,
    se: covariance.map((row, r) => Math.sqrt(row[r])),
    edges: Array.from(problem.natural(mode.u).subarray(0, K - 1)),
  };
}

/** J·(-H)⁻¹·Jᵀ with J by central differences. */
function deltaCovariance(
  words: (u: Float64Array) => number[],
  { u, free, hessian }: { u: Float64Array; free: Int32Array; hessian: Float64Array },
): number[][] {
  const F = free.length;
  const slopes = Array.from(free, (i) => {
    const at = (by: number) => words(u.map((v, r) => (r === i ? v + by : v)));
    const down = at(-1e-5);
    return at(1e-5).map((v, r) => (v - down[r]) / 2e-5);
  });
  const factor = hessian.map((h) => -h);
  if (choleskyFactor(factor, F) !== 'ok') throw new Error('bareFit: no maximum');
  const inverse = new Float64Array(F * F);
  choleskyInverse(factor, F, inverse);
  const entry = (r: number, q: number) =>
    slopes.reduce((sum, a, i) => sum + slopes.reduce((t, b, j) => t + a[r] * inverse[i * F + j] * b[q], 0), 0);
  const W = words(u).length;
  return range(W, (r) => range(W, (q) => entry(r, q)));
}

/** P(class) for each class, from the thresholds and the rest of the linear predictor. */
export function classOdds({ link, coef }: Pick<BareFit, 'link' | 'coef'>, classes: number, rest: number): number[] {
  const cuts = [-Infinity, ...coef.slice(0, classes - 1).map((t) => t - rest), Infinity];
  return range(classes, (k) => cellProbability(cuts[k], cuts[k + 1], link === 'logit' ? 1 : 0));
}

/** Log-likelihood to 1e-6, coefficients to 1e-5 relative, standard errors to 1e-4 relative, covariances to 2e-4 of theirs. */
export function expectReference(fit: BareFit, expected: ReferenceFit, terms: readonly string[]): void {
  expectClose(fit.logLik, expected.logLik, { abs: 1e-6, why: 'log-likelihood' });
  terms.forEach((term, r) => {
    expectClose(fit.coef[r], expected.coef[term], { rel: 1e-5, why: term });
    if (expected.se) expectClose(fit.se[r], expected.se[term], { rel: 1e-4, why: `standard error of ${term}` });
  });
  const theirs = Object.keys(expected.coef);
  expect([...terms].sort()).toEqual([...theirs].sort());
  expected.vcov?.values.forEach((row, i) =>
    row.forEach((value, j) => {
      const [r, q] = [terms.indexOf(theirs[i]), terms.indexOf(theirs[j])];
      expectClose(fit.covariance[r][q], value, { abs: 2e-4 * fit.se[r] * fit.se[q], why: `${terms[r]}, ${terms[q]}` });
    }),
  );
}

/** At both ends of a 95 % profile interval twice the log-likelihood has fallen by the squared normal quantile, to `abs` in the end's place. */
export function expectProfileEnds(
  logLikAt: (held: number) => number,
  { logLik, se, ends, abs = 1e-3 }: { logLik: number; se: number; ends: readonly number[]; abs?: number },
): void {
  const z = normalQuantile(0.975);
  for (const end of ends)
    expectClose(2 * (logLik - logLikAt(end)), z * z, { abs: (abs * 2 * z) / se, why: `profile end ${end}` });
}

/** The highest value of a function with one top between two bounds, by golden section. */
export function highest(f: (t: number) => number, [low, high]: readonly [number, number]): number {
  const share = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [left, right] = [b - share * (b - a), a + share * (b - a)];
  let [fLeft, fRight] = [f(left), f(right)];
  for (let pass = 0; pass < 22; pass++)
    if (fLeft > fRight) {
      [b, right, fRight] = [right, left, fLeft];
      left = b - share * (b - a);
      fLeft = f(left);
    } else {
      [a, left, fLeft] = [left, right, fRight];
      right = a + share * (b - a);
      fRight = f(right);
    }
  return Math.max(fLeft, fRight);
}
