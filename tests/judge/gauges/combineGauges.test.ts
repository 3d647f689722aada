import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import type { Aligned } from '../../../src/align/types.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { combineGauges, derivedMean, weightLists } from '../../../src/judge/gauges/combineGauges.js';
import { deriveRecord } from '../../../src/read/deriveRecord.js';
import { commonVisits } from '../../../src/judge/gauges/commonVisits.js';
import { makeWorld } from '../../fit/world.js';
import { syntheticAligned } from '../syntheticRelation.js';
import { expectClose } from '../../expectClose.js';

const world = makeWorld({ visits: 14, days: 90 });
const GRID = { lagsHours: [0, 2, 4], storagesHours: [0, 6] };
const aligned = alignVisits(world, GRID);
const { effective: fit } = fitLevels(aligned, { modes: ['effective'], draws: 60 });
/** The same water in another unit, under another name. */
const other: Aligned = {
  ...aligned,
  gauge: 'mill',
  gaugeName: 'the mill',
  unit: 'ft3/s',
  x: aligned.x.map((v) => v + 1 - Math.log(0.028316846592)),
};

describe('a weighted mean of ln effective readings', () => {
  const combined = combineGauges([
    { aligned, fit },
    { aligned: other, fit },
  ]);

  it('is the mean of the members’ ln readings in the first one’s unit, configuration by configuration', () => {
    const N = aligned.nodeWeight.length;
    const point = (lag: number, storage: number): number =>
      GRID.storagesHours.indexOf(storage) * GRID.lagsHours.length + GRID.lagsHours.indexOf(lag);
    combined.configurations.forEach(([a, b], v) => {
      const expected =
        a.weight * aligned.x[point(a.lagHours, a.storageHours) * N + 3] +
        b.weight * (aligned.x[point(b.lagHours, b.storageHours) * N + 3] + 1);
      expectClose(combined.aligned.x[v * N + 3], expected, { abs: 1e-12, why: `configuration ${v}` });
      expect(a.weight + b.weight).toBe(1);
    });
    expect(combined.aligned.unit).toBe('m3/s');
    expect(combined.id).toBe('weir+mill');
    expect(combined.configurations.length).toBeLessThanOrEqual(96);
    expect(combined.aligned.storagesHours).toHaveLength(combined.configurations.length);
  });

  it('is fitted like any gauge, and its draws name configurations', () => {
    const { effective } = fitLevels(combined.aligned, { modes: ['effective'], draws: 40 });
    expect(effective.draws.count).toBe(40);
    for (const v of effective.draws.storageHours) expect(combined.configurations[v]).toHaveLength(2);
  });

  it('becomes a derived gauge whose record is the mean of the parts at their own times', () => {
    const parts = [
      { gauge: 'weir', weight: 0.25, lagHours: 5, storageHours: 0 },
      { gauge: 'mill', weight: 0.75, lagHours: 2, storageHours: 0 },
    ];
    const derived = derivedMean({ id: 'both', name: 'both' }, parts);
    expect(derived).toMatchObject({ of: ['mill', 'weir'], weights: [0.75, 0.25], travelHours: [0, 3] });
    const weir = world.record;
    const mill = { ...weir, gauge: 'mill', unit: 'ft3/s' as const, values: weir.values.map((q) => 80 * q) };
    const { record } = deriveRecord(derived, [weir, mill]);
    const perHour = Math.round(3_600_000 / weir.stepMs);
    const at = 10 * perHour;
    const cubic = 0.028316846592;
    const expected = (80 * weir.values[at]) ** 0.75 * (weir.values[at - 3 * perHour] / cubic) ** 0.25;
    expectClose(record!.values[at], expected, { rel: 1e-12, why: 'in ft³/s, the weir three hours earlier' });
    expect(record!.values[0]).toBeNaN();
  });

  it('lacks a reading where one gauge does', () => {
    const gap = { ...other, x: other.x.map((v, i) => (i % aligned.nodeWeight.length === 5 ? NaN : v)) };
    const { x } = combineGauges([
      { aligned, fit },
      { aligned: gap, fit },
    ]).aligned;
    expect(x[5]).toBeNaN();
    expect(Number.isFinite(x[4])).toBe(true);
  });

  it('weighs two by quarters and three by one of them twice', () => {
    expect(weightLists(2)).toEqual([
      [0.25, 0.75],
      [0.5, 0.5],
      [0.75, 0.25],
    ]);
    expect(weightLists(3)[1]).toEqual([0.5, 0.25, 0.25]);
    for (const list of weightLists(3))
      expectClose(
        list.reduce((a, b) => a + b),
        1,
        { abs: 1e-15, why: 'shares' },
      );
  });

  it('refuses what can’t be mixed', () => {
    expect(() => combineGauges([{ aligned, fit }])).toThrow('combineGauges: needs 2 members or more, got 1');
    expect(() =>
      combineGauges([
        { aligned, fit },
        { aligned: { ...other, parameter: 'stage', unit: 'm' }, fit },
      ]),
    ).toThrow('combineGauges: mill is a stage; only discharges are combined');
    const fewer = syntheticAligned([{ x: 1, saw: 1 }]);
    expect(() =>
      combineGauges([
        { aligned, fit },
        { aligned: fewer, fit },
      ]),
    ).toThrow('weir and bridge do not hold the same visits');
    expect(() =>
      combineGauges([
        { aligned, fit },
        { aligned, fit: { ...fit, status: 'singular', draws: { ...fit.draws, count: 0 } } },
      ]),
    ).toThrow('the fit of weir has no draws (status singular)');
  });
});

describe('visits that all candidates have', () => {
  const candidate = (id: string, floods: readonly number[], from = 0) => {
    const all = syntheticAligned(floods.map((flood, i) => ({ x: i, saw: i % 5, flood })));
    const visitIds = floods.map((_, i) => `v${i + from}`);
    return { id, name: id, kind: 'single' as const, aligned: { ...all, visitIds } };
  };

  it('are scored in floods that more than half of the candidates see', () => {
    const { candidates, floods, visits } = commonVisits([
      candidate('a', [0, 0, 1, 1, 2]),
      candidate('b', [0, 1, 2, 2, 2]),
      candidate('c', [0, 0, 1, 2, 2]),
    ]);
    // Breaks: before visit 1 one of three, visit 2 all, visit 3 one, visit 4 one.
    expect(candidates.map((c) => [...c.aligned.flood])).toEqual(Array(3).fill([0, 0, 1, 1, 1]));
    expect([floods, visits]).toEqual([2, 5]);
  });

  it('are those of all, and a record that misses many stands aside', () => {
    const { candidates, aside, visits } = commonVisits([
      candidate('long', [0, 1, 2, 3, 4, 5]),
      candidate('late', [0, 1, 2, 3, 4], 1),
      candidate('short', [0, 1]),
    ]);
    expect(visits).toBe(5);
    expect(candidates.map((c) => [c.id, c.aligned.visitIds.join(' ')])).toEqual([
      ['long', 'v1 v2 v3 v4 v5'],
      ['late', 'v1 v2 v3 v4 v5'],
    ]);
    expect(aside).toEqual([
      {
        id: 'short',
        name: 'short',
        reason: 'Its record covers 2 of 6 visits, too few to be compared with the others.',
      },
    ]);
  });

  it('are none where there are no candidates', () => {
    expect(commonVisits([])).toEqual({ candidates: [], aside: [], visits: 0, floods: 0 });
  });
});
