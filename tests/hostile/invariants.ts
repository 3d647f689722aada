import { parseCreek } from '../../src/read/parseCreek.js';
import { readGauge } from '../../src/read/readGauge.js';
import type { BuiltRecord } from '../../src/read/buildRecord.js';
import { readVisits, type VisitsRead } from '../../src/read/readVisits.js';
import type { Creek, Gauge } from '../../src/series/creek.js';
import { issueSentence, type Issue } from '../../src/series/issue.js';

/** Issues that stand for rows or values that are not in the record. */
const LOST = new Set([
  'row-shape',
  'time-unreadable',
  'time-nonexistent',
  'time-ambiguous',
  'zone-unknown',
  'value-missing',
  'value-unreadable',
  'value-refused',
  'duplicate-time',
]);

/** What must hold for any bytes whatever; a sentence for the first thing that does not. */
export function gaugeFault(built: BuiltRecord, bytes: Uint8Array): string | undefined {
  const { record, issues, rowsIn, rowsUsed } = built;
  const fatal = issues.some((issue) => issue.severity === 'fatal');
  if ((record === undefined) !== fatal) return `record ${record === undefined ? 'missing' : 'there'}, fatal ${fatal}`;
  const badIssue = issueFault(issues, bytes);
  if (badIssue !== undefined) return badIssue;
  if (record === undefined) return rowsUsed === 0 ? undefined : `rows used ${rowsUsed} without a record`;
  const listed = issues
    .filter((issue) => issue.severity === 'warning' && LOST.has(issue.code))
    .reduce((sum, issue) => sum + (issue.count ?? 1), 0);
  // Readings of one time that agree are used once and noted.
  const folded = issues
    .filter((issue) => issue.severity === 'note' && issue.code === 'duplicate-time')
    .reduce((sum, issue) => sum + (issue.count ?? 1), 0);
  if (rowsUsed + listed + folded !== rowsIn) return `${rowsIn} rows in, ${rowsUsed} used, ${listed + folded} listed`;
  let numbers = 0;
  for (let i = 0; i < record.timesMs.length; i++) {
    const time = record.timesMs[i]!;
    if (!Number.isFinite(time)) return `time ${i} is ${time}`;
    if (i > 0 && !(time > record.timesMs[i - 1]!)) return `times ${i - 1} and ${i} do not ascend`;
    const value = record.values[i]!;
    if (Math.abs(value) === Infinity) return `value ${i} is ${value}`;
    if (value === value) numbers++;
  }
  if (numbers !== rowsUsed) return `${numbers} numbers, ${rowsUsed} rows used`;
  const { approved, provisional, unknown } = record.approval;
  if (approved + provisional + unknown !== rowsUsed) return 'approval does not add up';
  return undefined;
}

/** The same for visits.csv. */
export function visitsFault(read: VisitsRead, bytes: Uint8Array): string | undefined {
  const badIssue = issueFault(read.issues, bytes);
  if (badIssue !== undefined) return badIssue;
  const used = read.visits.flatMap((visit) => visit.sightings.map((sighting) => sighting.row));
  const lost = new Set(read.issues.filter(({ severity }) => severity === 'warning').map(({ row }) => row));
  if (used.length !== read.sightingsUsed) return 'sightings used do not add up';
  if (used.length + lost.size !== read.sightingRows)
    return `${read.sightingRows} rows in, ${used.length} used, ${lost.size} listed`;
  if (used.some((row) => lost.has(row))) return 'a row both used and listed';
  for (const { sightings } of read.visits)
    for (const { timeMs, giveOrTakeMin } of sightings)
      if (!Number.isFinite(timeMs) || !(giveOrTakeMin >= 0)) return `a time of ${timeMs} ± ${giveOrTakeMin}`;
  return undefined;
}

function issueFault(issues: readonly Issue[], bytes: Uint8Array): string | undefined {
  let lines = 1;
  for (const byte of bytes) if (byte === 10 || byte === 13) lines++;
  for (const issue of issues) {
    if (issue.file === '') return 'an issue without a file';
    if (issue.found === undefined || issue.expected === undefined) return `an issue that says nothing: ${issue.code}`;
    if (issue.row !== undefined && !(Number.isInteger(issue.row) && issue.row >= 1 && issue.row <= lines))
      return `row ${issue.row} of ${lines} lines`;
    if (issue.count !== undefined && !(issue.count >= 1)) return `a count of ${issue.count}`;
    if (issueSentence(issue).length > 1500) return `a sentence of ${issueSentence(issue).length} letters`;
  }
  return undefined;
}

const base = { id: 'g', name: 'gauge', parameter: 'discharge', unit: 'm3/s', files: ['f'] } as const;

/** The gauges that the fuzz reads files as: every format, and the mappings that reach other branches. */
export const GAUGES: Readonly<Record<string, Gauge>> = {
  rdb: { ...base, unit: 'ft3/s', format: 'rdb' },
  waterml2: { ...base, format: 'waterml2' },
  waterml1: { ...base, unit: 'ft3/s', format: 'waterml1' },
  delimited: { ...base, format: 'delimited', columns: { time: 'time', value: 'value', quality: 'q' } },
  european: {
    ...base,
    format: 'delimited',
    delimiter: ';',
    decimalMark: ',',
    encoding: 'latin1',
    skipLines: 1,
    datePattern: 'dd.MM.yyyy HH:mm',
    columns: { date: 'Tag', clock: 'Uhr', value: 'Wert (m³/s)', quality: 'Art' },
    approval: { approved: ['G'], provisional: ['P'] },
    missing: ['-999', '---'],
    refuse: ['X'],
    stopAt: 'Ende',
    timeZone: 'Europe/London',
  },
};

/** Reads bytes as a gauge's only file, in a zone with summer time. */
export function readBytes(gauge: Gauge, bytes: Uint8Array): BuiltRecord {
  return readGauge(gauge, [{ name: 'f', bytes }], 'America/Denver');
}

const CREEK = {
  schema: 1,
  name: 'Mosswater',
  timeZone: 'Europe/London',
  runs: [
    {
      id: 'upper',
      name: 'Upper run',
      classes: ['low', 'good', 'high'],
      features: [
        { id: 'ledge', name: 'Ledge', classes: ['dry', 'wet', 'gone'] },
        { id: 'staff', name: 'Staff', unit: 'cm' },
      ],
    },
    { id: 'lower', name: 'Lower run', classes: ['low', 'good'], features: [] },
  ],
  gauges: [{ ...base, format: 'delimited', columns: { time: 'time', value: 'value' } }],
};

/** A creek.json for the logs of the fuzz. */
export const CREEK_TEXT = JSON.stringify(CREEK);

let creek: Creek | undefined;

/** Reads bytes as a visits.csv of that creek. */
export function readLog(bytes: Uint8Array): VisitsRead {
  creek ??= parseCreek({ name: 'creek.json', bytes: utf8(CREEK_TEXT) }).creek!;
  return readVisits({ name: 'visits.csv', bytes }, creek);
}

/** Reads bytes as a creek.json: a creek, or fatal issues that say why there is none. */
export function creekFault(bytes: Uint8Array): string | undefined {
  const { creek: read, issues } = parseCreek({ name: 'creek.json', bytes });
  if ((read === undefined) !== issues.some(({ severity }) => severity === 'fatal'))
    return `creek ${read === undefined ? 'missing' : 'there'}, ${issues.length} issues`;
  return issueFault(issues, bytes);
}

/** A text as the bytes of a file; lone surrogates become U+FFFD, as every encoder writes them. */
export function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
