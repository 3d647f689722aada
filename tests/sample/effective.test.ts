import { describe, expect, it } from 'vitest';
import { effectiveReading } from '../../tools/sample/effective.js';
import { probitEdge } from '../../tools/sample/probit.js';
import { normalCdf } from '../../src/kernel/normal.js';
import { expectClose } from '../expectClose.js';

const line = (n: number, at: (i: number) => number): Float64Array => Float64Array.from({ length: n }, (_, i) => at(i));

describe('effectiveReading', () => {
  it('is the reading itself without storage', () => {
    expect(Array.from(effectiveReading(Float64Array.of(3, 5, NaN, 4), { storageHours: 0, stepHours: 1 }))).toEqual([
      3,
      5,
      NaN,
      4,
    ]);
  });

  it('runs behind a straight rise by the storage: e = Q - k·slope', () => {
    const e = effectiveReading(
      line(200, (i) => 10 + 2 * i),
      { storageHours: 5, stepHours: 1 },
    );
    expectClose(e[199]!, 10 + 2 * 199 - 5 * 2, {
      abs: 1e-9,
      why: 'a linear reservoir lags a ramp by its time constant',
    });
    expect(e[14]).toBeNaN();
    expect(e[15]).not.toBeNaN();
  });

  it('undoes what a reservoir did: the inflow of a ramp that lags by 8 h', () => {
    const e = effectiveReading(
      line(50, (i) => 10 + 2 * (i - 8)),
      { storageHours: -8, stepHours: 1 },
    );
    expectClose(e[49]!, 10 + 2 * 49, { abs: 1e-9, why: 'Q + k·dQ/dt of a ramp is the ramp k hours on' });
  });

  it('never falls below a tenth of the reading, and waits after a gap', () => {
    const values = Float64Array.of(100, 60, 30, 10, NaN, 10, 10, 10);
    const e = effectiveReading(values, { storageHours: -8, stepHours: 1 });
    expect(e[3]).toBe(1);
    expect([4, 5, 6].every((i) => Number.isNaN(e[i]!))).toBe(true);
    expect(e[7]).toBe(10);
  });
});

describe('probitEdge', () => {
  it('finds the edge and the spread that made the odds', () => {
    const x = line(161, (i) => -2 + i * 0.025);
    const above = x.map((v) => normalCdf((v - 0.3) / 0.25));
    const fitted = probitEdge({ x, above, below: above.map((p) => 1 - p) })!;
    expectClose(fitted.at, 0.3, { abs: 1e-6, why: 'the odds came from this edge' });
    expectClose(fitted.spread, 0.25, { rel: 1e-5, why: 'and from this spread' });
  });

  it('beats every neighbour of its answer', () => {
    const x = Float64Array.of(0, 1, 2, 3);
    const above = Float64Array.of(1, 2, 5, 9);
    const below = Float64Array.of(8, 6, 4, 1);
    const fitted = probitEdge({ x, above, below })!;
    const loss = (at: number, spread: number): number =>
      x.reduce(
        (s, v, i) =>
          s - above[i]! * Math.log(normalCdf((v - at) / spread)) - below[i]! * Math.log(normalCdf((at - v) / spread)),
        0,
      ) / 36;
    expectClose(loss(fitted.at, fitted.spread), fitted.meanNegLogLik, { abs: 1e-12, why: 'the loss it reports' });
    for (const [da, ds] of [
      [0.01, 0],
      [-0.01, 0],
      [0, 0.01],
      [0, -0.01],
    ] as const)
      expect(loss(fitted.at + da, fitted.spread + ds)).toBeGreaterThan(fitted.meanNegLogLik);
  });

  it('gives nothing where one side is empty, x is constant, or x falls as the creek rises', () => {
    const x = Float64Array.of(0, 1);
    expect(probitEdge({ x, above: Float64Array.of(1, 1), below: Float64Array.of(0, 0) })).toBeUndefined();
    expect(
      probitEdge({ x: Float64Array.of(1, 1), above: Float64Array.of(1, 1), below: Float64Array.of(1, 1) }),
    ).toBeUndefined();
    const weights = Float64Array.of(0.1, 0.2, 0.3);
    expect(probitEdge({ x: Float64Array.of(0.7, 0.7, 0.7), above: weights, below: weights })).toBeUndefined();
    expect(probitEdge({ x, above: Float64Array.of(3, 1), below: Float64Array.of(1, 3) })).toBeUndefined();
  });
});
