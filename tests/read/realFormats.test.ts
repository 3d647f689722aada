import { describe, expect, it } from 'vitest';
import { deriveRecord } from '../../src/read/deriveRecord.js';
import { durationMs } from '../../src/read/waterml2Metadata.js';
import { readGauge } from '../../src/read/readGauge.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { pairs, said } from './recordExample.js';

const base: Gauge = {
  id: 'g',
  name: 'g',
  parameter: 'discharge',
  unit: 'm3/s',
  files: ['f'],
  format: 'delimited',
  columns: { time: 'time', value: 'value', quality: 'q' },
};
const read = (text: string, more: Partial<Gauge> = {}) => readGauge({ ...base, ...more }, [textFile('f', text)], 'UTC');
const row = (hour: number, value: number, code = '') => `2024-01-01T0${hour}:00Z,${value},${code}\n`;
const table = (...rows: string[]) => `time,value,q\n${rows.join('')}`;

describe('approval by codes that creek.json names', () => {
  it('counts approved, provisional and others; a code under both is provisional; parts of a joined code count', () => {
    const { record } = read(table(row(0, 1, 'G'), row(1, 2, 'G;e'), row(2, 3, 'U'), row(3, 4, 'G U'), row(4, 5, 'Z')), {
      approval: { approved: ['G'], provisional: ['U'] },
    });
    expect(record!.approval).toEqual({ approved: 2, provisional: 2, unknown: 1 });
  });
  it('without it nothing is known', () => {
    expect(read(table(row(0, 1, 'A'))).record!.approval).toEqual({ approved: 0, provisional: 0, unknown: 1 });
  });
});

describe('a changed datum', () => {
  const rows = table(row(0, 1), row(1, 2), row(2, 3));
  it('puts a barrier between the readings around it, and says so', () => {
    const { record, issues, rowsUsed } = read(rows, { datumChanges: ['2024-01-01T01:30Z'] });
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, 2],
      [1.5, NaN],
      [2, 3],
    ]);
    expect(rowsUsed).toBe(3);
    expect(said(issues)).toEqual([
      'note f: found a change of datum at 2024-01-01T01:30Z, as creek.json says, expected one datum. Nothing is interpolated across it.',
    ]);
  });
  it('a reading at the very moment is on the new datum; one outside the record changes nothing', () => {
    expect(pairs(read(rows, { datumChanges: ['2024-01-01T01:00Z', '2020-01-01', '2030-01-01'] }).record)).toEqual([
      [0, 1],
      [0.5, NaN],
      [1, 2],
      [2, 3],
    ]);
  });
  it('a dated remark of the file does the same; a stage gauge is told more', () => {
    const { record, issues } = read(
      `Datum of gauge lowered on 2024-01-01\n${rows.replaceAll('2024-01-01', '2023-12-31')}`,
      {
        skipLines: 1,
        parameter: 'stage',
        unit: 'm',
      },
    );
    expect(record!.values.length).toBe(3);
    expect(said(issues)).toEqual([
      "note f: found the remark 'Datum of gauge lowered on 2024-01-01', expected one datum. Nothing is interpolated across 2024-01-01T00:00Z. Stages before and after do not share a zero: give each its own gauge in creek.json unless the file has shifted them.",
    ]);
  });
  it('two files of one stage gauge above two datums are refused', () => {
    const xml = (datum: string) =>
      `<timeSeriesResponse><timeSeries><sourceInfo><verticalDatum>${datum}</verticalDatum></sourceInfo><values><value dateTime="2024-01-01T00:00Z">1</value></values></timeSeries></timeSeriesResponse>`;
    const gauge: Gauge = { id: 'g', name: 'g', parameter: 'stage', unit: 'm', files: ['a', 'b'], format: 'waterml1' };
    const { record, issues } = readGauge(gauge, [textFile('a', xml('old')), textFile('b', xml('new'))], 'UTC');
    expect(record).toBeUndefined();
    expect(said(issues)).toEqual([
      "fatal b: found stages above datum 'new', where a has 'old', expected one datum in all files of gauge 'g'. Give each datum a gauge of its own in creek.json; stages are never shifted in silence.",
    ]);
  });
});

