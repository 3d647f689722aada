import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { CreekChart } from '../../chart/types.js';
import { VERSION } from '../../series/version.js';
import { WrongUse } from '../cli/exitCodes.js';
import { loadCreekFolder } from '../creekFolder.js';
import { plainText } from '../text/plainText.js';
import { creekSlug } from '../write/creekSlug.js';

/** A chart that was made before, and the folder it stands in. */
export interface ReadChart {
  readonly folder: string;
  readonly chart: CreekChart;
}

/**
 * The chart of a folder, from its chart.json: nothing is fitted again. The folder is either the one that `sightstage chart`
 * wrote, or the creek folder, whose chart is then looked for in `<out>/<creek>/` and must have been made from the files as
 * they are now.
 * @param options.newReadings gauge files may have changed since: readings are added every day.
 * @param options.newVisits visits.csv may have changed since: a visit is held against the chart made before it.
 * @throws WrongUse where there is no chart, where it is older than the creek's files, or where another version made it
 */
export function readChart(
  folder: string,
  {
    out = 'out',
    newReadings = false,
    newVisits = false,
  }: { out?: string; newReadings?: boolean; newVisits?: boolean } = {},
): ReadChart {
  const named = plainText(folder);
  if (isFile(join(folder, 'chart.json'))) return { folder, chart: parseChart(join(folder, 'chart.json')) };
  if (!isFile(join(folder, 'creek.json')))
    throw new WrongUse(
      `${named} holds neither chart.json nor creek.json: give a creek folder, or one that a chart was written to`,
    );
  const input = loadCreekFolder(folder);
  const again = `make it with: sightstage chart ${named}`;
  const made = join(out, creekSlug(input.creek?.name ?? ''));
  if (!isFile(join(made, 'chart.json'))) throw new WrongUse(`no chart of ${named} in ${plainText(made)} yet; ${again}`);
  const chart = parseChart(join(made, 'chart.json'));
  const before = new Map(chart.provenance.files.map(({ name, sha256 }) => [name, sha256]));
  const mayChange = new Set([
    ...(newReadings ? (input.creek?.gauges.flatMap(({ files }) => files) ?? []) : []),
    ...(newVisits ? ['visits.csv'] : []),
  ]);
  const changed = input.files
    .filter(({ name, sha256 }) => before.get(name) !== sha256 && !mayChange.has(name))
    .map(({ name }) => name);
  if (changed.length > 0)
    throw new WrongUse(`${changed.map(plainText).join(', ')} changed since the chart was made; ${again}`);
  return { folder: made, chart };
}

function parseChart(path: string): CreekChart {
  const other = `${plainText(path)} is not a chart of sightstage ${VERSION}; make it again with: sightstage chart`;
  try {
    const chart = JSON.parse(readFileSync(path, 'utf8')) as Partial<CreekChart>;
    if (chart.kind === 'creek-chart' && chart.schema === 1 && chart.provenance?.version === VERSION)
      return chart as CreekChart;
  } catch {
    throw new WrongUse(other);
  }
  throw new WrongUse(other);
}

function isFile(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
}
