import type { StagedProgress } from '../../chart/chartCreek.js';
import { answerDocument } from '../../tell/answerDocument.js';
import type { Document } from '../../tell/document.js';
import { gaugesDocument } from '../../tell/gaugesDocument.js';
import { trustDocument } from '../../tell/trustDocument.js';
import type { UnitsChoice } from '../../tell/unitsChoice.js';
import { firstAnswer } from '../text/firstAnswer.js';
import { countIssues } from '../text/issuesText.js';
import { terminalText } from '../text/terminalText.js';
import { cacheFolder } from '../write/resultCache.js';
import { stableJson } from '../write/stableJson.js';
import { showBadInput } from './badInput.js';
import { chartFolder, type ChartFolderOptions, type ChartFolderResult } from './chartFolder.js';
import { wantsColour, type CliIo } from './cliIo.js';
import { existingFolder } from './existingFolder.js';
import { EXIT, NOTHING_USABLE } from './exitCodes.js';
import { showStages } from './showProgress.js';

type Charted = Extract<ChartFolderResult, { kind: 'chart' }>;

/** How a command that charts a folder shows what came of it. */
interface Shown {
  /** What `--json` prints. */
  readonly json: (result: Charted) => unknown;
  readonly document: (result: Charted) => Document;
  /** Everything, or the answer alone; and what stands after it. */
  readonly full: boolean;
  readonly more?: (result: Charted) => string;
}

interface Flags {
  readonly cache: boolean;
  readonly json?: boolean | undefined;
  readonly quiet?: boolean | undefined;
}

/** `chart`: the answer, and the files. */
export function runChart(
  folder: string,
  flags: Flags & { readonly units: UnitsChoice; readonly full?: boolean },
  { io, options }: { io: CliIo; options: ChartFolderOptions },
): Promise<number> {
  return charted(folder, flags, {
    io,
    options,
    json: ({ files, input, chart, trust, gauges }) => ({
      kind: 'chart-result',
      files,
      ...countIssues(input.issues),
      chart,
      trust,
      gauges,
    }),
    document: (result) => answerDocument(result, { units: flags.units }),
    full: flags.full === true,
    more: ({ files }) => `More: --full, trust, gauges. Page: ${files!.html}`,
  });
}

/** `trust`: everything behind the grades. */
export function runTrust(
  folder: string,
  flags: Flags,
  { io, options }: { io: CliIo; options: ChartFolderOptions },
): Promise<number> {
  return charted(folder, flags, {
    io,
    options,
    json: ({ trust }) => trust,
    document: ({ trust }) => trustDocument(trust),
    full: true,
  });
}

/** `gauges`: which gauge to read, and everything about loggers, lags and staffs. */
export function runGauges(
  folder: string,
  flags: Flags,
  { io, options }: { io: CliIo; options: ChartFolderOptions },
): Promise<number> {
  return charted(folder, flags, {
    io,
    options,
    json: ({ gauges }) => gauges,
    document: ({ gauges }) => gaugesDocument(gauges),
    full: true,
  });
}

async function charted(
  folder: string,
  { cache, json = false, quiet = false }: Flags,
  { io, options, ...shown }: Shown & { io: CliIo; options: ChartFolderOptions },
): Promise<number> {
  const progress = quiet ? undefined : showStages(io);
  const told = progress && {
    onKept: () => io.err('Nothing has changed: the result kept from last time (--no-cache makes it anew).\n'),
    onProgress: (step: StagedProgress) => progress.update(step),
    onFirst: (first: Parameters<typeof firstAnswer>[0]) => io.err(firstAnswer(first)),
  };
  try {
    const result = await chartFolder(existingFolder(folder), {
      ...options,
      ...told,
      cache: cache ? cacheFolder() : undefined,
    });
    progress?.stop();
    if (result.kind === 'bad-input') {
      showBadInput(folder, result.input, { asJson: json, io });
      return result.exitCode;
    }
    if (json) io.out(stableJson(shown.json(result)));
    else if (!quiet) {
      const { full, more } = shown;
      const style = { colour: wantsColour(io), width: io.columns, full };
      io.out(terminalText(shown.document(result), { ...style, ...(more && { more: more(result) }) }));
    }
    if (result.exitCode === EXIT.nothingUsable) io.err(NOTHING_USABLE);
    return result.exitCode;
  } finally {
    progress?.stop();
  }
}
