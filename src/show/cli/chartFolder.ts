import { access, constants, mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { notUsedIssues } from '../../chart/chartCreek.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, TrustFile } from '../../chart/types.js';
import type { CreekInput } from '../../read/types.js';
import { chartPage } from '../page/renderPage.js';
import { plainText } from '../text/plainText.js';
import { isUsableGrade } from '../../judge/grade.js';
import type { UnitsChoice } from '../../tell/unitsChoice.js';
import { creekSlug } from '../write/creekSlug.js';
import { writeOutputs, type WrittenFiles } from '../write/writeOutputs.js';
import { EXIT } from './exitCodes.js';
import { fitFolder } from './fitFolder.js';
import { judgeAndCompare, judgeQuickly } from './judgeInStages.js';
import type { FolderOptions } from './openCreek.js';

/** Options of `chartFolder`, as of the command. */
export interface ChartFolderOptions extends FolderOptions {
  readonly out?: string;
  readonly units?: UnitsChoice;
}

/** What was charted and written. */
export type ChartFolderResult =
  | { readonly kind: 'bad-input'; readonly exitCode: 1; readonly input: CreekInput }
  | {
      readonly kind: 'chart';
      readonly exitCode: 0 | 3;
      readonly input: CreekInput;
      readonly chart: CreekChart;
      readonly trust: TrustFile;
      readonly gauges: CreekGauges;
      readonly files: WrittenFiles;
    };

/**
 * A creek folder all the way to its files: read, fit every run against every gauge, write the chart, judge it and compare its gauges, and write everything again with
 * both. What the command `sightstage chart` does, as one call. Interrupted while it judges, it leaves the whole first chart.
 * @param folder a creek folder
 * @returns the chart, how far to trust it, which gauge to read, and where all was written, or the input with its fatal issues
 * @throws WrongUse for a run or gauge that creek.json does not have and for a lead longer than every lag; RangeError for
 *   other options out of range; the file system's error when the outputs cannot be written
 * @example const result = await chartFolder('my-creek', { out: 'out', leadHours: 2 })
 */
export async function chartFolder(
  folder: string,
  { out = 'out', units = 'both', ...options }: ChartFolderOptions = {},
): Promise<ChartFolderResult> {
  const { input, fitted, stages } = await fitFolder(folder, options, {
    beforeFit: (readable) => refuseUnwritable(out, readable),
  });
  if (fitted === undefined) return { kind: 'bad-input', exitCode: EXIT.badInput, input };
  const issues = notUsedIssues(input, options);
  const write = (chart: CreekChart, judged: { trust?: TrustFile; gauges?: CreekGauges } = {}): Promise<WrittenFiles> =>
    writeOutputs({ chart, ...judged, page: chartPage(chart, judged), issues }, out, { units });
  const first = await judgeQuickly(fitted, stages);
  const whole = stages.depth === 'full';
  if (whole) await write(first.chart);
  const { chart, trust, gauges } = await judgeAndCompare(fitted, first, {
    ...stages,
    ...(whole && { label: 'The chart stands. How far to trust it, and which gauge to read:' }),
  });
  const files = await write(chart, { trust, gauges });
  const usable = chart.runs.some((run) => run.gauges.some((gauge) => isUsableGrade(gauge.trust.grade)));
  return { kind: 'chart', exitCode: usable ? EXIT.fine : EXIT.nothingUsable, input, chart, trust, gauges, files };
}

/** Before the fit, so that nobody waits for a chart that has nowhere to go. */
async function refuseUnwritable(out: string, { creek }: CreekInput): Promise<void> {
  for (const folder of [out, ...(creek === undefined ? [] : [join(out, creekSlug(creek.name))])])
    try {
      await mkdir(folder, { recursive: true });
      await access(folder, constants.W_OK);
    } catch (error) {
      throw new Error(`cannot write into ${plainText(folder)} (${(error as NodeJS.ErrnoException).code ?? 'unknown'})`);
    }
}
