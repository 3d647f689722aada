import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { CreekGauges } from '../../chart/gauges/types.js';
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
  /** Which gauge to read, where the chart was made with it. */
  readonly gauges?: CreekGauges | undefined;
}

/**
 * The chart of a folder, from its chart.json: nothing is fitted again. The folder is either the one that `sightstage chart`
 * wrote, or the creek folder, whose chart is then looked for in `<out>/<creek>/` and must have been made from the files as
 * they are now.
 * @param options.newReadings gauge files may have changed since: readings are added every day.
 * @throws WrongUse where there is no chart, where it is older than the creek's files, where another version made it, or where gauges.json is of another chart
 */
export function readChart(
  folder: string,
  { out = 'out', newReadings = false }: { out?: string; newReadings?: boolean } = {},
): ReadChart {
  const named = plainText(folder);
  if (isFile(join(folder, 'chart.json'))) return withGauges(folder, parseChart(join(folder, 'chart.json')));
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
  const readings = new Set(input.creek?.gauges.flatMap(({ files }) => files));
  const changed = input.files
    .filter(({ name, sha256 }) => before.get(name) !== sha256 && !(newReadings && readings.has(name)))
    .map(({ name }) => name);
  if (changed.length > 0)
    throw new WrongUse(`${changed.map(plainText).join(', ')} changed since the chart was made; ${again}`);
  return withGauges(made, chart);
}

/** The gauges.json beside a chart: both are written at once, so one of another chart means that somebody moved files. */
function withGauges(folder: string, chart: CreekChart): ReadChart {
  const path = join(folder, 'gauges.json');
  if (!isFile(path)) return { folder, chart };
  const strange = new WrongUse(
    `${plainText(path)} does not belong to the chart beside it; make both again with: sightstage chart`,
  );
  try {
    const gauges = JSON.parse(readFileSync(path, 'utf8')) as Partial<CreekGauges>;
    const same = JSON.stringify(gauges.provenance) === JSON.stringify(chart.provenance);
    const whole = gauges.runs?.every(({ id, ranking }) => typeof id === 'string' && ranking !== undefined) === true;
    if (gauges.kind === 'creek-gauges' && gauges.schema === 1 && same && whole)
      return { folder, chart, gauges: gauges as CreekGauges };
  } catch {
    throw strange;
  }
  throw strange;
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
