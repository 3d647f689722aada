import { afterAll, expect } from 'vitest';

/** With SHOW_DIGITS=1 each file says how many digits of its worst value of each test were right: the numbers of docs/ratings.md. */
const worst = new Map<string, { readonly digits: number; readonly why: string }>();
if (process.env.SHOW_DIGITS)
  afterAll(() => {
    for (const [test, { digits, why }] of worst)
      process.stdout.write(`${digits.toFixed(1)} digits: ${test} (${why})\n`);
  });

function noteDigits(off: number, { expected, why }: { expected: number; why: string }): void {
  const test = expect.getState().currentTestName ?? '';
  // 15 is all that a double can show.
  const digits = off === 0 ? 15 : Math.min(15, -Math.log10(off / Math.abs(expected)));
  if (!(digits >= (worst.get(test)?.digits ?? Infinity))) worst.set(test, { digits, why });
}

/** Relative (or absolute) agreement, with the reason for the tolerance in the failure message. */
export function expectClose(
  actual: number,
  expected: number,
  { rel = 0, abs = 0, why }: { rel?: number; abs?: number; why: string },
): void {
  const allowed = Math.max(abs, rel * Math.abs(expected));
  if (!(allowed > 0)) throw new TypeError('expectClose: give a positive rel or abs');
  const off = Math.abs(actual - expected);
  if (process.env.SHOW_DIGITS) noteDigits(off, { expected, why });
  // Written on NaN's side: a NaN anywhere fails.
  expect(off <= allowed, `${why}: got ${actual}, expected ${expected} ± ${allowed} (off by ${off})`).toBe(true);
}
