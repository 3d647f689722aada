import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import { alignFlowLag } from '../../../src/fit/travelTime/alignFlowLag.js';
import { flowLag } from '../../../src/fit/travelTime/flowLag.js';
import { lagAtFlow } from '../../../src/fit/travelTime/lagAtFlow.js';
import { warpRecord } from '../../../src/fit/travelTime/warpRecord.js';
import { createRandom } from '../../../src/kernel/random.js';
import { expectClose } from '../../expectClose.js';
import { EDGES, makeWorld } from '../world.js';

/** A world whose verdicts are made anew from water that travels with a lag of its own flow. */
function flowWorld({
  seed,
  exponent,
  lagHours,
  visits: count,
}: Record<'seed' | 'exponent' | 'lagHours' | 'visits', number>) {
  const world = makeWorld({ seed, visits: count, days: 260 });
  const flowAt = Math.exp(world.mean);
  const random = createRandom(seed + 1000);
  const moved = warpRecord(world.record, { storageHours: 0, lagHours, flowAt, exponent });
  const visits = world.visits.map((visit) => {
    let i = 0;
    while (moved.timesMs[i + 1] <= visit.timeMs) i++;
    const seen = Math.log(moved.values[i]) - world.mean + 0.12 * random.normal();
    const classIndex = EDGES.filter((e) => e < seen).length;
    return { ...visit, sightings: visit.sightings.map((s) => ({ ...s, classIndex })) };
  });
  return { ...world, visits };
}
const grid = { lagsHours: [0, 2, 4, 6, 8], storagesHours: [0], exponents: [0, 0.4, 0.8] };

describe('visits on a clock of flow', () => {
  it('with exponent 0 are the plain alignment', () => {
    const world = makeWorld({ visits: 10, days: 60 });
    const { aligned, configurations, gridPrior } = alignFlowLag(world, grid);
    const plain = alignVisits(world, { lagsHours: grid.lagsHours, storagesHours: [0] });
    expect(aligned.visitIds).toEqual(plain.visitIds);
    const size = plain.x.length;
    plain.x.forEach((x, i) => expectClose(aligned.x[i], x, { abs: 1e-9, why: `x ${i}` }));
    expect(aligned.x.length).toBe(3 * size);
    expect(configurations.map((c) => c.exponent)).toEqual([0, 0.4, 0.8]);
    const prior = gridPrior.map(Math.exp);
    expectClose(
      prior.slice(0, 5).reduce((a, b) => a + b, 0),
      0.5,
      { abs: 1e-12, why: 'half on one lag for all flows' },
    );
  });

  it('leave out lags below the lead, and need the plain case', () => {
    const world = makeWorld({ visits: 10, days: 60 });
    expect([...alignFlowLag(world, { ...grid, leadHours: 3 }).aligned.lagsHours]).toEqual([4, 6, 8]);
    expect(() => alignFlowLag(world, { ...grid, leadHours: 9 })).toThrow(
      'no lag of the grid is at or beyond the lead of 9 h',
    );
    expect(() => alignFlowLag(world, { ...grid, exponents: [0.4] })).toThrow('must hold 0');
  });
});

describe('a lag that depends on the flow', () => {
  it('is found where there is one', () => {
    const world = flowWorld({ seed: 5, exponent: 0.8, lagHours: 6, visits: 100 });
    const found = flowLag(world, { ...grid, lagsHours: [0, 2, 4, 6, 8, 10], draws: 40 });
    expect(found.logBayesFactor).toBeGreaterThan(3);
    expect(found.logBayesFactor).toBeLessThan(13.9);
    expect(found.kept).toBe(true);
    expect(found.exponents[0].probability).toBeLessThan(0.05);
    expect(found.sentence).toMatch(/^The lag shortens as the flow grows: about \d\.\d h at a usual visit/);
    // L0 is asked at the median visit.
    const truth = lagAtFlow(found.flowAt, { lagHours: 6, flowAt: Math.exp(world.mean), exponent: 0.8 });
    expectClose(found.lag.median, truth, { abs: 3, why: 'lag at the usual visit' });
  });

  it('is not claimed where there is none', () => {
    const none = flowLag(flowWorld({ seed: 5, exponent: 0, lagHours: 4, visits: 60 }), { ...grid, draws: 60 });
    expect(none.kept).toBe(false);
    expect(none.sentence).toMatch(/^One lag for all flows /);
    expectClose(none.lag.median, 4, { abs: 1.5, why: 'the lag itself' });
    expect(none.fit.draws.count).toBe(60);
  });

  it('says so with too few visits', () => {
    const world = makeWorld({ visits: 2, days: 60 });
    const few = flowLag(world, grid);
    expect([few.status, few.kept, few.logBayesFactor]).toEqual(['too-few-rows', false, NaN]);
    expect(few.sentence).toBe(few.fit.statusSentence);
  });
});
