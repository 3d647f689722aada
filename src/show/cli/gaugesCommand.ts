import type { Command, Option } from 'commander';
import type { CliIo } from './cliIo.js';
import { EXIT_HELP } from './exitCodes.js';
import { addFitFlags, fitOptionsOf, type FitFlags } from './fitFlags.js';

/** Adds the command that prints which gauge to read, and everything about loggers, lags and staffs. */
export function addGauges(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const command = addFitFlags(
    program
      .command('gauges')
      .description('print which gauge to read, and what loggers, lags and staffs tell; writes nothing')
      .argument('<folder>', 'creek folder'),
    { gaugeHelp: 'only this gauge (may be repeated); one alone is not ranked' },
  )
    .addHelpText('after', `\nExample:\n  $ sightstage gauges larch-creek --lead 2\n\n${EXIT_HELP}`)
    .action(async (folder: string, flags: FitFlags) => end(await gauges(folder, flags, io)));
  for (const option of options) command.addOption(option);
}

async function gauges(folder: string, flags: FitFlags, io: CliIo): Promise<number> {
  // Loaded only here: help, new and check need no fit.
  const { runGauges } = await import('./chartCommands.js');
  return runGauges(folder, flags, { io, options: fitOptionsOf(flags) });
}
