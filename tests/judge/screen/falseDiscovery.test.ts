import { describe, expect, it } from 'vitest';
import { benjaminiHochberg } from '../../../src/judge/screen/falseDiscovery.js';
import { expectClose } from '../../expectClose.js';

/**
 * The fifteen p-values of the worked example in Benjamini and Hochberg (1995), section 4.1 (Journal of the Royal Statistical Society B 57,
 * 289-300; the values from memory), where at 0.05 the first four are rejected; adjusted by R 4.2.2, p.adjust(p, "BH").
 */
const P = [
  0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
];
const ADJUSTED = [
  0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.0638571428571429, 0.0638571428571429, 0.0645, 0.0765, 0.486,
  0.581181818181818, 0.714875, 0.753230769230769, 0.813214285714286, 1,
];

describe('p-values adjusted for many gauges', () => {
  it('are those of R, and reject the four of the published example', () => {
    benjaminiHochberg(P).forEach((q, i) => expectClose(q, ADJUSTED[i]!, { rel: 1e-12, why: `p ${P[i]}` }));
    expect(benjaminiHochberg(P).filter((q) => q <= 0.05).length).toBe(4);
  });

  it('do not depend on the order, never pass 1, and leave out what is no test', () => {
    const backwards = benjaminiHochberg([...P].reverse()).reverse();
    expect(backwards).toEqual(benjaminiHochberg(P));
    expect(benjaminiHochberg([0.9, 1])).toEqual([1, 1]);
    expect(benjaminiHochberg([NaN, 0.02, 0.04])).toEqual([NaN, 0.04, 0.04]);
    expect(benjaminiHochberg([])).toEqual([]);
  });
});
