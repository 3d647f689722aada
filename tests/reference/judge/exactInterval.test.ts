import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { exactInterval } from '../../../src/kernel/exactInterval.js';
import { expectClose } from '../../expectClose.js';

const { rows } = JSON.parse(readFileSync(new URL('exact-interval.json', import.meta.url), 'utf8')) as {
  rows: { x: number; n: number; level: number; interval: [number, number] }[];
};

describe('exactInterval: binom.test and qbeta of R', () => {
  it.each(rows)('$x of $n at $level', ({ x, n, level, interval }) => {
    exactInterval(x, { n, level }).forEach((end, i) =>
      expectClose(end, interval[i], { rel: 1e-10, abs: 1e-15, why: 'twelve digits were printed' }),
    );
  });

  it('has no interval outside the domain', () => {
    for (const [x, n] of [[1, 0], [-1, 3], [4, 3], [NaN, 3]]) expect(exactInterval(x, { n })).toEqual([NaN, NaN]); // prettier-ignore
  });
});
