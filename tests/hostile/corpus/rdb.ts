import { family, type HostileCase } from './types.js';

const HEAD = 'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd\n5s\t15s\t20d\t6s\t14n\t10s\n';
const row = (time: string, zone: string, value: string, code: string) =>
  `XX\t01\t${time}\t${zone}\t${value}\t${code}\n`;
const FIRST = row('2031-01-01 00:00', 'EST', '1', 'A');
const LAST = row('2031-01-01 02:00', 'EST', '3', 'P');
const one = (name: string, input: string | Uint8Array, used: number, ...issues: string[]): HostileCase => ({
  name: `rdb: ${name}`,
  read: 'rdb',
  input,
  used,
  issues,
});
const between = (middle: string) => `# a remark\n${HEAD}${FIRST}${middle}${LAST}`;
const inRow = (input: string, used: number, ...issues: string[]) => ({ read: 'rdb', input, used, issues });

const FLAGS = [
  'Ice',
  'Eqp',
  'Bkw',
  'Fld',
  'Ssn',
  'Rat',
  'Dis',
  'Mnt',
  '***',
  '--',
  'Dry',
  '-999999',
  '-99999',
  '-999999.00',
];
const UNREADABLE = [
  '3..5',
  '1,5',
  '0x10',
  'ICEBOUND WATER',
  '1e309',
  '-1e309',
  '5 5',
  '=1',
  '½',
  '1e5e5',
  '\u0000',
  '5;6',
  '<>5',
  '5%',
];
const ZONES = ['QST', 'est', 'E', 'GMT+5', '+05:00', 'IST', 'SST', '\u0000', 'EST5EDT', 'Z'];
const TIMES = [
  'yesterday',
  '',
  '2031-02-29 00:00',
  '01/01/2031 01:00',
  '2031-01-01 25:00',
  '20310101',
  '2031-01-01 01',
  '9999-12-31 00:00',
  'datetime',
];

/** Tables of the same agency that are no time series, by their header row. */
const OTHER_TABLES = [
  'agency_cd\tsite_no\tpeak_dt\tpeak_tm\tpeak_va',
  'INDEP\tSHIFT\tDEP\tSTOR',
  'INDEP\tCORR\tCORRINDEP',
  'agency_cd\tsite_no\tstation_nm\tsite_tp_cd',
  'agency_cd\tsite_no\tmeasurement_nu\tmeasurement_dt',
  'agency_cd\tsite_no\tmonth_nu\tday_nu\tmean_va',
  'agency_cd\tsite_no\tlev_dt\tlev_tm',
  'agency_cd\tsite_no\tsample_dt\tsample_tm',
  'agency_cd\tsite_no\tparm_cd\tbegin_date',
  'agency_cd\tsite_no\tdec_lat_va\tdec_long_va',
  'parameter_cd\tgroup\tparm_nm',
  'a\tb\tc',
  'agency_cd\tsite_no\tdatetime',
];

