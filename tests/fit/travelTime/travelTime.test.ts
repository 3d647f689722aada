import { describe, expect, it } from 'vitest';
import { travelTime } from '../../../src/fit/travelTime/tracerTime.js';
import { lagAtFlow } from '../../../src/fit/travelTime/lagAtFlow.js';
import {
  lagAndDistance,
  reachTimes,
  travelTimePrior,
  travelTimeSentence,
} from '../../../src/fit/travelTime/travelTimePrior.js';
import { warpRecord } from '../../../src/fit/travelTime/warpRecord.js';
import { FROM, HOUR, makeRecord, smoothFlow } from '../../align/makeRecord.js';
import { expectClose } from '../../expectClose.js';

it('a reach without area has no time', () => {
  expect(() => travelTime(100, { areaKm2: 0, flowM3s: 1 })).toThrow(
    'travelTime: areaKm2 must be above 0 and finite, got 0',
  );
});

describe('lag at a flow', () => {
  it('goes with Q^-0.4 where a wide channel carries the wave', () => {
    // Manning: V ∝ y^(2/3), the wave 5/3·V, the discharge y·V; constants of the channel cancel.
    const at = (depth: number) => ({ celerity: (5 / 3) * depth ** (2 / 3), discharge: depth ** (5 / 3) });
    const [low, high] = [at(0.5), at(1.6)];
    const lag = lagAtFlow(high.discharge, { lagHours: 1, flowAt: low.discharge, exponent: 0.4 });
    expectClose(low.celerity / high.celerity, lag, { rel: 1e-12, why: 'time over a fixed way is 1 over speed' });
  });

  it('stays one lag with exponent 0, keeps its sign and the lead', () => {
    expect(lagAtFlow(80, { lagHours: 3, flowAt: 10, exponent: 0 })).toBe(3);
    expect(lagAtFlow(40, { lagHours: -4, flowAt: 10, exponent: 0.5 })).toBe(-2);
    expect(lagAtFlow(40, { lagHours: 4, flowAt: 10, exponent: 0.5, atLeastHours: 3 })).toBe(3);
    expect(() => lagAtFlow(1, { lagHours: 1, flowAt: 0, exponent: 0.4 })).toThrow('flowAt must be above 0, got 0');
    expect(() => lagAtFlow(1, { lagHours: 1, flowAt: 1, exponent: -1 })).toThrow('exponent must be 0 or more, got -1');
  });
});

describe('a record on the creek’s clock', () => {
  const record = makeRecord(Array.from({ length: 300 }, (_, h) => smoothFlow(h)));

  it('is the record moved by the lag where one lag holds for all flows', () => {
    const moved = warpRecord(record, { storageHours: 0, lagHours: 5, flowAt: 9, exponent: 0 });
    expect([...moved.timesMs]).toEqual([...record.timesMs].map((t) => t + 5 * HOUR));
    expect([...moved.values]).toEqual([...record.values]);
  });

  it('shows at each time the latest water that has come by', () => {
    const lag = { lagHours: 6, flowAt: 9, exponent: 0.6 };
    const moved = warpRecord(record, { storageHours: 0, ...lag });
    const arrivals = Array.from(record.values, (q, i) => record.timesMs[i] + lagAtFlow(q, lag) * HOUR);
    expect(moved.timesMs.length).toBeLessThanOrEqual(300);
    for (let j = 1; j < moved.timesMs.length; j++) expect(moved.timesMs[j]).toBeGreaterThan(moved.timesMs[j - 1]);
    for (let j = 0; j < moved.timesMs.length; j += 7) {
      const left = record.values.indexOf(moved.values[j]);
      expectClose(moved.timesMs[j], arrivals[left], { abs: 1, why: 'its own arrival' });
      // Everything that left later comes later.
      for (let i = left + 1; i < 300; i++) expect(arrivals[i]).toBeGreaterThan(arrivals[left]);
    }
  });

  it('passes over water that was overtaken', () => {
    const flash = makeRecord([10, 10, 10, 10, 1000, 1000, 1000]);
    const moved = warpRecord(flash, { storageHours: 0, lagHours: 6, flowAt: 10, exponent: 0.5 });
    // The flash of hour 4 comes 0.6 h later, before the water of all hours from 0 on.
    expect([...moved.values]).toEqual([1000, 1000, 1000]);
    expectClose(moved.timesMs[0], FROM + 4.6 * HOUR, { abs: 1, why: '6 h · 100^-0.5' });
  });

  it('keeps a pause of the gauge a pause', () => {
    const paused = makeRecord([5, 6, 7, 8], { hours: [0, 1, 30, 31] });
    const moved = warpRecord(paused, { storageHours: 0, lagHours: 2, flowAt: 5, exponent: 0.4 });
    expect([...moved.values]).toEqual([5, 6, NaN, 7, 8]);
  });
});