describe('daily values and readings of moments', () => {
  it('in two files of one gauge are refused', () => {
    const files = [textFile('a', table(row(0, 1))), textFile('b', 'time,value,q\n2024-01-02,1,\n2024-01-03,2,\n')];
    const { record, issues } = readGauge({ ...base, files: ['a', 'b'] }, files, 'UTC');
    expect(record).toBeUndefined();
    expect(said(issues)).toEqual([
      "fatal b: found daily values, where a has readings of moments, expected one kind in all files of gauge 'g'. A daily value stands for its whole day and not for noon. Give each kind a gauge of its own in creek.json.",
    ]);
  });
  it('do not add up to a derived gauge', () => {
    const moments = read(table(row(0, 1), row(1, 2))).record!;
    const days = { ...read('time,value,q\n2024-01-02,1,\n2024-01-03,2,\n').record!, gauge: 'd' };
    expect(days.dayMeans).toBe(true);
    const { record, issues } = deriveRecord({ id: 's', name: 's', kind: 'sum', of: ['g', 'd'] }, [moments, days]);
    expect(record).toBeUndefined();
    expect(issues).toMatchObject([{ code: 'series-ambiguous', severity: 'fatal' }]);
  });
});

describe('units and dates that a table states otherwise', () => {
  it('brackets with a unit that no gauge has are a mismatch, never a scale', () => {
    const { issues } = read('time,Flow (ML/d),q\n2024-01-01T00:00Z,5,\n', {
      columns: { time: 'time', value: 'Flow (ML/d)' },
    });
    expect(issues).toMatchObject([{ code: 'unit-mismatch', severity: 'fatal', found: "series 'Flow (ML/d)' in ML/d" }]);
  });
  it.each(['oldest first', 'newest first'])('%s: no row is used that might have day and month exchanged', (order) => {
    const days = Array.from({ length: 28 }, (_, i) => `${i + 1}`.padStart(2, '0'));
    const rows = days.map((day, i) => `${i === 7 ? `06/${day}` : `${day}/06`}/2024 00:00,${i + 1},`);
    const lines = order === 'oldest first' ? rows : rows.toReversed();
    const { record, issues } = read(`time,value,q\n${lines.join('\n')}\n`, { datePattern: 'dd/MM/yyyy HH:mm' });
    const used = [...record!.values].filter((value) => !Number.isNaN(value));
    // The eighth stands as 6 August; the sixth and the thirteenth read one way only, what lies between could be either.
    expect(used).toEqual([1, 2, 3, 4, 5, 6, ...Array.from({ length: 16 }, (_, i) => 13 + i)]);
    used.forEach((day, i) => expect(record!.timesMs[i]).toBe(Date.UTC(2024, 5, day)));
    const refused = issues.filter(({ code }) => code === 'time-unreadable');
    expect(refused.reduce((sum, { count = 1 }) => sum + count, 0)).toBe(6);
  });
  it('month first under a day-first pattern is refused with the pattern that would do', () => {
    const { issues } = read('time,value,q\n01/02/2024 00:00,5,\n04/28/2024 00:00,5,\n', {
      datePattern: 'dd/MM/yyyy HH:mm',
    });
    expect(said(issues)).toEqual([
      "fatal f row 3, column time: found '04/28/2024 00:00', and no date that only dd/MM/yyyy HH:mm can read, expected a time written as dd/MM/yyyy HH:mm. Day and month seem to be the other way round: set datePattern to MM/dd/yyyy HH:mm.",
    ]);
  });
});

describe('durationMs', () => {
  it.each([
    ['PT15M', 900_000],
    ['P1D', 86_400_000],
    ['PT1H30M', 5_400_000],
    ['PT0.5S', 500],
    ['P1DT1S', 86_401_000],
  ])('%s', (text, ms) => expect(durationMs(text)).toBe(ms));
  it.each(['', 'P', 'PT', 'P1M', 'P1Y', 'PT0S', '-PT1H', 'PT1H ', '15M'])('%j has no length', (text) =>
    expect(durationMs(text)).toBeNaN(),
  );
});

describe('WaterML 2.0 without times', () => {
  const xml = (base: string, spacing: string) =>
    `<Collection><OM_Observation><MeasurementTimeseries><metadata><MeasurementTimeseriesMetadata><baseTime>${base}</baseTime><spacing>${spacing}</spacing></MeasurementTimeseriesMetadata></metadata>` +
    '<point><MeasurementTVP><value>1</value></MeasurementTVP></point><point/><point><MeasurementTVP><value>3</value></MeasurementTVP></point></MeasurementTimeseries></OM_Observation></Collection>';
  const gauge: Partial<Gauge> = { format: 'waterml2' };
  it('points stand at the base time plus their place times the spacing', () => {
    expect(pairs(read(xml('2024-01-01T02:00:00+02:00', 'PT30M'), gauge).record)).toEqual([
      [0, 1],
      [0.5, NaN],
      [1, 3],
    ]);
  });
  it('days from a base date stand at noon', () => {
    const { record } = read(xml('2024-01-01', 'P1D'), gauge);
    expect(pairs(record).map(([hour]) => hour)).toEqual([12, 36, 60]);
    expect(record!.dayMeans).toBe(true);
  });
});
