import { createHash } from 'node:crypto';
import { readFileSync, statSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { LIMITS } from '../../read/limits.js';
import { logTable } from '../../read/logTable.js';
import { parseCreek } from '../../read/parseCreek.js';
import { pathProblem } from '../../read/pathInside.js';
import { readGauge } from '../../read/readGauge.js';
import { readVisits } from '../../read/readVisits.js';
import { tableText } from '../../read/tableText.js';
import type { NamedFile } from '../../read/types.js';
import type { Creek, Gauge } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { issueSentence } from '../../series/issue.js';
import type { Visit } from '../../series/visits.js';
import { hourlyReadings, type HourlyReadings } from '../../judge/screen/hourlyReadings.js';
import { WrongUse } from '../cli/exitCodes.js';

/** Degrees. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** A run of the table, with the log that it names. */
export interface ScreenRun {
  readonly id: string;
  readonly name: string;
  readonly timeZone: string;
  readonly classes: readonly string[];
  readonly place: Place | undefined;
  readonly log: NamedFile;
}

export interface ScreenGauge {
  readonly gauge: Gauge;
  readonly place: Place | undefined;
}

/** Runs and gauges of a screening; nothing of the gauges' records is read yet. */
export interface Screening {
  readonly runs: readonly ScreenRun[];
  readonly gauges: readonly ScreenGauge[];
  readonly timeZone: string;
  /** Where the gauges' files lie. */
  readonly folder: string;
  /** SHA-256 of what the gauges are and of the bytes of their files. */
  readonly gaugesDigest: string;
}

const COLUMNS = ['run', 'name', 'log', 'timeZone', 'classes'] as const;

/**
 * A table of runs, `run,name,log,timeZone,classes[,latitude,longitude]` with classes lowest first and `|` between, and the gauges to try: a
 * JSON file `{timeZone, gauges}` with gauges as in creek.json (with `latitude` and `longitude` where known), or the folder of a
 * gauges.json.
 *
 * @throws WrongUse for a table, row, gauge or file that can't be used, naming it
 */
export function readScreening(table: string, gauges: string): Screening {
  return { runs: readRuns(table), ...readGauges(gauges) };
}

function readRuns(path: string): readonly ScreenRun[] {
  const file = namedFile(path, basename(path));
  const text = tableText(file);
  if ('issue' in text) throw new WrongUse(issueSentence(text.issue));
  const [head, ...rows] = logTable(text, {}).rows;
  const column = (name: string) => head?.cells.findIndex((cell) => cell.toLowerCase() === name.toLowerCase()) ?? -1;
  const missing = COLUMNS.filter((name) => column(name) < 0);
  if (missing.length > 0)
    throw new WrongUse(`${file.name}, row 1: found no column ${missing.join(', ')}, expected ${COLUMNS.join(',')}`);
  const seen = new Set<string>();
  return rows.map(({ cells, row }) => {
    const of = (name: string) => cells[column(name)] ?? '';
    const refuse = (name: string, expected: string) =>
      new WrongUse(`${file.name} row ${row}, column ${name}: found '${of(name)}', expected ${expected}`);
    const id = of('run');
    if (!/^[\w-]{1,64}$/.test(id) || seen.has(id)) throw refuse('run', 'letters, digits and dashes, each run once');
    seen.add(id);
    const classes = of('classes')
      .split('|')
      .map((word) => word.trim());
    if (classes.length < 2 || classes.includes(''))
      throw refuse('classes', 'at least two words with | between, lowest first');
    if (pathProblem(of('log')) !== undefined) throw refuse('log', 'a path from the folder of the table, not out of it');
    const place = placeOf(of('latitude'), of('longitude'));
    if (place === null) throw refuse('latitude', 'degrees in latitude and longitude, or nothing in both');
    const log = namedFile(join(dirname(path), of('log')), of('log'));
    const run = { id, name: of('name'), timeZone: of('timeZone'), classes, place, log };
    const { issues } = parseCreek(creekFile(run, []));
    const fatal = issues.find(({ severity }) => severity === 'fatal');
    if (fatal !== undefined)
      throw new WrongUse(`${file.name} row ${row}: ${issueSentence(fatal).replace(/^creek\.json, /, '')}`);
    return run;
  });
}

/** @returns undefined for none, null for what is none. */
function placeOf(latitude: string, longitude: string): Place | undefined | null {
  if (latitude === '' && longitude === '') return undefined;
  const place = { latitude: Number(latitude), longitude: Number(longitude) };
  const known =
    latitude !== '' && longitude !== '' && Math.abs(place.latitude) <= 90 && Math.abs(place.longitude) <= 180;
  return known ? place : null;
}

function readGauges(asked: string): Omit<Screening, 'runs'> {
  const path = statSync(asked, { throwIfNoEntry: false })?.isDirectory() ? join(asked, 'gauges.json') : asked;
  const file = namedFile(path, basename(path));
  const { timeZone, gauges } = gaugesOf(file);
  const hash = createHash('sha256').update(file.bytes);
  const folder = dirname(path);
  const { creek, issues } = parseCreek(
    creekFile(
      { ...NOBODY, timeZone },
      gauges.map(({ gauge }) => gauge),
    ),
  );
  const fatal = issues.find(({ severity }) => severity === 'fatal');
  if (fatal !== undefined || creek === undefined)
    throw new WrongUse(
      `${file.name}: ${fatal === undefined ? 'no gauges' : issueSentence(fatal).replace(/^creek\.json/, 'there')}`,
    );
  for (const { files } of creek.gauges)
    for (const name of files)
      hash.update(
        createHash('sha256')
          .update(namedFile(join(folder, name), name).bytes)
          .digest(),
      );
  return {
    timeZone,
    folder,
    gauges: creek.gauges.map((gauge, g) => ({ gauge, place: gauges[g]!.place })),
    gaugesDigest: hash.digest('hex'),
  };
}

const NOBODY = { id: 'run', name: 'run', classes: ['low', 'good'] };

function gaugesOf(file: NamedFile): { readonly timeZone: string; readonly gauges: readonly ScreenGauge[] } {
  try {
    const { timeZone = 'UTC', gauges } = JSON.parse(new TextDecoder().decode(file.bytes)) as {
      timeZone?: string;
      gauges: (Gauge & Partial<Place>)[];
    };
    if (gauges.length === 0) throw new Error('an empty list of gauges');
    return {
      timeZone,
      gauges: gauges.map(({ latitude, longitude, ...gauge }) => ({
        gauge,
        place: placeOf(String(latitude ?? ''), String(longitude ?? '')) ?? undefined,
      })),
    };
  } catch (error) {
    throw new WrongUse(
      `${file.name}: found ${(error as Error).message}, expected {"timeZone": "…", "gauges": [gauges as in creek.json]}`,
    );
  }
}

/** A creek.json of one run. */
function creekFile(
  { id, name, timeZone, classes }: Omit<ScreenRun, 'place' | 'log'>,
  gauges: readonly Gauge[],
): NamedFile {
  const runs = [{ id, name, classes, features: [] }];
  const some = gauges.length > 0 ? gauges : [NO_GAUGE];
  const text = JSON.stringify({ schema: 1, name: name || id, timeZone, runs, gauges: some });
  return { name: 'creek.json', bytes: new TextEncoder().encode(text) };
}

const NO_GAUGE = { id: 'none', name: 'none', parameter: 'discharge', unit: 'm3/s', files: ['none'], format: 'rdb' };

/** A run as the creek of its own, with these gauges, and its visits. */
export function creekOfRun(
  run: ScreenRun,
  gauges: readonly Gauge[],
): { readonly creek: Creek; readonly visits: readonly Visit[]; readonly problem: string | undefined } {
  const creek = parseCreek(creekFile(run, gauges)).creek!;
  const { visits, issues } = readVisits(run.log, creek);
  const first = visits.length > 0 ? undefined : issues[0];
  return { creek, visits, problem: first && issueSentence(first) };
}

/** A gauge's record, read and laid on hours. */
export interface Station {
  readonly record: GaugeRecord;
  readonly hourly: HourlyReadings;
}

/** Gauges by number, each read once however many runs ask for it. @returns undefined for a record that can't be read */
export function stationsOf(
  { gauges, folder, timeZone }: Screening,
  { onRead }: { onRead?: (id: string) => void } = {},
): (at: number) => Station | undefined {
  const known = new Map<number, Station | undefined>();
  return (at) => {
    if (known.has(at)) return known.get(at);
    const { gauge } = gauges[at]!;
    onRead?.(gauge.id);
    const files = gauge.files.map((name) => namedFile(join(folder, name), name));
    const { record } = readGauge(gauge, files, timeZone);
    const station = record && { record, hourly: hourlyReadings(record) };
    known.set(at, station);
    return station;
  };
}

function namedFile(path: string, name: string): NamedFile {
  const size = statSync(path, { throwIfNoEntry: false })?.size;
  if (size === undefined) throw new WrongUse(`${name}: found no such file, looked for it as ${resolve(path)}`);
  if (size > LIMITS.gaugeBytes)
    throw new WrongUse(`${name}: found ${size} bytes, expected at most ${LIMITS.gaugeBytes}`);
  return { name, bytes: readFileSync(path) };
}
