import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { pettitt } from '../../../src/judge/pettitt.js';
import { expectClose } from '../../expectClose.js';

/** A. N. Pettitt, Applied Statistics 28 (1979) 126-135, table 1 (Page's data): K 232 at 17, p 0.014; U and p by R's trend 1.1.6. */
it('Pettitt’s test of Page’s data', () => {
  const { data, expected } = JSON.parse(readFileSync(new URL('pettitt-page.json', import.meta.url), 'utf8')) as {
    data: { x: number[] };
    expected: { U: number[]; K: number; t: number; p: number };
  };
  const found = pettitt(Float64Array.from(data.x));
  expect([...found.U]).toEqual(expected.U);
  expect([found.K, found.t]).toEqual([expected.K, expected.t]);
  expectClose(found.p, expected.p, { abs: 1e-6, why: 'R' });
  expectClose(found.p, 0.014, { abs: 6e-4, why: 'as printed' });
});

it('has no p without two values, and refuses NaN', () => {
  expect(pettitt(new Float64Array(0))).toMatchObject({ K: 0, t: 0, p: NaN });
  expect(pettitt(Float64Array.of(3)).p).toBe(NaN);
  expect(pettitt(Float64Array.of(5, 5, 5))).toMatchObject({ K: 0, t: 0, p: 1 });
  expect(() => pettitt(Float64Array.of(1, NaN))).toThrow('pettitt: values must not be NaN');
});
