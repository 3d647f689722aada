import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { observerAgreement } from '../../src/judge/agreement.js';
import { readCreek } from '../../src/read/readCreek.js';
import { HOUR, RECORD_START } from '../../tools/sample/clock.js';
import { derivedGauge } from '../../tools/sample/derivedGauge.js';
import { RUNS } from '../../tools/sample/place.js';
import { expectClose } from '../expectClose.js';

const FOLDER = join(import.meta.dirname, '../../data-sample');
const file = (name: string) => ({ name, bytes: new Uint8Array(readFileSync(join(FOLDER, name))) });

describe('the sample as the toolkit reads it', () => {
  const input = readCreek({
    creekJson: file('creek.json'),
    visits: file('visits.csv'),
    gaugeFiles: [
      'gauges/great-thrask.rdb',
      'gauges/pinnerel-brook.csv',
      'gauges/ostrell-2023.wml',
      'gauges/ostrell-2024.wml',
      'loggers/put-in-bridge.csv',
    ].map(file),
  });

  it('has nothing fatal, and leaves out just the three slips of the pen', () => {
    expect(input.issues.filter((issue) => issue.severity === 'fatal')).toEqual([]);
    const left = input.issues.filter((issue) => issue.file === 'visits.csv' && issue.severity === 'warning');
    expect(left.map((issue) => issue.code).sort()).toEqual(['class-unknown', 'feature-unknown', 'time-unreadable']);
    expect(input.counts.sightingRows - input.counts.sightingsUsed).toBe(3);
    expect(input.issues.filter((issue) => issue.code === 'time-ambiguous')).toHaveLength(1);
  });

  it('gives every visit to one of the two runs', () => {
    expect(input.visits).toHaveLength(120);
    expect(RUNS.map((run) => input.visits.filter((visit) => visit.run === run.id).length)).toEqual([45, 75]);
  });

  it('holds what two of a party saw as sightings of one visit, enough of them for a figure of agreement', () => {
    const shared = input.visits.filter((visit) => new Set(visit.sightings.map((s) => s.observer)).size === 2);
    expect(shared.length).toBeGreaterThanOrEqual(12);
    expect(shared.length).toBeLessThanOrEqual(18);
    const { visits, records } = input;
    const creek = input.creek!;
    const run = creek.runs.find(({ id }) => id === 'lower')!;
    const record = records.find((r) => r.gauge === 'flashy')!;
    const aligned = alignVisits({ creek, run, record, visits }, { lagsHours: [3], storagesHours: [0] });
    const { features, pairs } = observerAgreement(aligned);
    const verdict = features.find((f) => f.feature === 'verdict')!;
    expect(verdict.sharedVisits).toBeGreaterThanOrEqual(8);
    // Two who mostly agree on classes half a ln unit and more apart, and not always.
    expect(verdict.alpha.alpha).toBeGreaterThan(0.6);
    expect(verdict.alpha.alpha).toBeLessThan(1);
    expect(features.find((f) => f.feature === 'staff')!.alpha.alpha).toBeGreaterThan(0.95);
    expect(pairs.map((p) => [p.feature, ...p.observers])).toEqual(
      ['verdict', 'slab', 'pier'].map((feature) => [feature, 'Ilse', 'Marek']),
    );
    for (const { kappa, secondHigherBy } of pairs) {
      expect(kappa).toBeGreaterThan(0.6);
      expect(kappa).toBeLessThan(1);
      // Marek sees less water than Ilse: -0.09 and +0.03.
      expect(secondHigherBy).toBeLessThan(0);
    }
  });

  it('reads three records of two years each and the derived one, in the units of their offices', () => {
    expect(input.records.map((r) => [r.gauge, r.unit, r.values.length, r.stepMs / 3_600_000])).toEqual([
      ['larger', 'ft3/s', 17_544, 1],
      ['flashy', 'm3/s', 17_534, 1],
      ['regulated', 'm', 5_848, 3],
      ['without-brook', 'ft3/s', 17_544, 1],
    ]);
    for (const record of input.records) {
      expect(new Date(record.timesMs[0]!).toISOString()).toBe('2023-01-01T07:00:00.000Z');
      const last = Date.parse('2025-01-01T07:00:00Z') - record.stepMs;
      expect(record.timesMs[record.timesMs.length - 1]).toBe(last);
    }
  });

  it('derives the larger river without the brook as the truth does, hour by hour', () => {
    const published = input.records.slice(0, 2).map(({ gauge, timesMs, values }) => {
      const hourly = new Float64Array(17_544).fill(NaN);
      timesMs.forEach((t, i) => (hourly[(t - RECORD_START) / HOUR] = values[i]!));
      return { id: gauge as 'larger' | 'flashy', stepHours: 1, values: hourly, zero: 0, files: [] };
    });
    const truth = derivedGauge(published).values;
    const read = input.records[3]!.values;
    expect(read).toHaveLength(truth.length);
    const known = truth.filter((v) => !Number.isNaN(v)).length;
    // Ice, a failed sensor, ten hours of silence and lost messages, those of the brook two hours later.
    expect(known).toBeGreaterThan(17_200);
    expect(known).toBeLessThan(17_544 - 9 * 24 - 20 - 9);
    truth.forEach((value, i) => {
      if (Number.isNaN(value)) expect(read[i]).toBeNaN();
      else expectClose(read[i]!, value, { abs: 1e-6, why: `hour ${i}` });
    });
  });

  it('refuses ice, failed sensors and lost messages, and nothing else', () => {
    const refused = (gauge: number): number => input.records[gauge]!.values.filter((v) => Number.isNaN(v)).length;
    expect(refused(0)).toBe(9 * 24 + 20);
    expect(refused(1)).toBe(6 * 24 + 9);
    expect(refused(2)).toBe(0);
  });
});
