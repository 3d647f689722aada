import { Command, CommanderError, Option } from 'commander';
import { VERSION } from '../../series/version.js';
import { addCard } from '../card/addCard.js';
import { addAdopt } from './adoptCommand.js';
import type { UnitsChoice } from '../../tell/unitsChoice.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import { addClub } from './clubCommand.js';
import { guardedIo, wantsColour, type CliIo } from './cliIo.js';
import { EXIT, EXIT_HELP, WrongUse } from './exitCodes.js';
import { addFetch } from './fetchCommand.js';
import { addGauges } from './gaugesCommand.js';
import { addLog } from '../log/addLog.js';
import { addScreen } from '../screen/screenCommand.js';
import { addChanges } from './changesCommand.js';
import { addNow } from './nowCommand.js';
import {
  collect,
  CORES_HELP,
  NO_CACHE_HELP,
  parseBounds,
  parseCores,
  parseLead,
  parseSeed,
  QUICK_HELP,
  THOROUGH_HELP,
  UNITS_CHOICES,
} from './parseOptions.js';
import { addTrust } from './trustCommand.js';

interface ChartFlags {
  readonly out: string;
  readonly lag?: { min: number; max: number };
  readonly storage?: { min: number; max: number };
  readonly lead: number;
  readonly seed: number;
  readonly units: UnitsChoice;
  readonly link: 'probit' | 'logit';
  readonly run?: readonly string[];
  readonly gauge?: readonly string[];
  readonly quick?: boolean;
  readonly thorough?: boolean;
  readonly cores?: number;
  readonly cache: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
  readonly full?: boolean;
  readonly replace?: boolean;
}

/**
 * The command line: parses, calls, and turns what comes back into text and an exit code. Never throws.
 * @param args what stands after the program's name
 * @example process.exitCode = await runCli(['check', 'my-creek'], processIo())
 */
export async function runCli(args: readonly string[], terminal: CliIo): Promise<number> {
  const io = guardedIo(terminal);
  let exitCode: number = EXIT.fine;
  const program = buildProgram(io, (code) => {
    exitCode = code;
  });
  try {
    await program.parseAsync([...args], { from: 'user' });
    return exitCode;
  } catch (error) {
    // Commander has already written its own message; help and version end here with code 0.
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.fine : EXIT.wrongUse;
    return failure(error, args, io);
  }
}

function failure(error: unknown, args: readonly string[], io: CliIo): number {
  const wrongUse = error instanceof WrongUse;
  const message = plainText(error instanceof Error ? error.message : String(error));
  const exitCode = wrongUse ? EXIT.wrongUse : EXIT.failed;
  if (args.includes('--json')) io.out(stableJson({ kind: 'error', message, exitCode }));
  io.err(`sightstage: ${message}\n`);
  if (args.includes('--debug') && error instanceof Error) io.err(`${error.stack ?? ''}\n`);
  else if (!wrongUse) io.err('Run it again with --debug to see where it happened.\n');
  return exitCode;
}

function buildProgram(io: CliIo, end: (exitCode: number) => void): Command {
  const program = new Command('sightstage')
    .description('Level charts for creeks without a gauge, from trip logs and the records of official gauges nearby.')
    .version(VERSION)
    .exitOverride()
    .configureOutput({
      writeOut: io.out,
      writeErr: io.err,
      getOutHelpWidth: () => io.columns,
      getErrHelpWidth: () => io.columns,
      getOutHasColors: () => wantsColour(io),
      getErrHasColors: () => false,
      outputError: (text, write) => write(text.replace(/^error: /, 'sightstage: ')),
    })
    .addHelpText('after', `\nStart:\n  $ sightstage new my-creek\n\n${EXIT_HELP}\n`);
  addNew(program, io);
  addAdopt(program, io, { options: [json(), debug()] });
  addCheck(program, io, end);
  addChart(program, io, end);
  addTrust(program, io, { end, options: [json(), debug()] });
  addGauges(program, io, { end, options: [json(), debug()] });
  addCard(program, io, end);
  addClub(program, io, { end, options: [json(), debug()] });
  addScreen(program, io, { end, options: [json(), debug()] });
  addLog(program, io, { end, options: [json(), debug()] });
  addChanges(program, io, { options: [json(), debug()] });
  addNow(program, io, { end, options: [json(), debug()] });
  addFetch(program, io, { end, options: [json(), debug()] });
  return program;
}

const json = () => new Option('--json', 'print the result as JSON, for scripts');
const debug = () => new Option('--debug', 'show a stack trace when something fails');

