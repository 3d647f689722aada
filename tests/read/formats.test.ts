import { describe, expect, it } from 'vitest';
import { readDelimited } from '../../src/read/readDelimited.js';
import { readRdb } from '../../src/read/readRdb.js';
import { readWaterml1 } from '../../src/read/readWaterml1.js';
import { readWaterml2 } from '../../src/read/readWaterml2.js';
import type { Gauge } from '../../src/series/creek.js';
import type { RawSeries } from '../../src/series/gaugeRecord.js';
import { localDate, zoneClock } from '../../src/series/time.js';
import { expectClose } from '../expectClose.js';
import { realFile } from '../real/realFiles.js';

/*
 * Official downloads and what each must read to, made outside this project. Sources: U.S. Geological Survey (RDB, WaterML 1.1 and 2.0), Environment
 * Agency for England (delimited export), Water Survey of Canada (delimited daily export).
 */
const bytesOf = (name: string): Buffer | undefined => realFile(`formats/${name}`);

interface Expected {
  readonly rows: number;
  readonly numbers: number;
  readonly sum: number;
  readonly first: string;
  readonly last: string;
  readonly codes?: Readonly<Record<string, number>>;
}

const base = { id: 'g', name: 'gauge', parameter: 'discharge', unit: 'ft3/s', files: [] } as const;

/** How each file is to be read; times are compared in the zone. */
const FILES: Readonly<Record<string, { gauge: Gauge; zone: string; splitCodes?: boolean }>> = {
  '09512500_Discharge.txt': { gauge: { ...base, format: 'rdb' }, zone: 'America/Phoenix' },
  'ColoradoRiver2Gages.rdb': { gauge: { ...base, format: 'rdb' }, zone: 'America/Denver' },
  'RDB1Example.txt': { gauge: { ...base, format: 'rdb' }, zone: 'America/New_York' },
  'ColoradoRiver2Gages_UsgsNwisDaily_Collection.waterml': {
    gauge: { ...base, format: 'waterml2' },
    zone: 'America/Denver',
  },
  'WaterML2Example.xml': { gauge: { ...base, format: 'waterml2' }, zone: 'America/New_York' },
  'startDST.json': { gauge: { ...base, format: 'waterml1' }, zone: 'America/New_York', splitCodes: true },
  'mult_flags.json': { gauge: { ...base, format: 'waterml1' }, zone: 'America/New_York', splitCodes: true },
  'two_sites_two_params_iv.json': {
    gauge: { ...base, format: 'waterml1' },
    zone: 'America/New_York',
    splitCodes: true,
  },
  '2091_Warwick_SG_Dec_2012.csv': {
    zone: 'UTC',
    gauge: {
      ...base,
      parameter: 'stage',
      unit: 'm',
      format: 'delimited',
      skipLines: 20,
      columns: { time: 'Time stamp', value: 'Value[m]', quality: 'State of value' },
      datePattern: 'dd/MM/yyyy HH:mm:ss',
    },
  },
  'Armley_F1707_Flow_15min_May_15_to_Mar_16.csv': {
    zone: 'UTC',
    gauge: {
      ...base,
      unit: 'm3/s',
      format: 'delimited',
      encoding: 'latin1',
      skipLines: 20,
      columns: { time: 'Time stamp', value: 'Value[m³/s]', quality: 'State of value' },
      datePattern: 'dd/MM/yyyy HH:mm:ss',
    },
  },
  '04JD005_Daily_Flow_ts.csv': {
    zone: 'America/Regina',
    gauge: {
      ...base,
      unit: 'm3/s',
      format: 'delimited',
      columns: { date: 'Date', value: 'Flow', quality: 'SYM' },
      datePattern: 'yyyy/MM/dd',
      stopAt: 'DISCLAIMER',
    },
  },
};

const READERS = { rdb: readRdb, waterml1: readWaterml1, waterml2: readWaterml2, delimited: readDelimited };

function read(name: string): readonly RawSeries[] {
  const { gauge, zone } = FILES[name]!;
  const { series, issues } = READERS[gauge.format]({ name, bytes: bytesOf(name)! }, gauge, zone);
  expect(issues, `${name}: a clean official download has no issues`).toEqual([]);
  return series;
}

/** UTC ms of a time as EXPECTED.json writes it: with an offset, as UTC to the minute, day first in GMT, or a date (its local noon). */
function expectedMs(text: string, zone: string): number {
  const dayFirst = /^(\d\d)\/(\d\d)\/(\d{4}) (\d\d:\d\d:\d\d)$/.exec(text);
  if (dayFirst !== null) return Date.parse(`${dayFirst[3]}-${dayFirst[2]}-${dayFirst[1]}T${dayFirst[4]}Z`);
  const date = /^(\d{4})[-/](\d\d)[-/](\d\d)$/.exec(text);
  if (date === null) return Date.parse(text);
  const noonUtc = Date.parse(`${date[1]}-${date[2]}-${date[3]}T12:00Z`);
  return noonUtc - zoneClock(zone).offsetAt(noonUtc);
}

