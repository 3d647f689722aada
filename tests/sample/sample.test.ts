import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { HOUR, localParts, RECORD_START } from '../../tools/sample/clock.js';
import { makeSample, SAMPLE_SEED } from '../../tools/sample/folder.js';
import { CLASSES, OBSERVERS, RUNS } from '../../tools/sample/place.js';
import type { GaugeTruth } from '../../tools/sample/truth.js';
import { trueClass } from '../../tools/sample/visits.js';
import { flowAt } from '../../tools/sample/world.js';
import { expectClose } from '../expectClose.js';

const FOLDER = join(import.meta.dirname, '../../data-sample');
const sample = makeSample(SAMPLE_SEED);
const text = (name: string): string => sample.files.get(name)!;

describe('the committed sample', () => {
  it('is what the seed makes, byte for byte, and nothing else lies there', () => {
    const committed = readdirSync(FOLDER, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) =>
        join(entry.parentPath, entry.name)
          .slice(FOLDER.length + 1)
          .replaceAll('\\', '/'),
      );
    expect(committed.sort()).toEqual([...sample.files.keys(), 'README.md'].sort());
    for (const [name, made] of sample.files)
      expect(
        readFileSync(join(FOLDER, name), 'utf8') === made,
        `data-sample/${name} differs: run npx tsx tools/sample/make.ts`,
      ).toBe(true);
  });

  it('is small: readings under 2.5 MB, all under 3 MB', () => {
    const bytes = (names: readonly string[]): number =>
      names.reduce((n, name) => n + statSync(join(FOLDER, name)).size, 0);
    const names = [...sample.files.keys()];
    expect(bytes(names.filter((name) => name.startsWith('gauges/')))).toBeLessThan(2_500_000);
    expect(bytes([...names, 'README.md'])).toBeLessThan(3_000_000);
  });

  it('holds three slips of the pen and no fourth', () => {
    const rows: Record<string, string>[] = parse(text('visits.csv'), { columns: true });
    const slips = rows.flatMap((row, i) => {
      const run = RUNS.find((r) => r.id === row['run'])!;
      const feature = run.features.find((f) => f.id === row['feature']);
      const isStaff = row['feature'] === 'staff' && run.id === 'lower';
      const classes = row['feature'] === 'verdict' ? CLASSES : feature?.classes;
      const slip = !/T([01]\d|2[0-3]):[0-5]\d$/.test(row['when']!)
        ? `when ${row['when']}`
        : classes === undefined && !isStaff
          ? `feature ${row['feature']}`
          : classes !== undefined && !classes.includes(row['saw']!)
            ? `saw ${row['saw']}`
            : isStaff && !/^\d+$/.test(row['saw']!)
              ? `saw ${row['saw']}`
              : undefined;
      return slip === undefined ? [] : [{ line: i + 2, slip }];
    });
    expect(slips.map((s) => s.slip.split(' ')[0]).sort()).toEqual(['feature', 'saw', 'when']);
    expect(slips.map((s) => s.slip)).toEqual([
      'saw straeked',
      'feature rot',
      expect.stringMatching(/^when 20\d\d-\d\d-\d\dT25:\d\d$/),
    ]);
    expect(new Set(rows.map((row) => row['observer']))).toEqual(new Set(OBSERVERS.map((o) => o.name)));
    expect(rows.filter((row) => row['run'] === 'upper' && row['feature'] === 'verdict')).toEqual([]);
  });

  it('has a look in the doubled hour, vague afternoons, and remarks with commas and quotes', () => {
    const rows: Record<string, string>[] = parse(text('visits.csv'), { columns: true });
    expect(rows.filter((row) => row['when'] === '2023-11-05T01:30')).toHaveLength(1);
    expect(
      rows.filter((row) => row['when']!.endsWith('T15:00') && row['give_or_take_min'] === '180').length,
    ).toBeGreaterThan(5);
    const notes = rows.map((row) => row['note']!);
    for (const sign of [',', '"', '<'])
      expect(
        notes.some((note) => note.includes(sign)),
        sign,
      ).toBe(true);
    expect(notes.some((note) => note.startsWith('+'))).toBe(true);
  });
});