describe('travel time as a prior and as a line', () => {
  const reach = {
    lengthKm: 15,
    gaugeLies: 'upstream' as const,
    areaKm2: 390,
    flowM3s: 3.35,
    meanFlowM3s: 4.5,
  };

  it('takes a tracer’s times and a wave that is 5/3 as fast', () => {
    const rows = travelTime(15000, { areaKm2: 390, flowM3s: 3.35, meanFlowM3s: 4.5 }).rows;
    const t = reachTimes(reach);
    expect([t.tracerProbable, t.tracerFastest]).toEqual([rows[0].peakHours, rows[1].peakHours]);
    expectClose(t.waveProbable, rows[0].peakHours * 0.6, { rel: 1e-12, why: '3/5 of the time' });
  });

  it('puts most of the prior on the side where the gauge lies, and leaves every lag open', () => {
    const grid = { lagsHours: [-12, -6, -3, 0, 3, 6, 9, 12, 24], storagesHours: [0, 5] };
    const above = travelTimePrior(reach, grid).map(Math.exp);
    const below = travelTimePrior({ ...reach, gaugeLies: 'downstream' }, grid).map(Math.exp);
    for (const prior of [above, below])
      expectClose(
        prior.reduce((a, b) => a + b, 0),
        1,
        { abs: 1e-12, why: 'shares' },
      );
    expect(above.indexOf(Math.max(...above))).toBe(5);
    expect(below.indexOf(Math.max(...below))).toBe(1);
    expectClose(above[0], 0.2 / 18, { rel: 1e-9, why: 'a fifth is flat' });
    expect(above[5]).toBe(above[14]);
  });

  it('says what goes together and what does not', () => {
    expect(travelTimeSentence(reach)).toBe(
      'Over 15 km a tracer would need 6.5 to 16 h; a wave is faster, about 4 to 9.5 h.',
    );
    expect(travelTimeSentence(reach, { lagHours: [4, 7] })).toContain('The lag found goes with that.');
    expect(travelTimeSentence(reach, { lagHours: [18, 24] })).toContain("longer than even a tracer's");
    expect(travelTimeSentence(reach, { lagHours: [0, 1] })).toContain('answer to the same rain');
    expect(travelTimeSentence(reach, { lagHours: [-6, -3] })).toContain('has the other sign: the gauge lies upstream');
    expect(travelTimeSentence({ ...reach, gaugeLies: 'downstream' }, { lagHours: [-6, -3] })).toContain(
      'goes with that',
    );
  });

  it('goes only where its interval overlaps that of a wave, each bound looked at from both sides', () => {
    const { tracerProbable: longest, waveFastest, waveProbable } = reachTimes(reach);
    const at = (from: number, to: number) => lagAndDistance(reach, { lagHours: [from, to] });
    expect([at(longest - 0.01, 40), at(longest + 0.01, 40)]).toEqual(['slower', 'too-long']);
    expect([at(waveProbable - 0.01, 40), at(waveProbable + 0.01, 40)]).toEqual(['goes', 'slower']);
    expect([at(0, waveFastest - 0.01), at(0, waveFastest + 0.01)]).toEqual(['too-short', 'goes']);
    const slower = travelTimeSentence(reach, { lagHours: [waveProbable + 0.01, 40] });
    expect(slower).toContain("longer than a wave's, though not than a tracer's: the two do not agree.");
    expect([at(-3, -0.01), at(-3, 0.01)]).toEqual(['other-sign', 'too-short']);
    expect(lagAndDistance({ ...reach, gaugeLies: 'downstream' }, { lagHours: [4, 7] })).toBe('other-sign');
  });
});
