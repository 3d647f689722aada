import { describe, expect, it } from 'vitest';
import { travelOf } from '../../../src/chart/gauges/lagReport.js';
import type { GaugeChart } from '../../../src/chart/types.js';
import type { Gauge } from '../../../src/series/creek.js';
import { convertUnit } from '../../../src/series/units.js';
import { makeRecord } from '../../align/makeRecord.js';
import { expectClose } from '../../expectClose.js';

const gauge: Gauge = {
  id: 'weir',
  name: 'the weir',
  parameter: 'discharge',
  unit: 'm3/s',
  files: [],
  format: 'delimited',
  catchmentAreaKm2: 390,
  reach: { lies: 'upstream', lengthKm: 15, meanFlow: 4.5 },
};
const record = makeRecord([1.2, 3.35, 8, NaN]);
const chartWith = (i80: readonly [number | null, number | null]) => ({ lag: { i80 } }) as unknown as GaugeChart;

describe('what the distance says of a lag', () => {
  it('is the published example’s time: 15.7 h for 15 km, 390 km², 3.35 of 4.5 m³/s', () => {
    const travel = travelOf(gauge, record, { chart: undefined })!;
    expectClose(travel.tracerHours[1]!, 15.7, {
      abs: 0.05,
      why: 'the example of travelTime (Jobson 1996, equation 14)',
    });
    expectClose(travel.waveHours[1]!, travel.tracerHours[1]! / (5 / 3), { rel: 1e-12, why: 'a wave is 5/3 as fast' });
    expect(travel.lagGoes).toBeNull();
    expect(travel.sentence).not.toContain('The lag found');
  });

  it('is the same in another unit', () => {
    const inFeet = (v: number): number => convertUnit(v, 'm3/s', 'ft3/s');
    const there = travelOf(
      { ...gauge, unit: 'ft3/s', reach: { ...gauge.reach!, meanFlow: inFeet(4.5) } },
      makeRecord(record.values.map(inFeet), { unit: 'ft3/s' }),
      { chart: undefined },
    )!;
    const here = travelOf(gauge, record, { chart: undefined })!;
    expectClose(there.tracerHours[0]!, here.tracerHours[0]!, { rel: 1e-12, why: 'units change nothing' });
  });

  it.each([
    [[3, 8], true, 'goes with that'],
    [[-4, -1], false, 'has the other sign'],
    [[20, 30], false, 'longer than even a tracer'],
  ] as const)('of a lag of %j says %s', (i80, goes, words) => {
    const travel = travelOf(gauge, record, { chart: chartWith(i80) })!;
    expect(travel.lagGoes).toBe(goes);
    expect(travel.sentence).toContain(words);
  });

  it('is nothing without reach, catchment, discharge or a flow', () => {
    const { reach, catchmentAreaKm2, ...bare } = gauge;
    const noReach: Gauge = { ...bare, catchmentAreaKm2: catchmentAreaKm2! };
    const noArea: Gauge = { ...bare, reach: reach! };
    expect(travelOf(undefined, record, { chart: undefined })).toBeNull();
    expect(travelOf(noReach, record, { chart: undefined })).toBeNull();
    expect(travelOf(noArea, record, { chart: undefined })).toBeNull();
    expect(travelOf(gauge, { ...record, parameter: 'stage', unit: 'm' }, { chart: undefined })).toBeNull();
    expect(travelOf(gauge, makeRecord([0, NaN]), { chart: undefined })).toBeNull();
  });
});
