import { Option, type Command } from 'commander';
import type { CliIo } from '../cli/cliIo.js';
import { EXIT } from '../cli/exitCodes.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import type { Decimal } from './levelsCsv.js';

interface CardFlags {
  readonly out: string;
  readonly decimal: Decimal;
  readonly pictures: boolean;
  readonly json?: boolean;
}

/** Adds the command `card` to the program. */
export function addCard(program: Command, io: CliIo, end: (exitCode: number) => void): void {
  program
    .command('card')
    .description('cards to print and share, A5, from the chart that was made last')
    .argument('<folder>', 'creek folder, or the folder that its chart was written to')
    .option('--out <folder>', 'where the chart was written to', 'out')
    .addOption(
      new Option('--decimal <mark>', 'decimal mark of levels.csv').choices(['point', 'comma']).default('point'),
    )
    .option('--no-pictures', 'leave out PNG and PDF, which need a Chromium')
    .option('--json', 'print the result as JSON, for scripts')
    .option('--debug', 'show a stack trace when something fails')
    .addHelpText('after', '\nExample:\n  $ sightstage chart larch-creek\n  $ sightstage card larch-creek')
    .action(async (folder: string, flags: CardFlags) => {
      const { cardFolder } = await import('./cardFolder.js');
      const { out, decimal, pictures } = flags;
      const { cards, files, missing } = await cardFolder(folder, { out, decimal, pictures, env: io.env });
      end(cards.length === 0 ? EXIT.nothingUsable : EXIT.fine);
      const named = cards.map(({ run, gauge, grade }) => ({ run, gauge, grade }));
      if (flags.json) io.out(stableJson({ kind: 'cards', cards: named, files, missing: missing ?? null }));
      else for (const file of files) io.out(`${plainText(file)}\n`);
      if (missing !== undefined) io.err(`sightstage: ${missing}\n`);
      if (cards.length === 0)
        io.err('No card: no gauge gave even a rough guide for any run. The reasons stand in the chart.\n');
    });
}
