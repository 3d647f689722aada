import type { Command, Option } from 'commander';
import type { CliIo } from './cliIo.js';
import { EXIT_HELP } from './exitCodes.js';
import { addFitFlags, fitOptionsOf, type FitFlags } from './fitFlags.js';
import { QUICK_HELP, THOROUGH_HELP } from './parseOptions.js';

interface TrustFlags extends FitFlags {
  readonly quick?: boolean;
  readonly full?: boolean;
}

/** Adds the command that prints everything behind the grades, for the analyst. */
export function addTrust(
  program: Command,
  io: CliIo,
  { end, options }: { end: (exitCode: number) => void; options: readonly Option[] },
): void {
  const command = addFitFlags(
    program
      .command('trust')
      .description('print everything behind the grades of a creek folder; writes nothing')
      .argument('<folder>', 'creek folder')
      .option('--quick', QUICK_HELP)
      .option('--full', THOROUGH_HELP),
  )
    .addHelpText('after', `\nExample:\n  $ sightstage trust larch-creek --run main --quick\n\n${EXIT_HELP}`)
    .action(async (folder: string, flags: TrustFlags) => end(await trust(folder, flags, io)));
  for (const option of options) command.addOption(option);
}

async function trust(folder: string, flags: TrustFlags, io: CliIo): Promise<number> {
  // Loaded only here: help, new and check need no fit.
  const { runTrust } = await import('./chartCommands.js');
  const depth = flags.quick ? 'quick' : flags.full ? 'thorough' : 'full';
  return runTrust(folder, flags, { io, options: { ...fitOptionsOf(flags), depth } });
}
