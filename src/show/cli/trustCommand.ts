import type { Command, Option } from 'commander';
import { trustDocument } from '../../tell/trustDocument.js';
import { terminalText } from '../text/terminalText.js';
import { stableJson } from '../write/stableJson.js';
import { showBadInput } from './badInput.js';
import { wantsColour, type CliIo } from './cliIo.js';
import { existingFolder } from './existingFolder.js';
import { EXIT, EXIT_HELP, NOTHING_USABLE } from './exitCodes.js';
import { addFitFlags, fitOptionsOf, type FitFlags } from './fitFlags.js';
import { QUICK_HELP, THOROUGH_HELP } from './parseOptions.js';
import { showStages } from './showProgress.js';

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
  const { chartFolder } = await import('./chartFolder.js');
  const progress = showStages(io);
  try {
    const result = await chartFolder(existingFolder(folder), {
      ...fitOptionsOf(flags),
      depth: flags.quick ? 'quick' : flags.full ? 'thorough' : 'full',
      onProgress: progress.update,
    });
    progress.stop();
    if (result.kind === 'bad-input') showBadInput(folder, result.input, { asJson: flags.json === true, io });
    else if (flags.json) io.out(stableJson(result.trust));
    else io.out(terminalText(trustDocument(result.trust), { colour: wantsColour(io), width: io.columns, full: true }));
    if (result.exitCode === EXIT.nothingUsable) io.err(NOTHING_USABLE);
    return result.exitCode;
  } finally {
    progress.stop();
  }
}