describe('the gauge files', () => {
  it('rdb: hourly, nine days of ice, a failed sensor, provisional at the end, the doubled hour told apart by its zone', () => {
    const lines = text('gauges/great-thrask.rdb').trim().split('\n');
    const rows = lines.filter((line) => line.startsWith('OWO\t')).map((line) => line.split('\t'));
    expect(rows).toHaveLength(17_544);
    expect(rows.filter((r) => r[4] === 'Ice')).toHaveLength(9 * 24);
    expect(rows.filter((r) => r[4] === 'Eqp')).toHaveLength(20);
    expect(rows.every((r) => r[4] === 'Ice' || r[4] === 'Eqp' || Number(r[4]) > 0)).toBe(true);
    expect(rows.findIndex((r) => r[5] === 'P')).toBe(rows.findLastIndex((r) => r[5] === 'A') + 1);
    expect(rows.filter((r) => r[2] === '2023-11-05 01:00').map((r) => r[3])).toEqual(['MDT', 'MST']);
    expect(rows.some((r) => r[2] === '2024-03-10 02:00')).toBe(false);
    const ice = rows.filter((r) => r[4] === 'Ice').map((r) => r[2]!.slice(0, 7));
    expect(ice.every((month) => ['2023-12', '2024-01', '2024-02'].includes(month))).toBe(true);
  });

  it('delimited: header block, decimal commas, refused ice, lost messages, and silence in a flood that a party met', () => {
    const lines = text('gauges/pinnerel-brook.csv').trim().split('\n');
    expect(lines[6]).toBe('Date and time;Flow [m3/s];State');
    const rows = lines.slice(7).map((line) => line.split(';'));
    expect(rows).toHaveLength(17_544 - 10);
    expect(rows.every((r) => /^\d\d\.\d\d\.\d{4} \d\d:00$/.test(r[0]!))).toBe(true);
    expect(rows.every((r) => (r[2] === 'M' ? r[1] === '---' : /^\d+,\d\d$/.test(r[1]!)))).toBe(true);
    expect(rows.filter((r) => r[2] === 'I')).toHaveLength(6 * 24);
    expect(rows.filter((r) => r[2] === 'M').length).toBeGreaterThan(3);
    const times = rows.map((r) => {
      const [, day, month, year, hour] = /^(\d\d)\.(\d\d)\.(\d{4}) (\d\d)/.exec(r[0]!)!.map(Number) as [
        number,
        number,
        number,
        number,
        number,
      ];
      return Date.UTC(year, month - 1, day, hour + 7);
    });
    const jumps = times.flatMap((t, i) => (i > 0 && t - times[i - 1]! !== HOUR ? [i] : []));
    expect(jumps).toHaveLength(1);
    const [from, to] = [times[jumps[0]! - 1]!, times[jumps[0]!]!];
    expect((to - from) / HOUR).toBe(11);
    const inside = sample.visits.filter((v) => v.trueTimeMs > from && v.trueTimeMs < to);
    expect(inside.length).toBeGreaterThan(0);
    const lower = RUNS.find((r) => r.id === 'lower')!;
    expect(trueClass(flowAt(sample.world.runs.lower, inside[0]!.trueTimeMs), lower.edgesM3s)).toBeGreaterThanOrEqual(3);
  });

  it('waterml2: one file a year, every third hour, stage in metres that follows the week and not the rain', () => {
    const values: number[] = [];
    for (const year of [2023, 2024]) {
      const file = text(`gauges/ostrell-${year}.wml`);
      const points = [
        ...file.matchAll(
          /<wml2:time>(\d{4})-\d\d-\d\dT\d\d:00:00-07:00<\/wml2:time><wml2:value>(\d\.\d\d)<\/wml2:value>/g,
        ),
      ];
      expect(points).toHaveLength((year === 2024 ? 366 : 365) * 8);
      expect(points.every((p) => p[1] === String(year))).toBe(true);
      expect(file).toContain(`<swe:value>${year === 2023 ? 'A' : 'P'}</swe:value>`);
      values.push(...points.map((p) => Number(p[2])));
    }
    const mean = (wanted: (weekday: number) => boolean): number => {
      const picked = values.filter((_, i) => {
        const { weekday, hour } = localParts(RECORD_START + i * 3 * HOUR);
        return wanted(weekday) && hour >= 10 && hour <= 19;
      });
      return picked.reduce((a, b) => a + b, 0) / picked.length;
    };
    expect(mean((d) => d > 0 && d < 6)).toBeGreaterThan(1.25 * mean((d) => d === 0 || d === 6));
  });

  it('publishes what flowed, give or take the sensor', () => {
    for (const { id, stepHours, values } of sample.records) {
      if (id !== 'larger' && id !== 'flashy') continue;
      const unit = id === 'larger' ? 0.3048 ** 3 : 1;
      const off = Array.from(values).flatMap((value, i) => {
        const true_ = flowAt(sample.world.gauges[id], RECORD_START + i * stepHours * HOUR);
        return Number.isNaN(value) || value < 0.5 ? [] : [Math.log((value * unit) / true_)];
      });
      const mean = off.reduce((a, b) => a + b, 0) / off.length;
      expect(Math.abs(mean), id).toBeLessThan(0.05);
      expect(Math.sqrt(off.reduce((s, v) => s + (v - mean) ** 2, 0) / off.length), id).toBeLessThan(0.08);
    }
  });
});