function addNew(program: Command, io: CliIo): void {
  program
    .command('new')
    .description('make a creek folder with an example of everything, explained')
    .argument('<folder>', 'folder to make; must not exist or be empty')
    .option('--name <name>', "the creek's name (default: the folder's)")
    .option('--zone <zone>', 'IANA time zone of the creek', 'UTC')
    .addOption(json())
    .addOption(debug())
    .addHelpText('after', "\nExample:\n  $ sightstage new larch-creek --name 'Larch Creek' --zone America/Denver")
    .action(async (folder: string, flags: { name?: string; zone: string; json?: boolean }) => {
      const { newCreekFolder } = await import('./newCreekFolder.js');
      const files = await newCreekFolder(folder, { name: flags.name, timeZone: flags.zone });
      if (flags.json) return io.out(stableJson({ kind: 'new-folder', folder, files }));
      io.out(
        `Made ${plainText(folder)} with:\n${files.map((file) => `  ${plainText(file)}\n`).join('')}\n` +
          `Read README.txt there, put your own in place of the examples, then:\n  sightstage check ${plainText(folder)}\n`,
      );
    });
}

function addCheck(program: Command, io: CliIo, end: (exitCode: number) => void): void {
  program
    .command('check')
    .description('list every problem of a creek folder at once')
    .argument('<folder>', 'creek folder')
    .option('--all', 'each problem by itself; without, those of one cause are told together')
    .addOption(json())
    .addOption(debug())
    .addHelpText('after', '\nExample:\n  $ sightstage check larch-creek\n\nExit code 1 if any problem is fatal.')
    .action(async (folder: string, flags: { json?: boolean; all?: boolean }) => {
      // Loaded only here: help needs no reader.
      const [{ loadCreekFolder }, { checkReport, checkText }, { existingFolder }] = await Promise.all([
        import('../creekFolder.js'),
        import('./checkReport.js'),
        import('./existingFolder.js'),
      ]);
      const input = loadCreekFolder(existingFolder(folder));
      const report = checkReport(input);
      end(report.fatal > 0 ? EXIT.badInput : EXIT.fine);
      io.out(
        flags.json
          ? stableJson(report)
          : checkText(input, { colour: wantsColour(io), width: io.columns, all: flags.all === true }),
      );
    });
}

function addChart(program: Command, io: CliIo, end: (exitCode: number) => void): void {
  program
    .command('chart')
    .description('make the level chart of a creek folder: every run against every gauge')
    .argument('<folder>', 'creek folder')
    .option('--out <folder>', 'where to write <creek>/chart.html and the other files', 'out')
    .option('--replace', 'write over the chart of another creek folder')
    .option('--lag <min..max>', 'lags to look through, hours; positive: the gauge leads', parseBounds)
    .option('--storage <min..max>', 'storages to look through, hours', parseBounds)
    .option('--lead <hours>', 'how long before being on the water the decision is made', parseLead, 0)
    .option('--seed <number>', 'seed of the random draws; same input and seed, same bytes', parseSeed, 1)
    .addOption(new Option('--units <system>', 'units in tables').choices(UNITS_CHOICES).default('both'))
    .addOption(new Option('--link <link>', 'shape of the blur').choices(['probit', 'logit']).default('probit'))
    .option('--run <id>', 'only this run (may be repeated)', collect)
    .option('--gauge <id>', 'only this gauge (may be repeated)', collect)
    .option('--quick', `${QUICK_HELP}, and without comparing gauges`)
    .option('--thorough', THOROUGH_HELP)
    .option('--cores <number>', CORES_HELP, parseCores)
    .option('--no-cache', NO_CACHE_HELP)
    .option('--full', 'print every gauge with its edges and odds, not only the answer')
    .option('--quiet', 'no progress, no table: only errors')
    .addOption(json())
    .addOption(debug())
    .addHelpText('after', `\nExample:\n  $ sightstage chart larch-creek --lead 2 --units us\n\n${EXIT_HELP}`)
    .action(async (folder: string, flags: ChartFlags) => end(await chart(folder, flags, io)));
}

async function chart(folder: string, flags: ChartFlags, io: CliIo): Promise<number> {
  // Loaded only here: help, new and check need neither the fit nor the plots.
  const { runChart } = await import('./chartCommands.js');
  return runChart(folder, flags, {
    io,
    options: {
      out: flags.out,
      leadHours: flags.lead,
      seed: flags.seed,
      link: flags.link,
      units: flags.units,
      depth: flags.quick ? 'quick' : flags.thorough ? 'thorough' : 'full',
      ...(flags.replace && { replace: true }),
      ...(flags.cores && { cores: flags.cores }),
      ...(flags.lag && { lagHours: flags.lag }),
      ...(flags.storage && { storageHours: flags.storage }),
      ...(flags.run && { runs: flags.run }),
      ...(flags.gauge && { gauges: flags.gauge }),
    },
  });
}
