import { readFileSync } from 'node:fs';
import type { Command, Option } from 'commander';
import { stableJson } from '../write/stableJson.js';
import { wantsColour, type CliIo } from './cliIo.js';
import { EXIT, EXIT_HELP } from './exitCodes.js';
import { CORES_HELP, NO_CACHE_HELP, parseCores, QUICK_HELP } from './parseOptions.js';
import { showProgress } from './showProgress.js';

interface ClubFlags {
  readonly out: string;
  readonly cache: boolean;
  readonly quick?: boolean;
  readonly cores?: number;
  readonly json?: boolean;
  readonly csv?: boolean;
}

/** Adds the command for whoever keeps many creeks. */
export function addClub(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const command = program
    .command('club')
    .description('chart every creek folder within a folder, and list all runs on one page')
    .argument('<folder>', 'folder of creek folders')
    .option('--out <folder>', 'where to write index.html, runs.csv and the charts', 'out')
    .option('--quick', QUICK_HELP)
    .option('--cores <number>', CORES_HELP, parseCores)
    .option('--csv', 'print the list as CSV (runs.csv)')
    .option('--no-cache', NO_CACHE_HELP)
    .addHelpText('after', `\nExample:\n  $ sightstage club our-creeks\n\n${EXIT_HELP}`)
    .action(async (folder: string, flags: ClubFlags) => end(await club(folder, flags, io)));
  for (const option of options) command.addOption(option);
}

async function club(folder: string, { out, cache, quick, cores, json, csv }: ClubFlags, io: CliIo): Promise<number> {
  const [{ clubFolder }, { clubDocument }, { terminalText }, { existingFolder }, { cacheFolder }] = await Promise.all([
    import('./clubFolder.js'),
    import('../../tell/clubDocument.js'),
    import('../text/terminalText.js'),
    import('./existingFolder.js'),
    import('../write/resultCache.js'),
  ]);
  const bar = showProgress(io);
  const found = await clubFolder(existingFolder(folder), {
    out,
    presentMs: Date.now(),
    depth: quick ? 'quick' : 'full',
    cache: cache ? cacheFolder() : undefined,
    ...(cores && { cores }),
    onCreek: ({ folder: name, at, of, done }) => {
      bar.update({ done: done ? at : at - 1, total: of, label: `${name}${done ? `: ${done}` : ''}` });
    },
  });
  bar.stop();
  if (csv) io.out(readFileSync(found.files.csv, 'utf8'));
  else if (json) io.out(stableJson(found));
  else {
    const style = { colour: wantsColour(io), width: io.columns, more: `Page: ${found.files.html}` };
    io.out(terminalText(clubDocument(found.rows), style));
  }
  return found.rows.some(({ gauge }) => gauge !== null) ? EXIT.fine : EXIT.nothingUsable;
}
