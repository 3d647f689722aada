import { chartNow } from '../chart/chartCreekCases.js';
import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { readCreek } from '../../src/read/readCreek.js';
import type { CreekInput } from '../../src/read/types.js';
import { CREEK_TEXT, utf8 } from './invariants.js';

const HOUR = 3_600_000;
const FROM = Date.UTC(2031, 0, 1);
const iso = (hour: number) => `${new Date(FROM + hour * HOUR).toISOString().slice(0, 16)}Z`;
const LAGS = { min: 0, max: 2 };
const STORAGES = { min: 0, max: 0 };

/** A rise every five days. */
const wave = (hour: number) => 10 * Math.exp(0.9 * Math.sin((2 * Math.PI * hour) / 120));

interface World {
  readonly flow?: (hour: number) => number | string;
  readonly hours?: number;
  readonly visits?: number;
  /** Index of the class seen: 0 low, 1 good, 2 high. */
  readonly sees?: (hour: number) => number;
  readonly rows?: readonly string[];
  readonly skewHours?: number;
  readonly firstHour?: number;
}

/** A year's fraction of hourly readings and visits that saw the water of the same hour, through the readers. */
function world({
  flow = wave,
  hours = 1000,
  visits = 30,
  sees = (hour) => (wave(hour) < 7 ? 0 : wave(hour) < 14 ? 1 : 2),
  rows,
  skewHours = 0,
  firstHour = 60,
}: World = {}): CreekInput {
  const readings = rows ?? Array.from({ length: hours }, (_, h) => `${iso(h)},${flow(h)}`);
  const log = Array.from({ length: visits }, (_, i) => {
    const hour = firstHour + i * 31;
    return `v${i},${iso(hour + skewHours)},upper,verdict,${['low', 'good', 'high'][sees(hour)]},Ana`;
  });
  return readCreek({
    creekJson: { name: 'creek.json', bytes: utf8(CREEK_TEXT) },
    visits: { name: 'visits.csv', bytes: utf8(['visit,when,run,feature,saw,observer', ...log].join('\n')) },
    gaugeFiles: [{ name: 'f', bytes: utf8(`time,value\n${readings.join('\n')}\n`) }],
  });
}

/** Reads, aligns, fits and charts; the status and its sentence by one reading, and what the chart shows. */
function outcome(input: CreekInput) {
  const run = input.creek!.runs[0]!;
  const record = input.records[0]!;
  const aligned = alignVisits(
    { creek: input.creek!, run, record, visits: input.visits },
    { lagsHours: [0, 1, 2], storagesHours: [0] },
  );
  const { 'one-reading': oneReading } = fitLevels(aligned, { draws: 60, modes: ['one-reading'] });
  const chart = chartNow(input, { draws: 60, runs: ['upper'], lagHours: LAGS, storageHours: STORAGES });
  const gauge = chart.runs[0]!.gauges[0]!;
  // Whatever the numbers, a chart holds no number that JSON cannot write.
  const edges = gauge.level?.edges ?? [];
  for (const edge of edges) expect([edge.median, ...edge.i95].every(Number.isFinite)).toBe(true);
  return {
    status: oneReading.status,
    sentence: oneReading.statusSentence,
    grade: gauge.trust.grade,
    edges: edges.map(({ median }) => median),
    unmatched: aligned.unmatched,
    aligned,
    issues: [...new Set(input.issues.map(({ severity, code }) => `${severity} ${code}`))],
  };
}

