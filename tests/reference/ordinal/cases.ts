import { readFileSync } from 'node:fs';
import type { CumulativeLinkFit } from '../../../src/fit/cumulativeLink.js';
import type { CumulativeLinkData } from '../../../src/fit/cumulativeLinkData.js';
import { normalQuantile } from '../../../src/kernel/normal.js';
import { expectClose } from '../../expectClose.js';

/** What a reference engine printed for one fit. */
export interface ReferenceFit {
  readonly coef: Readonly<Record<string, number>>;
  readonly se?: Readonly<Record<string, number>>;
  readonly logLik: number;
  readonly AIC?: number;
  readonly vcov?: { readonly values: number[][] };
  readonly ci95_profile?: Readonly<Record<string, [number, number]>>;
}

export function loadCheck<Data, Expected>(id: string): { data: Data; expected: Expected } {
  return JSON.parse(readFileSync(new URL(`${id}.json`, import.meta.url), 'utf8')) as { data: Data; expected: Expected };
}

export interface WineTable {
  readonly rating: number[];
  readonly temp: string[];
  readonly contact: string[];
  readonly bottle: number[];
  readonly judge: number[];
}

/** 0/1 for a word. */
export function dummy(values: readonly (string | number)[], one: string | number): Float64Array {
  return Float64Array.from(values, (value) => (value === one ? 1 : 0));
}

/** Randall's (1989) 72 bitterness ratings: covariates as ordinal's dummies name them. */
export function wine(table: WineTable): {
  ratings: Pick<CumulativeLinkData, 'classes' | 'classIndex'>;
  tempwarm: Float64Array;
  contactyes: Float64Array;
  judge: Int32Array;
} {
  return {
    ratings: { classes: ['1', '2', '3', '4', '5'], classIndex: Int32Array.from(table.rating, (r) => r - 1) },
    tempwarm: dummy(table.temp, 'warm'),
    contactyes: dummy(table.contact, 'yes'),
    judge: Int32Array.from(table.judge, (j) => j - 1),
  };
}

/**
 * Every coefficient and standard error of a reference fit, by the terms' own names or by `names` (ours -> theirs):
 * log-likelihood to 1e-6, coefficients to 1e-5 relative, standard errors to 1e-4 relative unless said.
 */
export function expectFit(
  fit: CumulativeLinkFit,
  expected: ReferenceFit,
  {
    names = {},
    coefRel = 1e-5,
    seRel = 1e-4,
    logLikAbs = 1e-6,
    what,
  }: {
    names?: Readonly<Record<string, string>>;
    coefRel?: number;
    seRel?: number;
    logLikAbs?: number;
    what: string;
  },
): void {
  expectClose(fit.logLik, expected.logLik, { abs: logLikAbs, why: `${what}: log-likelihood` });
  if (expected.AIC !== undefined) expectClose(fit.aic, expected.AIC, { abs: 2 * logLikAbs, why: `${what}: AIC` });
  const compared = new Set<string>();
  const columns = fit.terms
    .filter((t) => t.part !== 'sd')
    .map(({ term, part, estimate, standardError }) => {
      const theirs = names[`${part} ${term}`] ?? names[term] ?? term;
      compared.add(theirs);
      expectClose(estimate, expected.coef[theirs], { rel: coefRel, why: `${what}: coefficient ${theirs}` });
      if (expected.se) expectClose(standardError, expected.se[theirs], { rel: seRel, why: `${what}: s.e. ${theirs}` });
      return theirs;
    });
  const missed = Object.keys(expected.coef).filter((name) => !compared.has(name));
  if (missed.length > 0) throw new Error(`${what}: the fit has no ${missed.join(', ')}`);
  if (expected.vcov) {
    const P = fit.terms.length;
    const order = Object.keys(expected.coef);
    columns.forEach((row, q) => {
      columns.forEach((column, r) => {
        // By position: the covariance repeats a name that the coefficients tell apart.
        const at = expected.vcov!.values[order.indexOf(row)][order.indexOf(column)];
        const size = fit.terms[q].standardError * fit.terms[r].standardError;
        expectClose(fit.covariance[q * P + r], at, {
          abs: 2e-4 * size,
          why: `${what}: covariance of ${row} and ${column}`,
        });
      });
    });
  }
}

/**
 * Profile-likelihood interval of one coefficient: the values at which twice the fall of the log-likelihood is the square of
 * the normal quantile, found by bisection outwards from the estimate.
 * @param logLikAt log-likelihood maximised over everything else, the coefficient held
 */
export function profileInterval(
  logLikAt: (held: number) => number,
  {
    estimate,
    standardError,
    logLik,
    level = 0.95,
  }: {
    estimate: number;
    standardError: number;
    logLik: number;
    level?: number;
  },
): [number, number] {
  const target = logLik - 0.5 * normalQuantile(0.5 + level / 2) ** 2;
  const end = (sign: number): number => {
    let inside = estimate;
    let outside = estimate + sign * standardError;
    while (logLikAt(outside) > target) {
      inside = outside;
      outside += sign * standardError;
    }
    for (let pass = 0; pass < 30; pass++) {
      const middle = 0.5 * (inside + outside);
      if (logLikAt(middle) > target) inside = middle;
      else outside = middle;
    }
    return 0.5 * (inside + outside);
  };
  return [end(-1), end(1)];
}

/** Data with one location covariate held at a value. */
export function holdLocation(data: CumulativeLinkData, name: string, value: number): CumulativeLinkData {
  const { [name]: held, ...location } = data.location!;
  return { ...data, location, offset: held.map((x, i) => x * value + (data.offset?.[i] ?? 0)) };
}
