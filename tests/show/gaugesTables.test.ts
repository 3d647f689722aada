import { describe, expect, it } from 'vitest';
import * as all from '../../src/show/frames/gauges/index.js';
import { fixtureGauges } from './fixtureGauges.js';

const gauges = fixtureGauges();
const run = gauges.runs[0]!;
const ranking = run.ranking!;

describe('tidy tables of gauges.json', () => {
  it('have every candidate: lists in their order, those aside without a score, the chosen one marked', () => {
    const { rows } = all.candidatesTable(gauges);
    expect(rows.map(({ list, rank, candidate, chosen }) => [list, rank, candidate, chosen])).toEqual([
      ['warning', 1, 'mean(low-bridge,mill)', true],
      ['warning', 2, 'low-bridge', false],
      ['warning', 3, 'bridge-less-dam', false],
      ['warning', 4, 'mill', false],
      ['confirming', 1, 'dam', false],
      ['aside', null, 'tarn', false],
    ]);
    const [first] = ranking.warning;
    expect([rows[0]!.run, rows[0]!.skill, rows[0]!.low80, rows[0]!.high80, rows[0]!.best]).toEqual([
      'upper',
      first!.skill.againstFrequencies,
      ...first!.skill.againstFrequencies.i80,
      first!.best,
    ]);
    const aside = rows.at(-1)!;
    expect([aside.name, aside.reason, aside.skill, aside.kind, aside.status]).toEqual([
      'Tarn outlet',
      ranking.aside[0]!.reason,
      null,
      null,
      null,
    ]);
    const none = all.candidatesTable(fixtureGauges({ chosen: 'none' })).rows;
    expect(none.filter(({ chosen }) => chosen)).toEqual([]);
  });

  it('have both orders of a pair, which sum to 1', () => {
    const { rows } = all.beatsTable(gauges);
    expect(rows).toHaveLength(12);
    const of = (first: string, second: string) =>
      rows.find((row) => row.first === first && row.second === second)!.probability;
    expect(of('low-bridge', 'mill')).toBe(0.96);
    expect(of('low-bridge', 'mill') + of('mill', 'low-bridge')).toBe(1);
  });

  it('have the parts and the edges of what is combined', () => {
    expect(all.partsTable(gauges).rows.map(({ gauge, weight }) => [gauge, weight])).toEqual([
      ['low-bridge', 0.62],
      ['mill', 0.38],
    ]);
    expect(all.combinedPartsTable(gauges).rows.map((row) => [row.gauge, row.weight, row.storageHours])).toEqual(
      run.combined!.parts.map(({ gauge, weight, storageHours }) => [gauge, weight, storageHours]),
    );
    const [edge] = all.combinedEdgesTable(gauges).rows;
    const [own] = run.combined!.edges;
    expect([edge!.lower, edge!.upper, edge!.median, edge!.low95, edge!.rounded]).toEqual([
      ...own!.between,
      own!.median,
      own!.i95[0],
      own!.rounded,
    ]);
    const single = fixtureGauges({ chosen: 'single' });
    expect([all.combinedEdgesTable(single).rows, all.combinedPartsTable(single).rows]).toEqual([[], []]);
  });

  it('have a logger by each gauge, with what it and the visits say of the lag', () => {
    const [fitted, few] = all.loggersTable(gauges).rows;
    expect([fitted!.from, fitted!.lagHours, fitted!.lagLow80, fitted!.storageHigh80, fitted!.explained]).toEqual([
      '2031-04-02T00:00:00.000Z',
      2.6,
      2.1,
      12,
      0.94,
    ]);
    expect([few!.status, few!.lagHours, few!.form, few!.rows]).toEqual(['too-few-rows', null, null, 12]);
    const [pair] = run.loggers[0]!.gauges;
    const doubted = { ...run.loggers[0]!, gauges: [{ ...pair!, doubt: 'levels-disagree' as const }] };
    expect(fitted!.doubt).toBeNull();
    expect(all.loggersTable({ ...gauges, runs: [{ ...run, loggers: [doubted] }] }).rows[0]!.doubt).toBe(
      'levels-disagree',
    );
    const lag = all.loggerEstimatesTable(gauges).rows.filter(({ quantity }) => quantity === 'lag');
    expect(lag.map(({ from, median }) => [from, median])).toEqual([
      ['logger', 2.6],
      ['visits', 3],
      ['both', 2.7],
    ]);
    const levels = all.loggerLevelsTable(gauges).rows;
    expect(levels).toHaveLength(420);
    expect([levels[205]!.seen, levels[205]!.low80, levels[205]!.time]).toEqual([
      null,
      null,
      new Date(run.loggers[0]!.gauges[0]!.levels!.timesMs[205]!).toISOString(),
    ]);
    const ccf = all.ccfTable(gauges).rows;
    expect(ccf.filter(({ peak }) => peak).map(({ lagHours }) => lagHours)).toEqual([5]);
    expect(ccf[0]!.correlation).toBe(null);
  });

  it('have the lags, also those of which nothing is known', () => {
    const [known, unknown] = all.lagsTable(gauges).rows;
    expect([known!.lengthKm, known!.waveTo, known!.lagGoes, known!.exponentHigh80, known!.kept]).toEqual([
      15,
      9.5,
      true,
      0.51,
      false,
    ]);
    expect(Object.entries(unknown!).filter(([, cell]) => cell !== null)).toEqual([
      ['run', 'upper'],
      ['gauge', 'mill'],
      ['gaugeName', 'Garn Brook at the mill'],
    ]);
  });

  it('have the staffs: readings, form with offset, curve and visits', () => {
    const readings = all.staffReadingsTable(gauges).rows;
    expect(readings.map(({ reading }) => reading)).toEqual(run.staffs[0]!.classes.flatMap((c) => c.readings));
    expect(readings.at(-1)).toEqual({
      run: 'upper',
      staff: 'staff',
      class: 'high',
      classIndex: 3,
      reading: 71,
      unit: 'cm',
    });
    const rating = run.staffs[0]!.gauges[0]!;
    const [form] = all.staffRatingsTable(gauges).rows;
    expect([form!.form, form!.offset, form!.below95, form!.points]).toEqual(['power', 12, 16.2, 22]);
    expect([form!.breakAt, form!.upperExponent]).toEqual([null, null]);
    const upper = { from: 310, exponent: { median: 0.81, i80: [0.6, 1] as const, i95: [0.5, 1.1] as const } };
    const bent = { ...run, staffs: [{ ...run.staffs[0]!, gauges: [{ ...rating, upper }] }] };
    const [broken] = all.staffRatingsTable({ ...gauges, runs: [bent] }).rows;
    expect([broken!.breakAt, broken!.upperExponent]).toEqual([310, 0.81]);
    const line = {
      ...gauges,
      runs: [{ ...run, staffs: [{ ...run.staffs[0]!, gauges: [{ ...rating, form: 'line' as const, offset: null }] }] }],
    };
    const [straight] = all.staffRatingsTable(line).rows;
    expect([straight!.form, straight!.offset, straight!.low95, straight!.below95]).toEqual(['line', null, null, null]);
    const curve = all.staffCurveTable(gauges).rows;
    expect([curve.length, curve[7]!.median, curve[7]!.low80, curve[7]!.readingHigh80]).toEqual([
      61,
      rating.median[7],
      rating.curve80[7]![0],
      rating.reading80[7]![1],
    ]);
    const seen = curve.filter((row) => row.seen).map(({ gaugeValue }) => gaugeValue);
    const met = rating.points.map(({ gaugeValue }) => gaugeValue);
    expect(seen).toEqual(rating.gaugeValues.filter((v) => v >= Math.min(...met) && v <= Math.max(...met)));
    expect([seen.length > 10, seen.length < curve.length]).toEqual([true, true]);
    const points = all.staffPointsTable(gauges).rows;
    expect([points.length, points[3]!.reading, points[3]!.expected]).toEqual([
      22,
      rating.points[3]!.staff,
      rating.points[3]!.expected,
    ]);
  });

  it.each(Object.entries(all))('%s has no row for a run of which nothing is known', (_, make) => {
    expect(make({ ...gauges, runs: [gauges.runs[1]!] }).rows).toEqual([]);
  });
});
