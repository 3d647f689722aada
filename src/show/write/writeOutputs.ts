import { randomUUID } from 'node:crypto';
import { mkdir, open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { CreekChart } from '../../chart/types.js';
import type { Issue } from '../../series/issue.js';
import { chartCsv } from '../text/chartCsv.js';
import { chartMarkdown } from '../text/chartMarkdown.js';
import type { UnitsChoice } from '../text/inUnits.js';
import { notUsedCsv } from '../text/notUsedCsv.js';
import { creekSlug } from './creekSlug.js';
import { stableJson } from './stableJson.js';

/** What is written for one creek. */
export interface Outputs {
  readonly chart: CreekChart;
  /** The page, made by `chartPage`. */
  readonly page: string;
  readonly issues: readonly Issue[];
}

/** Where each file came to stand. */
export interface WrittenFiles {
  readonly folder: string;
  readonly html: string;
  readonly json: string;
  readonly csv: string;
  readonly markdown: string;
  readonly notUsed: string;
}

/**
 * Writes chart.html, chart.json, chart.csv, chart.md and not-used.csv into `<out>/<slug of the creek>/`. Every file is
 * first written whole beside its place and only then renamed, after all of them could be written: a full disk or an
 * interrupted run leaves the older chart as it was.
 * @param outFolder default of the command line: `out`
 * @returns the paths
 * @throws the file system's error, after the temporary files are gone
 */
export async function writeOutputs(
  { chart, page, issues }: Outputs,
  outFolder: string,
  { units = 'both' }: { units?: UnitsChoice } = {},
): Promise<WrittenFiles> {
  const folder = join(outFolder, creekSlug(chart.creek.name));
  const at = (name: string) => join(folder, name);
  const written: WrittenFiles = {
    folder,
    html: at('chart.html'),
    json: at('chart.json'),
    csv: at('chart.csv'),
    markdown: at('chart.md'),
    notUsed: at('not-used.csv'),
  };
  await mkdir(folder, { recursive: true });
  await writeWhole([
    [written.html, page],
    [written.json, stableJson(chart)],
    [written.csv, chartCsv(chart)],
    [written.markdown, chartMarkdown(chart, { units })],
    [written.notUsed, notUsedCsv(issues)],
  ]);
  return written;
}

async function writeWhole(files: readonly (readonly [path: string, text: string])[]): Promise<void> {
  const mark = randomUUID();
  const temporary = files.map(([path]) => `${path}.${mark}.part`);
  try {
    for (const [i, [, text]] of files.entries()) {
      const handle = await open(temporary[i]!, 'wx');
      try {
        await handle.writeFile(text, 'utf8');
        // Without this a power cut after the rename could leave an empty file under the final name.
        await handle.sync();
      } finally {
        await handle.close();
      }
    }
    for (const [i, [path]] of files.entries()) await rename(temporary[i]!, path);
  } catch (error) {
    await Promise.all(temporary.map((path) => rm(path, { force: true })));
    throw error;
  }
}