describe('numbers that records and logs can hold, from the reader to the chart', () => {
  it('an ordinary record: edges near the ones that are true', () => {
    const { status, edges, issues } = outcome(world());
    expect([status, issues]).toEqual(['separated', []]);
    expect(Math.abs(Math.log(edges[0]! / 7))).toBeLessThan(0.3);
    expect(Math.abs(Math.log(edges[1]! / 14))).toBeLessThan(0.3);
  });

  it('a constant gauge: no chart, and it says so', () => {
    const { status, sentence, edges, grade } = outcome(world({ flow: () => 5 }));
    expect([status, edges, grade]).toEqual(['constant-gauge', [], 'too thin']);
    expect(sentence).toBe('Gauge g showed the same value at every visit: it says nothing about this run.');
  });

  it('two distinct values: a fit, with wide edges between them', () => {
    const { status, edges } = outcome(
      world({ flow: (h) => (wave(h) < 10 ? 5 : 20), sees: (h) => (wave(h) < 10 ? 0 : 2) }),
    );
    expect(['separated', 'converged']).toContain(status);
    expect(edges.length).toBe(2);
    expect(edges[0]!).toBeGreaterThan(4);
    expect(edges[1]!).toBeLessThan(25);
  });

  it('ties everywhere: a gauge rounded to whole numbers gives the edges of the fine one', () => {
    const fine = outcome(world());
    const coarse = outcome(world({ flow: (h) => Math.round(wave(h)) }));
    expect(['separated', 'converged']).toContain(coarse.status);
    fine.edges.forEach((edge, k) => expect(Math.abs(Math.log(coarse.edges[k]! / edge))).toBeLessThan(0.25));
  });

  it('duplicate timestamps: equal readings count once, different ones not at all, and nothing is told across them', () => {
    const rows = Array.from({ length: 1000 }, (_, h) => `${iso(h)},${wave(h)}`);
    const equal = outcome(world({ rows: rows.flatMap((row) => [row, row]) }));
    const plain = outcome(world({ rows }));
    expect(equal.issues).toEqual(['note duplicate-time']);
    expect(equal.edges).toEqual(plain.edges);
    const differing = world({ rows: [...rows, `${iso(60)},99`] });
    expect(differing.issues.map(({ code, severity }) => [severity, code])).toEqual([
      ['note', 'unsorted'],
      ['warning', 'duplicate-time'],
      ['warning', 'duplicate-time'],
    ]);
    const { aligned } = outcome(differing);
    expect(Number.isNaN(aligned.x[0]!)).toBe(true);
  });

  it('an unsorted record is put in order: the same chart as the sorted one', () => {
    const rows = Array.from({ length: 1000 }, (_, h) => `${iso(h)},${wave(h)}`);
    const shuffled = rows.map((_, i) => rows[(i * 387) % 1000]!);
    const { issues, edges } = outcome(world({ rows: shuffled }));
    expect([issues, edges]).toEqual([['note unsorted'], outcome(world({ rows })).edges]);
  });

  it('negative discharge of a tide: those visits find no reading, with the reason', () => {
    const { issues, unmatched, status } = outcome(world({ flow: (h) => wave(h) - 8 }));
    expect(issues).toEqual(['note not-positive']);
    expect(unmatched.length).toBeGreaterThan(5);
    expect(unmatched[0]!.reason).toBe(
      'gauge g reads zero or below around this time, which has no place on a scale of logarithms',
    );
    expect(['separated', 'converged']).toContain(status);
  });

  it('a log of other years: fatal, with both spans, and its sightings counted once among the unmatched', () => {
    const input = world({ firstHour: 20_000 });
    expect(input.issues.map(({ severity, code }) => `${severity} ${code}`)).toEqual(['fatal no-overlap']);
    expect(input.issues[0]!.found).toBe(
      "visits of run 'upper' 2033-04-13 to 2033-05-20, record of 'g' 2031-01-01 to 2031-02-11",
    );
    const chart = chartNow(input, { draws: 60, runs: ['upper'], lagHours: LAGS, storageHours: STORAGES });
    expect(chart.notUsed).toEqual([{ code: 'unmatched', rows: 30 }]);
  });

  it('a spell without flow: the dry visits are listed, the wet ones fitted', () => {
    const { issues, unmatched, edges } = outcome(world({ flow: (h) => (h < 300 ? 0 : wave(h)) }));
    expect(issues).toEqual(['note not-positive']);
    expect(unmatched.map(({ visit }) => visit)).toEqual(['v0', 'v1', 'v2', 'v3', 'v4', 'v5', 'v6', 'v7']);
    expect(edges.length).toBe(2);
  });

  it.each([1e-9, 1e9])('a unit %s times as large: the same edges, times that', (factor) => {
    const plain = outcome(world());
    const scaled = outcome(world({ flow: (h) => factor * wave(h) }));
    expect(scaled.status).toBe(plain.status);
    plain.edges.forEach((edge, k) => expect(Math.abs(Math.log(scaled.edges[k]! / (factor * edge)))).toBeLessThan(1e-3));
  });

  it('one visit and none: no fit, in words', () => {
    const one = outcome(world({ visits: 1 }));
    expect([one.status, one.sentence, one.edges]).toEqual([
      'too-few-rows',
      'Only 1 visit has a reading of gauge g: nothing can be fitted.',
      [],
    ]);
    const none = outcome(world({ visits: 0 }));
    expect([none.status, none.sentence, none.edges]).toEqual([
      'too-few-rows',
      'No visit has a reading of gauge g: nothing can be fitted.',
      [],
    ]);
  });

  it('a log that begins before the record: those visits are listed and nothing is guessed', () => {
    const { unmatched, status } = outcome(world({ firstHour: -200 }));
    expect(unmatched.map(({ visit }) => visit)).toEqual(['v0', 'v1', 'v2', 'v3', 'v4', 'v5', 'v6']);
    expect(unmatched[0]!.reason).toBe('the record of gauge g does not reach this time');
    expect(['separated', 'converged']).toContain(status);
  });

  it('a log whose clock runs two hours late: the lag takes it up, the edges stay', () => {
    const { aligned } = outcome(world({ skewHours: 2 }));
    const { 'one-reading': oneReading } = fitLevels(aligned, { draws: 60, modes: ['one-reading'] });
    const { lagsHours, probability } = oneReading.grid;
    const share = (lag: number) =>
      probability.reduce((sum, p, g) => sum + (lagsHours[g % lagsHours.length] === lag ? p : 0), 0);
    expect(share(2)).toBeGreaterThan(share(0));
  });
});
