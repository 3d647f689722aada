import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readCreek } from '../../src/read/readCreek.js';
import { RUNS } from '../../tools/sample/place.js';

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

  it('reads three records of two years each, in the units of their offices', () => {
    expect(input.records.map((r) => [r.gauge, r.unit, r.values.length, r.stepMs / 3_600_000])).toEqual([
      ['larger', 'ft3/s', 17_544, 1],
      ['flashy', 'm3/s', 17_534, 1],
      ['regulated', 'm', 5_848, 3],
    ]);
    for (const record of input.records) {
      expect(new Date(record.timesMs[0]!).toISOString()).toBe('2023-01-01T07:00:00.000Z');
      const last = Date.parse('2025-01-01T07:00:00Z') - record.stepMs;
      expect(record.timesMs[record.timesMs.length - 1]).toBe(last);
    }
  });

  it('refuses ice, failed sensors and lost messages, and nothing else', () => {
    const refused = (gauge: number): number => input.records[gauge]!.values.filter((v) => Number.isNaN(v)).length;
    expect(refused(0)).toBe(9 * 24 + 20);
    expect(refused(1)).toBe(6 * 24 + 9);
    expect(refused(2)).toBe(0);
  });
});