describe('official downloads read to what they hold', () => {
  const expected = JSON.parse(bytesOf('EXPECTED.json')!.toString()) as Record<string, Record<string, Expected>>;

  it('covers every file of the collection', () => {
    // The XML form of WaterML 1.1 has no entry in EXPECTED.json and a test of its own below.
    expect(Object.keys(FILES).sort()).toEqual(Object.keys(expected).sort());
  });

  for (const [name, wanted] of Object.entries(expected)) {
    // Three whose licence is not stated are not part of the project.
    it.skipIf(bytesOf(name) === undefined)(name, () => {
      const { gauge, zone, splitCodes } = FILES[name]!;
      const series = read(name);
      expect(series).toHaveLength(Object.keys(wanted).length);
      Object.entries(wanted).forEach(([key, want], i) => {
        // WaterML 2 and delimited files give no key that EXPECTED.json could have known.
        const named = gauge.format === 'rdb' || gauge.format === 'waterml1';
        const one = named ? series.find((candidate) => candidate.key === key)! : series[i]!;
        expect(one, key).toBeDefined();
        expect(one.timesMs.length, `${key} rows`).toBe(want.rows);
        const numbers = one.values.filter((value) => value === value);
        expect(numbers.length, `${key} numbers`).toBe(want.numbers);
        expectClose(
          numbers.reduce((sum, value) => sum + value, 0),
          want.sum,
          { rel: 1e-12, why: `${key}: the sum of ${want.rows} rounded decimals` },
        );
        expect(new Date(one.timesMs[0]!).toISOString(), `${key} first`).toBe(
          new Date(expectedMs(want.first, zone)).toISOString(),
        );
        expect(new Date(one.timesMs.at(-1)!).toISOString(), `${key} last`).toBe(
          new Date(expectedMs(want.last, zone)).toISOString(),
        );
        if (/^\d{4}.\d\d.\d\d$/.test(want.first))
          expect(localDate(one.timesMs[0]!, zoneClock(zone))).toBe(want.first.replaceAll('/', '-'));
        if (want.codes === undefined) return;
        const codes: Record<string, number> = {};
        for (const code of one.codes)
          for (const part of splitCodes === true ? code.split(' ') : [code]) codes[part] = (codes[part] ?? 0) + 1;
        expect(codes, `${key} codes`).toEqual(want.codes);
      });
    });
  }

  it('the XML form of WaterML 1.1: as many readings as value elements, first and last as written', () => {
    const bytes = bytesOf('WaterML1Example.xml')!;
    const text = bytes.toString('utf8');
    const { series, issues } = readWaterml1(
      { name: 'WaterML1Example.xml', bytes },
      { ...base, format: 'waterml1' },
      'America/New_York',
    );
    expect(issues).toEqual([]);
    expect(series).toHaveLength(1);
    const [one] = series as [RawSeries];
    expect(one.key).toBe('USGS:01491000:00060:00000 [0]');
    expect([one.site, one.parameterCode, one.statisticCode, one.unitText]).toEqual([
      '01491000',
      '00060',
      '00000',
      'ft3/s',
    ]);
    // Counted and summed here by another way than the reader's: a pattern over the raw text.
    const written = [...text.matchAll(/dateTime="([^"]+)">([\d.]+)<\/ns1:value>/g)];
    expect(one.timesMs.length).toBe(written.length);
    expect(written.length).toBe(192);
    expect(Array.from(one.values)).toEqual(written.map((match) => Number(match[2])));
    expect(Array.from(one.timesMs)).toEqual(written.map((match) => Date.parse(match[1]!)));
    expect(new Set(one.codes)).toEqual(new Set(['A']));
  });

  it('WaterML 2: site, property, statistic and unit are found, and points take their own code before the default', () => {
    const [max, min, conductance] = read('ColoradoRiver2Gages_UsgsNwisDaily_Collection.waterml') as [
      RawSeries,
      RawSeries,
      RawSeries,
    ];
    expect([max.key, min.key]).toEqual(['09071750 00010 00001', '09071750 00010 00002']);
    expect([max.unitText, conductance.unitText]).toEqual(['deg C', 'uS/cm @25C']);
    expect(new Set(max.codes)).toEqual(new Set(['A']));
    const [flow] = read('WaterML2Example.xml') as [RawSeries];
    expect(flow.key).toBe('01646500 00060 00003');
    expect(new Set(flow.codes)).toEqual(new Set(['P']));
  });

  it('spring clock change: the hour that does not exist is no gap in the record', () => {
    const [series] = read('startDST.json') as [RawSeries];
    const steps = new Set<number>();
    for (let i = 1; i < series.timesMs.length; i++) steps.add((series.timesMs[i]! - series.timesMs[i - 1]!) / 60_000);
    expect(Math.min(...steps)).toBe(15);
  });
});
