import { expect, onTestFinished } from 'vitest';

/** With SHOW_DIGITS=1 each test says how many digits of its worst value were right: the numbers of docs/ratings.md. */
const worst = new Map<string, { readonly digits: number; readonly why: string }>();

function noteDigits(off: number, { expected, why }: { expected: number; why: string }): void {
  const test = expect.getState().currentTestName ?? '';
  // 15 is all that a double can show.
  const digits = off === 0 ? 15 : Math.min(15, -Math.log10(off / Math.abs(expected)));
  const before = worst.get(test);
  if (before === undefined)
    onTestFinished(() => {
      const found = worst.get(test)!;
      process.stdout.write(`${found.digits.toFixed(1)} digits: ${test} (${found.why})\n`);
    });
  if (!(digits >= (before?.digits ?? Infinity))) worst.set(test, { digits, why });
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
