import { InvalidArgumentError, Option, type Command } from 'commander';
import { wantsColour, type CliIo } from '../cli/cliIo.js';
import { EXIT, EXIT_HELP } from '../cli/exitCodes.js';
import { CORES_HELP, parseCores, parseSeed } from '../cli/parseOptions.js';
import { showProgress } from '../cli/showProgress.js';
import { stableJson } from '../write/stableJson.js';
import { SCREEN_RATE } from '../../judge/screen/falseDiscovery.js';
import type { Gathered, Shard } from './screenFolder.js';

interface ScreenFlags {
  readonly gauges: string;
  readonly out: string;
  readonly shard?: Shard;
  readonly resume?: boolean;
  readonly fresh?: boolean;
  readonly cores?: number;
  readonly rate: number;
  readonly seed: number;
  readonly fit: boolean;
  readonly each?: boolean;
  readonly json?: boolean;
}

/** Adds the commands for whoever has many runs and many gauges. */
export function addScreen(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const screen = program
    .command('screen')
    .description(
      'which of many gauges says anything of which of many runs: a first look at all pairs, a fit of those that pass',
    )
    .argument('<table>', 'CSV of runs: run,name,log,timeZone,classes and, where known, latitude,longitude')
    .requiredOption('--gauges <file>', 'gauges.json ({timeZone, gauges} as in creek.json), or its folder')
    .option('--out <folder>', 'where to write the results', 'out/screen')
    .option('--shard <i/n>', 'only every n-th run, from the i-th on; gather puts the shards together', parseShard)
    .option('--resume', 'go on where an earlier screening stopped')
    .option('--fresh', 'make everything anew')
    .option('--rate <share>', 'share of the passing gauges that may be there by chance', parseRate, SCREEN_RATE)
    .option('--seed <number>', 'seed of all random draws', parseSeed, 1)
    .option('--no-fit', 'the first look only')
    .option('--cores <number>', CORES_HELP, parseCores)
    .addOption(new Option('--each').hideHelp())
    .addHelpText('after', `\nExample:\n  $ sightstage screen runs.csv --gauges gauges.json\n\n${EXIT_HELP}`)
    .action(async (table: string, flags: ScreenFlags) => end(await runScreen(table, flags, io)));
  const gather = program
    .command('gather')
    .description(
      'put the shards of a screening together: screen.csv, index.html and, where its library is there, screen.parquet',
    )
    .argument('<folder>', 'where the shards were written')
    .addHelpText('after', `\nExample:\n  $ sightstage gather out/screen\n\n${EXIT_HELP}`)
    .action(async (out: string, flags: ScreenFlags) => end(await runGather(out, flags, io)));
  for (const option of options) for (const command of [screen, gather]) command.addOption(option);
}

async function runScreen(
  table: string,
  { shard, resume, fresh, each, json, ...flags }: ScreenFlags,
  io: CliIo,
): Promise<number> {
  const { screenShard } = await import('./screenFolder.js');
  const bar = showProgress(io);
  // A process of another one tells it each run that is done.
  const onRun = (done: number, total: number): void =>
    each ? void process.send?.(done) : bar.update({ done, total, label: `${done} of ${total} runs` });
  const { made, kept } = await screenShard(table, {
    ...flags,
    ...(shard && { shard }),
    ...(fresh ? { before: 'fresh' as const } : resume ? { before: 'resume' as const } : {}),
    onRun,
  });
  bar.stop();
  if (each) return EXIT.fine;
  if (shard === undefined) return runGather(flags.out, { json }, io);
  const said = `${made} runs screened, ${kept} kept. When all shards are done: sightstage gather ${flags.out}\n`;
  io.out(json ? stableJson({ kind: 'screen-shard', made, kept }) : said);
  return EXIT.fine;
}

async function runGather(out: string, { json }: Pick<ScreenFlags, 'json'>, io: CliIo): Promise<number> {
  const [{ gatherScreen }, { screenDocument }, { terminalText }] = await Promise.all([
    import('./screenFolder.js'),
    import('../../tell/screenDocument.js'),
    import('../text/terminalText.js'),
  ]);
  const { result, files } = await gatherScreen(out);
  if (json) io.out(stableJson({ ...result, files }));
  else {
    const style = { colour: wantsColour(io), width: io.columns, more: moreOf(files) };
    io.out(terminalText(screenDocument(result), style));
  }
  return result.rows.some(({ recommended }) => recommended) ? EXIT.fine : EXIT.nothingUsable;
}

function moreOf({ html, csv, parquet }: Gathered['files']): string {
  return `Page: ${html}. All pairs: ${csv}${parquet === undefined ? ' (npm install hyparquet-writer for Parquet)' : `, ${parquet}`}.`;
}

function parseShard(text: string): Shard {
  const [, i, n] = /^(\d{1,6})\/(\d{1,6})$/.exec(text.trim()) ?? [];
  const shard = { i: Number(i), n: Number(n) };
  if (!(shard.i >= 1 && shard.i <= shard.n))
    throw new InvalidArgumentError(`found '${text}', expected i/n with i from 1 to n, for example 3/8`);
  return shard;
}

function parseRate(text: string): number {
  const rate = Number(text);
  if (!(rate > 0 && rate < 1)) throw new InvalidArgumentError(`found '${text}', expected a share between 0 and 1`);
  return rate;
}
