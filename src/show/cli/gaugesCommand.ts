import type { Command, Option } from 'commander';
import { gaugesDocument } from '../../tell/gaugesDocument.js';
import { terminalText } from '../text/terminalText.js';
import { stableJson } from '../write/stableJson.js';
import { showBadInput } from './badInput.js';
import { wantsColour, type CliIo } from './cliIo.js';
import { existingFolder } from './existingFolder.js';
import { EXIT, EXIT_HELP, NOTHING_USABLE } from './exitCodes.js';
import { addFitFlags, fitOptionsOf, type FitFlags } from './fitFlags.js';
import { showStages } from './showProgress.js';

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
  const { chartFolder } = await import('./chartFolder.js');
  const progress = showStages(io);
  try {
    const result = await chartFolder(existingFolder(folder), {
      ...fitOptionsOf(flags),
      onProgress: progress.update,
    });
    progress.stop();
    if (result.kind === 'bad-input') showBadInput(folder, result.input, { asJson: flags.json === true, io });
    else if (flags.json) io.out(stableJson(result.gauges));
    else
      io.out(terminalText(gaugesDocument(result.gauges), { colour: wantsColour(io), width: io.columns, full: true }));
    if (result.exitCode === EXIT.nothingUsable) io.err(NOTHING_USABLE);
    return result.exitCode;
  } finally {
    progress.stop();
  }
}
