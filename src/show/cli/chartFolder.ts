import { access, constants, mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { chartChanges, type ChartChanges } from '../../chart/chartChanges.js';
import { chartCreek, type CreekOptions, type CreekResult } from '../../chart/chartCreek.js';
import type { CreekChart } from '../../chart/types.js';
import { notUsedIssues } from '../../chart/notUsed.js';
import type { CreekInput } from '../../read/types.js';
import { chartPage } from '../page/renderPage.js';
import { isUsableGrade } from '../../judge/grade.js';
import type { UnitsChoice } from '../../tell/unitsChoice.js';
import { plainText } from '../text/plainText.js';
import { corePool } from '../workers/corePool.js';
import { creekSlug } from '../write/creekSlug.js';
import { otherOwner } from '../write/madeFrom.js';
import { cachedResult } from '../write/resultCache.js';
import { writeOutputs, type WrittenFiles } from '../write/writeOutputs.js';
import { olderChart } from './changesCommand.js';
import { EXIT, WrongUse } from './exitCodes.js';
import { openCreek } from './openCreek.js';

export interface FolderOptions extends Omit<CreekOptions, 'runner' | 'onFirst' | 'draws'> {
  /** Processor cores to use; default all. Changes nothing in the outputs. */
  readonly cores?: number;
  /** Where results are kept; default nowhere. */
  readonly cache?: string | undefined;
  /** Told where nothing has changed and a kept result is given. */
  readonly onKept?: () => void;
  /** Told the answer by weights as soon as it stands (and, where files are written, is on disk). */
  readonly onFirst?: (first: CreekResult) => void;
}

export interface ChartFolderOptions extends FolderOptions {
  /** Where to write `<creek>/chart.html` and the other files; left away, nothing is written. */
  readonly out?: string;
  readonly units?: UnitsChoice;
  /** Write over the chart of another creek folder. Default false: that is refused. */
  readonly replace?: boolean;
}

/** What came of a folder. */
export type ChartFolderResult =
  | { readonly kind: 'bad-input'; readonly exitCode: 1; readonly input: CreekInput }
  | (Omit<CreekResult, 'kind'> & {
      readonly kind: 'chart';
      readonly exitCode: 0 | 3;
      readonly input: CreekInput;
      /** Against the chart that was replaced; left out where there was none. */
      readonly changes?: ChartChanges;
      /** Undefined where nothing was written. */
      readonly files: WrittenFiles | undefined;
    });

/**
 * A creek folder all the way to its files: read, fit every run against every gauge, write the first chart, judge it and compare its gauges,
 * and write everything again with both. What the commands `chart`, `trust` and `gauges` do, as one call. Interrupted while it judges, it
 * leaves the whole first chart.
 * @param folder a creek folder
 * @returns the chart, how far to trust it, which gauge to read, and where all was written, or the input with its fatal issues
 * @throws WrongUse where the output folder holds the chart of another creek folder, for a run or gauge that creek.json does not have and
 * for a lead longer than every lag; RangeError for
 *   other options out of range; the file system's error when the outputs cannot be written
 * @example const result = await chartFolder('my-creek', { out: 'out', leadHours: 2 })
 */
export async function chartFolder(
  folder: string,
  {
    out,
    units = 'both',
    replace = false,
    cores,
    cache,
    onKept,
    onFirst,
    onProgress,
    signal,
    ...options
  }: ChartFolderOptions = {},
): Promise<ChartFolderResult> {
  const pool = corePool({ cores });
  const { usable, input } = openCreek(folder, options);
  if (!usable) return { kind: 'bad-input', exitCode: EXIT.badInput, input };
  if (out !== undefined) {
    await refuseUnwritable(out, input);
    if (!replace) refuseForeign(out, { folder, input });
  }
  const issues = notUsedIssues(input, options);
  const before = out === undefined ? undefined : olderChart(join(out, creekSlug(input.creek!.name), 'chart.json'));
  const changesOf = (chart: CreekChart) => (before === undefined ? {} : { changes: chartChanges(before, chart) });
  const write = async (result: CreekResult): Promise<WrittenFiles | undefined> =>
    out === undefined
      ? undefined
      : writeOutputs(
          {
            ...result,
            page: chartPage(result.chart, { ...result, ...changesOf(result.chart) }),
            issues,
            creekFolder: folder,
          },
          out,
          { units },
        );
  const first = async (provisional: CreekResult): Promise<void> => {
    await write(provisional);
    onFirst?.(provisional);
  };
  try {
    const how = { runner: pool.run, onFirst: first, onProgress, signal };
    const result = await cachedResult(input, { folder: cache, options, onKept }, () =>
      chartCreek(input, { ...options, ...how }),
    );
    const files = await write(result);
    const plans = result.chart.runs.some((run) => run.gauges.some(({ trust }) => isUsableGrade(trust.grade)));
    return {
      ...result,
      ...changesOf(result.chart),
      kind: 'chart',
      exitCode: plans ? EXIT.fine : EXIT.nothingUsable,
      input,
      files,
    };
  } finally {
    await pool.stop();
  }
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

/** Two folders whose creeks have one name would take turns in one output folder. */
function refuseForeign(out: string, { folder, input: { creek } }: { folder: string; input: CreekInput }): void {
  if (creek === undefined) return;
  const outputs = join(out, creekSlug(creek.name));
  const owner = otherOwner(outputs, folder);
  if (owner !== undefined)
    throw new WrongUse(
      `${plainText(outputs)} holds the chart of ${plainText(owner)}, not of ${plainText(folder)}. ` +
        'Name another folder with --out, rename the creek in creek.json, or add --replace to write over it',
    );
}
