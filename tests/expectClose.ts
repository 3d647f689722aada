import { expect } from 'vitest';

/** Relative (or absolute) agreement, with the reason for the tolerance in the failure message. */
export function expectClose(
  actual: number,
  expected: number,
  { rel = 0, abs = 0, why }: { rel?: number; abs?: number; why: string },
): void {
  const allowed = Math.max(abs, rel * Math.abs(expected));
  if (!(allowed > 0)) throw new TypeError('expectClose: give a positive rel or abs');
  const off = Math.abs(actual - expected);
  // Written on NaN's side: a NaN anywhere fails.
  expect(off <= allowed, `${why}: got ${actual}, expected ${expected} ± ${allowed} (off by ${off})`).toBe(true);
}