export const RDB: readonly HostileCase[] = [
  ...family('rdb: a flag in place of a number', FLAGS, (flag) =>
    inRow(between(row('2031-01-01 01:00', 'EST', flag, 'P')), 2, 'warning value-missing'),
  ),
  ...family('rdb: a number with a flag', ['12_Ice', '12 Eqp', '12***', '<0.5', '> 5'], (cell) =>
    inRow(between(row('2031-01-01 01:00', 'EST', cell, 'P')), 2, 'warning value-refused'),
  ),
  ...family('rdb: an estimate', ['12e', '12_e', '12 e', '1.2e1', '+12', '12.'], (cell) =>
    inRow(between(row('2031-01-01 01:00', 'EST', cell, 'P')), 3),
  ),
  ...family('rdb: no number', UNREADABLE, (cell) =>
    inRow(between(row('2031-01-01 01:00', 'EST', cell, 'P')), 2, 'warning value-unreadable'),
  ),
  ...family('rdb: a zone that says nothing', ZONES, (zone) =>
    inRow(between(row('2031-01-01 01:00', zone, '2', 'P')), 2, 'warning zone-unknown'),
  ),
  ...family('rdb: no time', TIMES, (time) => inRow(between(row(time, 'EST', '2', 'P')), 2, 'warning time-unreadable')),
  ...family('rdb: no time series', OTHER_TABLES, (header) =>
    inRow(`# a remark\n${header}\n${header.replace(/[^\t]+/g, '5s')}\n${header}\n`, 0, 'fatal not-a-time-series'),
  ),
  one('a date among times', between(row('2031-01-01', '', '2', 'P')), 2, 'warning time-unreadable'),
  one('a row cut short', between('XX\t01\n'), 2, 'warning row-shape'),
  one('a row cut before its code', between('XX\t01\t2031-01-01 01:00\tEST\t2\n'), 3),
  one('a row with a cell too many', between(row('2031-01-01 01:00', 'EST', '2', 'P\t9')), 2, 'warning row-shape'),
  one('a row with blanks in place of tabs', between('XX 01 2031-01-01 01:00 EST 2 P\n'), 2, 'warning row-shape'),
  one(
    'zones that change on the autumn night',
    `${HEAD}${row('2031-11-02 01:30', 'EDT', '5', 'A')}${row('2031-11-02 01:30', 'EST', '6', 'A')}${row('2031-11-02 08:00', 'UTC', '7', 'A')}`,
    3,
  ),
  one(
    'zones that go back in time',
    `${HEAD}${row('2031-11-02 01:30', 'EST', '5', 'A')}${row('2031-11-02 01:30', 'EDT', '6', 'A')}`,
    2,
    'note unsorted',
  ),
  one(
    'the same reading under two zones',
    `${HEAD}${row('2031-01-01 01:00', 'EST', '5', 'A')}${row('2031-01-01 06:00', 'UTC', '5', 'A')}`,
    1,
    'note duplicate-time',
  ),
  one(
    'another reading under another zone',
    `${HEAD}${row('2031-01-01 01:00', 'EST', '5', 'A')}${row('2031-01-01 06:00', 'UTC', '6', 'A')}`,
    0,
    'warning duplicate-time',
  ),
  one('a header pasted again without a remark', `${HEAD}${FIRST}${HEAD}${LAST}`, 2),
  one(
    'a type row missing',
    `agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd\n${FIRST}`,
    0,
    'fatal wrong-format',
  ),
  one('a type row alone', '5s\t15s\t20d\n', 0, 'fatal wrong-format'),
  one('a header without rows', HEAD, 0, 'fatal not-a-time-series'),
  one('remarks alone', '# one\n# two\n', 0, 'fatal not-a-time-series'),
  one(
    'the note that nothing was found',
    '#  No sites/data found using the selection criteria specified\n',
    0,
    'fatal not-a-time-series',
  ),
  one('nothing at all', '', 0, 'fatal not-a-time-series'),
  one('a web page', '<!DOCTYPE html>\n<html></html>\n', 0, 'fatal wrong-format'),
  one('a table cut by commas', 'time,value\n2031-01-01,1\n', 0, 'fatal wrong-format'),
  one(
    'two parameters, only one in the unit asked for',
    `${HEAD.replace('7_00060\t7_00060_cd', '7_00060\t7_00060_cd\t8_00065\t8_00065_cd').replace('14n\t10s', '14n\t10s\t14n\t10s')}XX\t01\t2031-01-01 00:00\tEST\t5\tA\t1.2\tA\n`,
    1,
  ),
  one('two sites', `${HEAD}${FIRST}${FIRST.replace('\t01\t', '\t02\t')}`, 0, 'fatal series-ambiguous'),
  one(
    'daily and instantaneous values',
    `${HEAD}${FIRST}# daily\nagency_cd\tsite_no\tdatetime\t9_00060_00003\t9_00060_00003_cd\n5s\t15s\t20d\t14n\t10s\nXX\t01\t2031-01-01\t5\tA\n`,
    0,
    'fatal series-ambiguous',
  ),
  one(
    'daily values under the name of instantaneous ones',
    `${HEAD}${FIRST}# daily\n${HEAD}${row('2031-01-02', '', '5', 'A')}`,
    0,
    'fatal series-ambiguous',
  ),
  one('a stage only', `${HEAD.replaceAll('00060', '00065')}${FIRST}`, 0, 'fatal unit-mismatch'),
  one('a discharge in cubic metres', `${HEAD.replaceAll('00060', '30208')}${FIRST}`, 0, 'fatal unit-mismatch'),
  one('a temperature', `${HEAD.replaceAll('00060', '00010')}${FIRST}`, 0, 'fatal unit-mismatch'),
  one(
    'a unit in the remarks that is not the one asked for',
    `# 7   00060     Discharge, cubic meters per second\n${HEAD}${FIRST}`,
    0,
    'fatal unit-mismatch',
  ),
  one('1,001 columns', `agency_cd\tsite_no\tdatetime${'\tx'.repeat(998)}\n`, 0, 'fatal limit-exceeded'),
  one(
    '1,001 sites',
    `${HEAD}${Array.from({ length: 1001 }, (_, i) => FIRST.replace('\t01\t', `\t${i}\t`)).join('')}`,
    0,
    'fatal limit-exceeded',
  ),
  one('2,001 headers', `${HEAD}${FIRST}`.repeat(2_001), 0, 'fatal limit-exceeded'),
  one(
    'a remark on the datum with its date',
    `# Datum of gage lowered 0.50 ft on 2031-01-01\n${HEAD}${FIRST}${LAST}`,
    2,
    'note datum-change',
  ),
  one('a remark on the datum without a date', `# The datum was changed once.\n${HEAD}${FIRST}`, 1, 'note datum-change'),
  one(
    'a site number that is a formula',
    between(row('2031-01-01 01:00', 'EST', '2', 'P').replace('\t01\t', '\t=cmd()\t')),
    0,
    'fatal series-ambiguous',
  ),
  one('a site number of 5,000 letters', `${HEAD}${FIRST.replace('\t01\t', `\t${'9'.repeat(5000)}\t`)}`, 1),
  one('bytes above 127', Uint8Array.from([...`# caf\u00e9 \u00ff\n${HEAD}${FIRST}`].map((c) => c.charCodeAt(0))), 1),
];
