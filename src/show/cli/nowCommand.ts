import type { Command, Option } from 'commander';
import { stableJson } from '../write/stableJson.js';
import { wantsColour, type CliIo } from './cliIo.js';
import { EXIT, EXIT_HELP } from './exitCodes.js';
import { fetchedText, fetchNow } from './fetchCommand.js';
import { collect } from './parseOptions.js';

interface NowFlags {
  readonly out: string;
  readonly arrive?: string;
  readonly reading?: readonly string[];
  readonly run?: readonly string[];
  readonly fetch?: boolean;
  readonly keep?: boolean;
  readonly json?: boolean;
}

/** Adds the command for the day itself: what the newest readings say. */
export function addNow(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const command = program
    .command('now')
    .description('is it on: what the newest readings say, by the chart made last; fits nothing')
    .argument('<folder>', 'creek folder')
    .option('--arrive <time>', "when you are there, by the creek's clock, such as 2031-05-04T10:00 (default: now)")
    .option('--reading <gauge=value>', 'a reading by hand, with @time if it is not of now (may be repeated)', collect)
    .option('--run <id>', 'only this run (may be repeated)', collect)
    .option('--fetch', 'fetch newer readings first, as the command fetch does')
    .option('--keep', 'add what is said to said.csv in the folder; the next chart scores it against the log')
    .option('--out <folder>', 'where the chart was written', 'out')
    .addHelpText(
      'after',
      `\nExample:\n  $ sightstage now larch-creek --arrive 2031-05-04T10:00 --reading weir=5.2\n\n${EXIT_HELP}`,
    )
    .action(async (folder: string, flags: NowFlags) => end(await now(folder, flags, io)));
  for (const option of options) command.addOption(option);
}

async function now(
  folder: string,
  { arrive, reading, run, out, json, fetch, keep }: NowFlags,
  io: CliIo,
): Promise<number> {
  if (fetch) io.err(fetchedText(await fetchNow(folder)));
  const [{ nowFolder }, { nowDocument }, { terminalText }, { existingFolder }] = await Promise.all([
    import('./nowFolder.js'),
    import('../../tell/nowDocument.js'),
    import('../text/terminalText.js'),
    import('./existingFolder.js'),
  ]);
  const presentMs = Date.now();
  const found = nowFolder(existingFolder(folder), {
    out,
    presentMs,
    ...(arrive !== undefined && { arrive }),
    ...(reading && { readings: reading }),
    ...(run && { runs: run }),
  });
  if (keep) {
    const { keepSaid } = await import('../said/saidFile.js');
    await keepSaid(folder, found, { saidMs: presentMs });
  }
  if (json) io.out(stableJson(found));
  else io.out(terminalText(nowDocument(found, found), { colour: wantsColour(io), width: io.columns }));
  return found.runs.some((one) => one.now?.odds) ? EXIT.fine : EXIT.nothingUsable;
}
