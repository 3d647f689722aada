import { describe, expect, it } from 'vitest';
import { derivedRecipe } from '../../src/chart/derivedRecipe.js';
import { deriveRecord } from '../../src/read/deriveRecord.js';
import type { Creek, DerivedGauge, Gauge } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { expectClose } from '../expectClose.js';
import { makeWorld } from '../fit/world.js';
import { chartNow, inputOf } from './chartCreekCases.js';

const weir = { id: 'weir', name: 'Lower Weir', unit: 'm3/s', catchmentAreaKm2: 200 } as Gauge;
const fork = { id: 'fork', name: 'North Fork', unit: 'ft3/s' } as Gauge;
const mill = { id: 'mill', name: 'Mill Brook', unit: 'm3/s' } as Gauge;

function recipe(derived: Omit<DerivedGauge, 'id' | 'name'>, named = false): string | undefined {
  const creek = { gauges: [weir, fork, mill], derivedGauges: [{ id: 'branch', name: 'South Branch', ...derived }] };
  return derivedRecipe(creek, { gauge: 'branch', named });
}

describe('how a derived gauge is made up', () => {
  it('names each gauge with its own hour, and turns its unit into the first one’s', () => {
    expect(recipe({ kind: 'difference', of: ['weir', 'fork'], travelHours: [0, 2] })).toBe(
      'No station shows this flow: take the flow of Lower Weir minus that of North Fork 2 hours earlier (its ft³/s times 0.02832 are m³/s).',
    );
    expect(recipe({ kind: 'sum', of: ['weir', 'mill', 'fork'], travelHours: [0, 1, -0.25] })).toBe(
      'No station shows this flow: take the flow of Lower Weir plus that of Mill Brook 1 hour earlier plus that of North Fork 0.25 hours later (its ft³/s times 0.02832 are m³/s).',
    );
    expect(recipe({ kind: 'sum', of: ['weir', 'mill'] })).toBe(
      'No station shows this flow: take the flow of Lower Weir plus that of Mill Brook.',
    );
    expect(recipe({ kind: 'difference', of: ['weir', 'mill'] }, true)).toBe(
      'No station shows the flow of South Branch: take the flow of Lower Weir minus that of Mill Brook.',
    );
  });

  it('scales by the catchments', () => {
    expect(recipe({ kind: 'area-scaled', of: ['weir'], travelHours: [1.5], catchmentAreaKm2: 60 })).toBe(
      'No station shows this flow: take the flow of Lower Weir 1.5 hours earlier times 0.3, as their catchments compare.',
    );
  });

  it('is none for a gauge that a station shows, and for one that nobody knows', () => {
    expect(derivedRecipe({ gauges: [weir] }, { gauge: 'weir' })).toBe(undefined);
    expect(recipe({ kind: 'sum', of: ['weir', 'gone'] })).toBe(undefined);
  });

  it('says what the record was made by', () => {
    const HOUR_MS = 3_600_000;
    const record = (gauge: Gauge, values: readonly number[]): GaugeRecord => ({
      kind: 'gauge-record',
      gauge: gauge.id,
      name: gauge.name,
      parameter: 'discharge',
      unit: gauge.unit,
      timesMs: Float64Array.from(values, (_, i) => i * HOUR_MS),
      values: Float64Array.from(values),
      stepMs: HOUR_MS,
      maxGapMs: 2 * HOUR_MS,
      approval: { approved: 0, provisional: 0, unknown: values.length },
      codes: {},
    });
    const derived = { id: 'branch', name: 'b', kind: 'difference', of: ['weir', 'fork'], travelHours: [0, 2] } as const;
    const made = deriveRecord(derived, [record(weir, [9, 9, 9, 12]), record(fork, [30, 60, 90, 120])]).record!;
    // By the sentence, at hour 3: 12 of the weir, minus 60 ft³/s of hour 1 times 0.02832.
    expectClose(made.values[3]!, 12 - 60 * 0.02832, { rel: 1e-4, why: 'the factor is said to four digits' });
  });

  it('ends every sentence on how to read the gauge, and stands with the gauge itself', () => {
    const world = makeWorld({ seed: 31, visits: 20 });
    const input = inputOf(world);
    const station = input.creek!.gauges[0]!;
    const derived: DerivedGauge = { id: 'twice', name: 'twice', kind: 'sum', of: [station.id, station.id] };
    const creek: Creek = { ...input.creek!, derivedGauges: [derived] };
    const records = [{ ...world.record, gauge: 'twice', name: 'twice' }];
    const chart = chartNow(
      { ...input, creek, records },
      { draws: 60, lagHours: { min: 0, max: 3 }, storageHours: { min: 0, max: 0 } },
    );
    const { gauge, level } = chart.runs[0]!.gauges[0]!;
    expect(gauge.madeOf).toBe(
      `No station shows this flow: take the flow of ${station.name} plus that of ${station.name}.`,
    );
    expect(level!.howToRead).toMatch(/^Take .*\. No station shows/);
    expect(level!.howToRead.endsWith(gauge.madeOf!)).toBe(true);
  });
});
