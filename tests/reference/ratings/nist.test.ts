import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitCurve, type CurveModel } from '../../../src/ratings/fitCurve.js';

interface Check {
  readonly data: { readonly x: number[]; readonly y: number[]; readonly start1: number[]; readonly start2: number[] };
  readonly expected: {
    readonly parameters_certified: Readonly<Record<string, { readonly estimate: string; readonly sd: string }>>;
    readonly residual_sum_of_squares: string;
    readonly residual_sd: string;
  };
}

function load(name: string): Check {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as Check;
}

/** Number of correct significant digits, at most the 11 that are certified. */
function correctDigits(got: number, certified: number): number {
  const off = Math.abs(got - certified) / Math.abs(certified);
  return off !== off ? 0 : Math.max(0, Math.min(11, -Math.log10(Math.max(off, 1e-11))));
}

const { exp, log } = Math;

/** The seven models as NIST prints them, with their derivatives. */
const MODELS: Readonly<Record<string, CurveModel>> = {
  misra1a: {
    terms: ['b1', 'b2'],
    value: (x, b) => -b[0] * Math.expm1(-b[1] * x),
    gradient: (x, b, out) => {
      out[0] = -Math.expm1(-b[1] * x);
      out[1] = b[0] * x * exp(-b[1] * x);
    },
  },
  boxbod: {
    terms: ['b1', 'b2'],
    value: (x, b) => -b[0] * Math.expm1(-b[1] * x),
    gradient: (x, b, out) => {
      out[0] = -Math.expm1(-b[1] * x);
      out[1] = b[0] * x * exp(-b[1] * x);
    },
  },
  chwirut2: {
    terms: ['b1', 'b2', 'b3'],
    value: (x, b) => exp(-b[0] * x) / (b[1] + b[2] * x),
    gradient: (x, b, out) => {
      const y = exp(-b[0] * x) / (b[1] + b[2] * x);
      out[0] = -x * y;
      out[1] = -y / (b[1] + b[2] * x);
      out[2] = (-y * x) / (b[1] + b[2] * x);
    },
  },
  danwood: {
    terms: ['b1', 'b2'],
    value: (x, b) => b[0] * x ** b[1],
    gradient: (x, b, out) => {
      out[0] = x ** b[1];
      out[1] = b[0] * x ** b[1] * log(x);
    },
  },
  mgh09: {
    terms: ['b1', 'b2', 'b3', 'b4'],
    value: (x, b) => (b[0] * (x * x + x * b[1])) / (x * x + x * b[2] + b[3]),
    gradient: (x, b, out) => {
      const below = x * x + x * b[2] + b[3];
      const above = x * x + x * b[1];
      out[0] = above / below;
      out[1] = (b[0] * x) / below;
      out[2] = (-b[0] * above * x) / (below * below);
      out[3] = (-b[0] * above) / (below * below);
    },
  },
  rat42: {
    terms: ['b1', 'b2', 'b3'],
    value: (x, b) => b[0] / (1 + exp(b[1] - b[2] * x)),
    gradient: (x, b, out) => {
      const e = exp(b[1] - b[2] * x);
      out[0] = 1 / (1 + e);
      out[1] = (-b[0] * e) / (1 + e) ** 2;
      out[2] = (b[0] * x * e) / (1 + e) ** 2;
    },
  },
  bennett5: {
    terms: ['b1', 'b2', 'b3'],
    value: (x, b) => b[0] * (b[1] + x) ** (-1 / b[2]),
    gradient: (x, b, out) => {
      const base = b[1] + x;
      const power = base ** (-1 / b[2]);
      out[0] = power;
      out[1] = (-b[0] * power) / (b[2] * base);
      out[2] = (b[0] * power * log(base)) / (b[2] * b[2]);
    },
  },
};

/** Digits asked of parameters and standard deviations; those that the reference asks (6, or 4 for the hard ones) are fewer. */
const DIGITS = { parameter: 9, sd: 9 };

describe.each(Object.keys(MODELS))('NIST StRD nonlinear, certified: %s', (name) => {
  const { data, expected } = load(`nist-nls-${name}`);
  it.each(['start1', 'start2'] as const)('from %s', (from) => {
    const fit = fitCurve(data, MODELS[name], { start: data[from], intervals: 'wald' });
    expect(fit.status).toBe('converged');
    const certified = Object.values(expected.parameters_certified);
    const parameter = Math.min(...certified.map(({ estimate }, j) => correctDigits(fit.parameters[j], +estimate)));
    const sd = Math.min(...certified.map((c, j) => correctDigits(fit.terms[j].standardError, +c.sd)));
    const rss = correctDigits(fit.rss, +expected.residual_sum_of_squares);
    const s = correctDigits(fit.residualSd, +expected.residual_sd);
    const report = `${name} ${from}: parameters ${parameter.toFixed(1)}, sd ${sd.toFixed(1)}, rss ${rss.toFixed(1)}, s ${s.toFixed(1)}, ${fit.iterations} iterations`;
    // SHOW_DIGITS=1 prints the table of docs/ratings.md.
    if (process.env.SHOW_DIGITS) process.stdout.write(`${report}\n`);
    expect(parameter, report).toBeGreaterThanOrEqual(DIGITS.parameter);
    expect(sd, report).toBeGreaterThanOrEqual(DIGITS.sd);
    expect(rss, report).toBeGreaterThanOrEqual(DIGITS.parameter);
    expect(s, report).toBeGreaterThanOrEqual(DIGITS.parameter);
  });
});