describe('the truth', () => {
  const lower = sample.truth.gauges as Record<string, { fit: GaugeTruth; test: GaugeTruth }>;
  const upper = sample.truth.otherRuns['upper']!.gauges as typeof lower;
  it.each([
    ['lower', lower],
    ['upper', upper],
  ] as const)('%s: the flashy gauge leads by about 3 h, the creek is a little slower', (_, gauges) => {
    const { planning } = gauges['flashy']!.fit;
    expect(planning.lagHours).toBeGreaterThanOrEqual(2);
    expect(planning.lagHours).toBeLessThanOrEqual(4);
    expect(planning.storageHours).toBeGreaterThanOrEqual(3);
    expect(planning.storageHours).toBeLessThanOrEqual(6);
    const spreads = planning.edges['verdict']!.map((e) => e!.mismatch);
    expect(spreads.reduce((a, b) => a + b, 0) / 4).toBeGreaterThan(0.15);
    expect(spreads.reduce((a, b) => a + b, 0) / 4).toBeLessThan(0.35);
  });

  it.each([
    ['lower', lower],
    ['upper', upper],
  ] as const)('%s: the creek leads the larger gauge, whose storage must be undone', (_, gauges) => {
    const { fit } = gauges['larger']!;
    expect(fit.lagHours).toBeGreaterThanOrEqual(-6);
    expect(fit.lagHours).toBeLessThanOrEqual(-3);
    expect(fit.planning.storageHours).toBeGreaterThanOrEqual(-12);
    expect(fit.planning.storageHours).toBeLessThanOrEqual(-6);
    const atLagZero = fit.lagProfile.find(([lag]) => lag === 0)![1]!;
    expect(fit.planning.meanNegLogLik).toBeLessThan(0.75 * atLagZero);
  });

  it.each([
    ['lower', lower],
    ['upper', upper],
  ] as const)('%s: the regulated gauge knows next to nothing', (_, gauges) => {
    const worth = (id: string): number => 1 - gauges[id]!.fit.planning.meanNegLogLik / gauges[id]!.fit.withoutGauge;
    expect(worth('regulated')).toBeLessThan(0.05);
    expect(worth('flashy')).toBeGreaterThan(0.6);
    expect(worth('larger')).toBeGreaterThan(0.6);
  });

  it.each([
    ['flashy', lower],
    ['larger', lower],
    ['flashy', upper],
    ['larger', upper],
  ] as const)('gauge %s: wide enough between the edges of good to be sure in the middle', (id, gauges) => {
    const edges = gauges[id]!.fit.planning.edges['verdict']!;
    const [from, to] = [edges[1]!, edges[2]!];
    const width = Math.log(to.gauge / from.gauge);
    const spread = Math.max(from.mismatch, to.mismatch);
    // Odds of at least 80 % in the middle need ±1.28 spreads; blur and observers (0.08 each) widen it.
    expect(width / 2).toBeGreaterThan(1.28 * Math.hypot(spread, 0.08, 0.08));
  });

  it('lists edges that rise along the classes, on creek and gauge', () => {
    for (const gauges of [lower, upper])
      for (const id of ['flashy', 'larger'])
        for (const edges of Object.values(gauges[id]!.fit.planning.edges))
          for (let k = 1; k < edges.length; k++) expect(edges[k]!.gauge).toBeGreaterThan(edges[k - 1]!.gauge);
    for (const edges of Object.values(sample.truth.creekEdges))
      for (let k = 1; k < edges.length; k++) expect(edges[k]!.m3s).toBeGreaterThan(edges[k - 1]!.m3s);
  });

  it('holds observers back to a mean of nothing, so that edges are not moved by them', () => {
    const sum = OBSERVERS.reduce((s, o) => s + o.share * o.bias, 0) / OBSERVERS.reduce((s, o) => s + o.share, 0);
    expectClose(sum, 0, { abs: 0.01, why: 'share-weighted mean of the biases' });
  });

  it.each([
    ['lower', lower],
    ['upper', upper],
  ] as const)(
    '%s: without the brook the larger river knows more, and its storage must still be undone',
    (_, gauges) => {
      const [without, larger] = [gauges['without-brook']!.fit, gauges['larger']!.fit];
      expect(without.planning.storageHours).toBeGreaterThanOrEqual(-12);
      expect(without.planning.storageHours).toBeLessThanOrEqual(-6);
      const gained = 1 - without.planning.meanNegLogLik / larger.planning.meanNegLogLik;
      expect(gained).toBeGreaterThan(0.05);
      expect(gained).toBeLessThan(0.3);
    },
  );

  it('scores later hours that hold every class', () => {
    for (const name of ['later.csv', 'later-upper.csv']) {
      const rows: { time: string; class: string }[] = parse(text(name), { columns: true });
      expect(rows.length).toBe(108 * 11);
      expect(new Set(rows.map((r) => r.class))).toEqual(new Set(CLASSES));
      expect(rows.every((r) => Date.parse(r.time) >= Date.parse(sample.truth.visitsEnd))).toBe(true);
    }
  });
});
