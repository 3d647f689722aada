import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { goodClasses } from '../../src/judge/goodClasses.js';
import { printedEdges } from '../../src/judge/printedEdges.js';
import { roundedEdges, roundSafer, saferSideOfEdge } from '../../src/judge/roundSafer.js';
import { syntheticAligned, syntheticFit } from './syntheticRelation.js';

describe('roundSafer', () => {
  it('an edge of 103.2 known to ± 20 goes to 110 or to 100', () => {
    expect(roundSafer(103.2, { width: 40, side: 'up' })).toEqual({ value: 110, step: 10, digits: 0 });
    expect(roundSafer(103.2, { width: 40, side: 'down' })).toEqual({ value: 100, step: 10, digits: 0 });
  });

  it('uses 1, 2 and 5 times a power of ten, never finer than a fifth of the width', () => {
    const steps = [4, 5, 6, 9, 10, 11, 24, 26, 50, 51].map((w) => roundSafer(7, { width: w, side: 'up' }).step);
    expect(steps).toEqual([1, 1, 2, 2, 2, 5, 5, 10, 10, 20]);
  });

  it('keeps decimal fractions clean', () => {
    expect(roundSafer(0.31, { width: 0.4, side: 'up' })).toEqual({ value: 0.4, step: 0.1, digits: 1 });
    expect(roundSafer(0.2999999999999, { width: 0.04, side: 'up' })).toEqual({ value: 0.3, step: 0.01, digits: 2 });
    expect(roundSafer(0.29, { width: 0.2, side: 'down' })).toEqual({ value: 0.25, step: 0.05, digits: 2 });
  });

  it('a multiple of the step stays, whatever the binary fraction makes of it', () => {
    // 0.07 / 0.01 is 7.000000000000001 in binary.
    expect(roundSafer(0.07, { width: 0.05, side: 'up' }).value).toBe(0.07);
    expect(roundSafer(1.1, { width: 0.5, side: 'down' }).value).toBe(1.1);
  });

  it('without a width three digits stay', () => {
    expect(roundSafer(123.4, { width: 0, side: 'up' })).toEqual({ value: 124, step: 1, digits: 0 });
    expect(roundSafer(0.012345, { width: NaN, side: 'down' })).toEqual({ value: 0.0123, step: 0.0001, digits: 4 });
    expect(roundSafer(0, { width: 0, side: 'up' })).toEqual({ value: 0, step: 1, digits: 0 });
  });

  it('negative heights go up towards zero and show no minus zero', () => {
    expect(roundSafer(-0.37, { width: 0.5, side: 'up' }).value).toBe(-0.3);
    expect(Object.is(roundSafer(-0.37, { width: 5, side: 'up' }).value, 0)).toBe(true);
  });

  it('refuses what is no number', () => {
    expect(() => roundSafer(NaN, { width: 1, side: 'up' })).toThrow('roundSafer: value must be finite, got NaN');
  });

  it('stays within one step on the safer side (property)', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
        fc.constantFrom('up' as const, 'down' as const),
        (value, width, side) => {
          const { value: rounded, step, digits } = roundSafer(value, { width, side });
          const off = side === 'up' ? rounded - value : value - rounded;
          expect(off).toBeGreaterThanOrEqual(-1e-9 * Math.max(step, value));
          expect(off).toBeLessThan(step);
          expect(step).toBeGreaterThanOrEqual((width / 5) * (1 - 1e-9));
          expect(step).toBeLessThanOrEqual((width / 5) * 2.5 * (1 + 1e-9));
          expect(Number(rounded.toFixed(digits))).toBe(rounded);
        },
      ),
    );
  });
});

describe('the good class and the safer side', () => {
  it('is the one called good, else the middle', () => {
    expect(goodClasses(['too low', 'low', 'good', 'high', 'too high'])).toEqual([2, 2]);
    expect(goodClasses(['too low', 'Good ', 'high', 'too high'])).toEqual([1, 1]);
    expect(goodClasses(['dry', 'trickle', 'covered'])).toEqual([1, 1]);
    expect(goodClasses(['dry', 'trickle', 'covered', 'padded'])).toEqual([1, 2]);
    expect(goodClasses(['no', 'yes'])).toEqual([0, 1]);
  });

  it('edges below good go up, edges above or inside it go down', () => {
    const sides = (classes: readonly string[]) =>
      classes.slice(1).map((_, k) => saferSideOfEdge(k, goodClasses(classes)));
    expect(sides(['too low', 'low', 'good', 'high', 'too high'])).toEqual(['up', 'up', 'down', 'down']);
    expect(sides(['dry', 'trickle', 'covered', 'padded'])).toEqual(['up', 'down', 'down']);
    expect(sides(['no', 'yes'])).toEqual(['down']);
  });
});

describe('an edge of a discharge stays above zero', () => {
  // A fifth of the width is 1: rounded down to its step, 0.3 would be nothing.
  const vague = [{ median: 0.3, width80: 5 }];
  const good = [0, 0] as const;

  it('however vague it is; a stage may read nothing', () => {
    const [flow] = roundedEdges(vague, { good, positive: true });
    expect(flow.value).toBeGreaterThan(0);
    expect(flow.value).toBeLessThanOrEqual(0.3);
    expect(roundedEdges(vague, { good, positive: false })[0].value).toBe(0);
  });

  it('in what is judged', () => {
    const aligned = syntheticAligned([{ x: 0, saw: 0 }], { classes: ['good', 'high'] });
    const draws = Array.from({ length: 41 }, (_, d) => ({
      edges: [Math.log(0.3) + (d - 20) / 8],
      mismatch: 0.2,
      blur: 0.1,
    }));
    const fit = { ...syntheticFit(aligned, draws), offset: 0 };
    expect(printedEdges({ ...fit, parameter: 'discharge' })[0].value).toBeGreaterThan(0);
    expect(printedEdges({ ...fit, parameter: 'stage' })[0].value).toBe(0);
  });
});
