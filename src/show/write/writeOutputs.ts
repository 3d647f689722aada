import { mkdir, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, TrustFile } from '../../chart/types.js';
import type { Issue } from '../../series/issue.js';
import { answerDocument } from '../../tell/answerDocument.js';
import { gaugesDocument } from '../../tell/gaugesDocument.js';
import { keeperDocument } from '../../tell/keeperDocument.js';
import type { UnitsChoice } from '../../tell/unitsChoice.js';
import { chartCsv } from '../text/chartCsv.js';
import { markdownText } from '../text/markdownText.js';
import { notUsedCsv } from '../text/notUsedCsv.js';
import { creekSlug } from './creekSlug.js';
import { isCardFile } from './isCardFile.js';
import { MADE_FROM, madeFromText } from './madeFrom.js';
import { stableJson } from './stableJson.js';
import { writeFileSet } from './writeFileSet.js';

/** Every name that a run may write: those a run does not write would belong to an older chart, and go. */
const OWNED = [
  'chart.html',
  'chart.json',
  'chart.csv',
  'chart.md',
  'not-used.csv',
  'trust.json',
  'gauges.json',
  MADE_FROM,
] as const;

/** What is written for one creek. */
export interface Outputs {
  readonly chart: CreekChart;
  /** The page, made by `chartPage`. */
  readonly page: string;
  /** How far to trust it; without, no trust.json is written, and an older one goes. */
  readonly trust?: TrustFile | undefined;
  /** Which gauge to read, and what loggers and staffs tell; without, no gauges.json is written, and an older one goes. */
  readonly gauges?: CreekGauges | undefined;
  readonly issues: readonly Issue[];
  /** The creek folder; noted beside the outputs, so that no other folder's chart is written over it unseen. */
  readonly creekFolder?: string | undefined;
}

/** Where each file came to stand. */
export interface WrittenFiles {
  readonly folder: string;
  readonly html: string;
  readonly json: string;
  readonly csv: string;
  readonly markdown: string;
  readonly notUsed: string;
  /** Where the chart was judged as a whole. */
  readonly trust?: string;
  /** Where its gauges were compared, or at least its loggers and staffs told. */
  readonly gauges?: string;
}

/**
 * Writes chart.html, chart.json, chart.csv, chart.md, not-used.csv and, where they were made, trust.json and gauges.json into `<out>/<slug
 * of the creek>/`, all of them at once: a full disk or a run killed at any moment leaves the whole older set or the whole new one
 * (`writeFileSet` says how). Cards that were made of an older chart go, other files there stay.
 * @param outFolder default of the command line: `out`
 * @returns the paths
 * @throws Error naming the folder and the reason, with the older set in place
 */
export async function writeOutputs(
  { chart, page, trust, gauges, issues, creekFolder }: Outputs,
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
    ...(trust === undefined ? {} : { trust: at('trust.json') }),
    ...(gauges === undefined ? {} : { gauges: at('gauges.json') }),
  };
  const others = [
    ...(gauges === undefined ? [] : [gaugesDocument(gauges)]),
    ...(trust === undefined ? [] : [keeperDocument(trust)]),
  ];
  const files = new Map<string, string>([
    ['chart.html', page],
    ['chart.json', stableJson(chart)],
    ['chart.csv', chartCsv(chart)],
    ['chart.md', markdownText([answerDocument({ chart, trust, gauges }, { units }), ...others])],
    ['not-used.csv', notUsedCsv(issues)],
    ...(trust === undefined ? [] : [['trust.json', stableJson(trust)] as const]),
    ...(gauges === undefined ? [] : [['gauges.json', stableJson(gauges)] as const]),
  ]);
  if (creekFolder !== undefined) {
    await mkdir(folder, { recursive: true });
    files.set(MADE_FROM, madeFromText(folder, creekFolder));
  }
  await writeFileSet(folder, files, { owned: [...OWNED, ...(await cardsIn(folder))] });
  return written;
}

/** What the command `card` made of an older chart: it must not lie beside a newer one. */
async function cardsIn(folder: string): Promise<readonly string[]> {
  const names = await readdir(folder).catch(() => []);
  return names.filter(isCardFile).sort();
}
