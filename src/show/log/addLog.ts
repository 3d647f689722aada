import type { Command, Option } from 'commander';
import { createInterface } from 'node:readline/promises';
import { CAUTIONS } from '../../series/cautions.js';
import { counted, odds } from '../../series/format.js';
import type { SightingCells } from '../../read/readSighting.js';
import type { CliIo } from '../cli/cliIo.js';
import { EXIT, WrongUse } from '../cli/exitCodes.js';
import { collect } from '../cli/parseOptions.js';
import { issuesText } from '../text/issuesText.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import type { Logged } from './logFolder.js';

interface Flags {
  readonly run?: string;
  readonly when?: string;
  readonly who?: string;
  readonly giveOrTake?: string;
  readonly saw?: readonly string[];
  readonly note?: string;
  readonly from?: string;
  readonly out: string;
  readonly json?: boolean;
}

/** `log`: writes a visit down, by questions or by options, or takes in the lines of the page's form. */
export function addLog(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const command = program
    .command('log')
    .description('write a visit down in visits.csv: asks, or takes options; then says what the chart had said')
    .argument('<folder>', 'creek folder')
    .option('--run <id>', 'the run')
    .option('--when <time>', 'by the clock at the creek, such as 2031-05-03T14:30')
    .option('--give-or-take <minutes>', 'how unsure the time is')
    .option('--who <name>', 'who saw it')
    .option(
      '--saw <feature=what>',
      'what was seen, or verdict=good (may be repeated); then nothing more is asked',
      collect,
    )
    .option('--note <text>', 'anything')
    .option('--from <file>', "lines of visits.csv, as the page's form makes them")
    .option('--out <folder>', 'where the chart was written', 'out')
    .addHelpText(
      'after',
      '\nExample:\n  $ sightstage log larch-creek --when 2031-05-03T14:30 --who Ada --saw ledge=covered --saw verdict=good',
    );
  for (const option of options) command.addOption(option);
  command.action(async (folder: string, flags: Flags) => end(await log(folder, flags, io)));
}

async function log(folder: string, flags: Flags, io: CliIo): Promise<number> {
  const [{ loadCreekFolder }, { existingFolder }, { logFolder, rowsOfFile }, { askVisit }] = await Promise.all([
    import('../creekFolder.js'),
    import('../cli/existingFolder.js'),
    import('./logFolder.js'),
    import('./askVisit.js'),
  ]);
  const { creek } = loadCreekFolder(existingFolder(folder));
  if (creek === undefined) throw new WrongUse(`creek.json can't be read; see: sightstage check ${plainText(folder)}`);
  const { giveOrTake, from, out, ...given } = flags;
  const rows =
    from === undefined
      ? await asking(io, (ask) =>
          askVisit(creek, { ...given, ...(giveOrTake !== undefined && { giveOrTakeMin: giveOrTake }) }, ask),
        )
      : rowsOfFile(from);
  if (rows.length === 0) throw new WrongUse('nothing was seen, so nothing was written');
  const result = await logFolder(folder, { creek, rows, file: from ?? 'visit', out, presentMs: Date.now() });
  if (result.kind === 'refused') {
    io.err(`Nothing was written:\n${issuesText(result.issues, { width: io.columns })}`);
    return EXIT.badInput;
  }
  io.out(flags.json ? stableJson(result) : loggedText(result, folder));
  return EXIT.fine;
}

/** Questions on the terminal; an input that ends early leaves the log as it was. */
async function asking(
  io: CliIo,
  run: (ask: (question: string) => Promise<string>) => Promise<readonly SightingCells[]>,
) {
  if (io.ask !== undefined) return run(io.ask);
  let lines: AsyncIterator<string> | undefined;
  let stop: (() => void) | undefined;
  const ask = async (question: string) => {
    if (lines === undefined) {
      const reader = createInterface({ input: process.stdin });
      lines = reader[Symbol.asyncIterator]();
      stop = () => reader.close();
    }
    io.out(question);
    const next = await lines.next();
    if (next.done) throw new WrongUse('the input ended before the visit was whole; nothing was written');
    return next.value;
  };
  try {
    return await run(ask);
  } finally {
    stop?.();
  }
}

/** Odds of what was seen below which the sighting deserves a second look, and below which it is a surprise. Our choice. */
const LOOK_AGAIN = 0.05;
const SURPRISE = 0.2;

function loggedText({ added, there, surprises }: Logged, folder: string): string {
  const already = there.length > 0 ? ` ${counted(there.length, 'line')} stood there already.` : '';
  const told = surprises.map(({ run, saw, odds: all, seen }) => {
    const said = all.map((one) => `${plainText(one.class)} ${odds(one.odds)}`).join(', ');
    const size =
      seen < LOOK_AGAIN
        ? 'a great surprise: look at the time and the word again'
        : seen < SURPRISE
          ? 'a surprise'
          : 'no surprise';
    return `${plainText(run)}: the chart had said ${said}. You saw ${plainText(saw)}, ${size}.\n`;
  });
  const none =
    added.length > 0 && told.length === 0
      ? 'The chart made last says nothing of that hour, or there was no verdict.\n'
      : '';
  return (
    `${counted(added.length, 'line')} written into ` +
    `${plainText(folder)}/visits.csv.${already}\n${told.join('')}${none}${CAUTIONS[0]!}\n`
  );
}
