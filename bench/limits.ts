/**
 * The largest folder that is meant to work: 30 years of quarter-hours in one file, in each of two formats; 50 gauges and 20,000 sightings. Each job runs in a process
 * of its own, so that its peak memory is its own. `npx tsx bench/limits.ts` prints the rows alone.
 */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { XMLParser } from 'fast-xml-parser';
import { alignVisits } from '../src/align/alignVisits.js';
import { readGauge } from '../src/read/readGauge.js';
import type { Gauge } from '../src/series/creek.js';
import { loadCreekFolder } from '../src/show/creekFolder.js';
import { inChild, report } from './inChild.js';
import { rdbText } from './rdbText.js';

const ROWS = 1_051_200;
const GAUGES = 50;
const SIGHTINGS = 20_000;
const HOUR = 3_600_000;

/** One line of the table of results. */
export type LimitRow = readonly [job: string, figure: string, goal: string];

/** The same readings as rdbText writes, as WaterML 2.0. */
function waterml2Text(rows: number): string {
  const from = Date.UTC(2001, 0, 1);
  const points = Array.from({ length: rows }, (_, i) => {
    const time = new Date(from + i * 900_000).toISOString().slice(0, 19);
    return `<wml2:point><wml2:MeasurementTVP><wml2:time>${time}Z</wml2:time><wml2:value>${(100 + 80 * Math.sin(i / 500)).toFixed(1)}</wml2:value></wml2:MeasurementTVP></wml2:point>\n`;
  });
  return `<wml2:Collection><om:OM_Observation><wml2:MeasurementTimeseries>\n${points.join('')}</wml2:MeasurementTimeseries></om:OM_Observation></wml2:Collection>\n`;
}

/** A folder of 50 gauges, a year of hours each, and 20,000 sightings of 5,000 visits on five runs. */
function writeFolder(folder: string): void {
  mkdirSync(join(folder, 'gauges'), { recursive: true });
  const from = Date.UTC(2031, 0, 1);
  const features = ['ledge', 'slab', 'pier'].map((id) => ({ id, name: id, classes: ['dry', 'wet', 'gone'] }));
  const runs = Array.from({ length: 5 }, (_, r) => ({
    id: `r${r}`,
    name: `Run ${r}`,
    classes: ['low', 'good', 'high'],
    features,
  }));
  const gauges = Array.from({ length: GAUGES }, (_, g) => {
    const rows = Array.from(
      { length: 8760 },
      (_, h) =>
        `${new Date(from + h * HOUR).toISOString().slice(0, 16)}Z,${(20 + 15 * Math.sin(h / 90 + g)).toFixed(2)}`,
    );
    writeFileSync(join(folder, `gauges/g${g}.csv`), `time,value\n${rows.join('\n')}\n`);
    return {
      id: `g${g}`,
      name: `Gauge ${g}`,
      parameter: 'discharge',
      unit: 'm3/s',
      files: [`gauges/g${g}.csv`],
      format: 'delimited',
      columns: { time: 'time', value: 'value' },
    };
  });
  writeFileSync(
    join(folder, 'creek.json'),
    JSON.stringify({ schema: 1, name: 'Wide Water', timeZone: 'UTC', runs, gauges }),
  );
  const lines = ['visit,when,run,feature,saw,observer'];
  for (let v = 0; lines.length <= SIGHTINGS; v++) {
    const when = `${new Date(from + (100 + ((v * 1.7) % 8600)) * HOUR).toISOString().slice(0, 16)}Z`;
    for (const [k, feature] of ['verdict', 'ledge', 'slab', 'pier'].entries())
      lines.push(
        `v${v},${when},r${v % 5},${feature},${feature === 'verdict' ? ['low', 'good', 'high'][v % 3] : ['dry', 'wet', 'gone'][(v + k) % 3]},o${v % 40}`,
      );
  }
  writeFileSync(join(folder, 'visits.csv'), `${lines.join('\n')}\n`);
}

function sum(values: Iterable<number>): number {
  let total = 0;
  for (const value of values) if (value === value) total += value;
  return Math.round(total);
}

/** The jobs that a child does, by name. */
const JOBS: Readonly<Record<string, (path: string) => number>> = {
  rdb: (path) => sum(read(path, 'rdb')),
  waterml2: (path) => sum(read(path, 'waterml2')),
  'xml-peer': (path) => {
    const root = new XMLParser({ removeNSPrefix: true }).parse(readFileSync(path)) as Record<
      string,
      Record<string, Record<string, Record<string, { MeasurementTVP: { value: number } }[]>>>
    >;
    return sum(
      root.Collection!.OM_Observation!.MeasurementTimeseries!.point!.map((point) => point.MeasurementTVP.value),
    );
  },
  check: (path) => loadCreekFolder(path).counts.gaugeValuesUsed,
  grid: (path) => {
    const input = loadCreekFolder(path);
    const aligned = alignVisits({
      creek: input.creek!,
      run: input.creek!.runs[0]!,
      record: input.records[0]!,
      visits: input.visits,
    });
    return aligned.visitIds.length;
  },
};

function read(path: string, format: 'rdb' | 'waterml2'): Float64Array {
  const gauge: Gauge = {
    id: 'g',
    name: 'g',
    parameter: 'discharge',
    unit: format === 'rdb' ? 'ft3/s' : 'm3/s',
    files: ['f'],
    format,
  };
  const { record } = readGauge(gauge, [{ name: 'f', bytes: readFileSync(path) }], 'UTC');
  return record!.values;
}

/** All jobs, each measured in a child. */
export function timeLimits(): readonly LimitRow[] {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-limits-'));
  try {
    writeFileSync(join(folder, 'years.rdb'), rdbText(ROWS));
    writeFileSync(join(folder, 'years.xml'), waterml2Text(ROWS));
    writeFolder(join(folder, 'creek'));
    const job = (name: string, path: string) => inChild('limits.ts', name, join(folder, path));
    const rdb = job('rdb', 'years.rdb');
    const ours = job('waterml2', 'years.xml');
    const peer = job('xml-peer', 'years.xml');
    if (ours.check !== peer.check) throw new Error(`the sides disagree: ${ours.check} and ${peer.check}`);
    const check = job('check', 'creek');
    const grid = job('grid', 'creek');
    const figure = ({ seconds, peakMb }: typeof rdb) => `${seconds.toFixed(2)} s, peak ${peakMb.toFixed(0)} MB`;
    return [
      ['30 years of quarter-hours (1,051,200 rows) of RDB to a gauge record', figure(rdb), 'under 600 MB'],
      ['the same years as WaterML 2.0', figure(ours), 'under 600 MB'],
      ['those by fast-xml-parser, values summed, nothing checked', figure(peer), ''],
      ['ratio ours / fast-xml-parser', (ours.seconds / peer.seconds).toFixed(2), 'below 1'],
      ['all that `check` reads: 50 gauges of a year of hours, 20,000 sightings', figure(check), 'under 600 MB'],
      [`grid of readings of one run of that folder, ${grid.check} visits`, figure(grid), 'under 600 MB'],
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [, , name, path] = process.argv;
  if (name !== undefined && path !== undefined) report(() => JOBS[name]!(path));
  else for (const row of timeLimits()) process.stdout.write(`| ${row.join(' | ')} |\n`);
}
