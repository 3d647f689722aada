import { existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Command, Option } from 'commander';
import type { CreekChart } from '../../chart/types.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import { wantsColour, type CliIo } from './cliIo.js';
import { WrongUse } from './exitCodes.js';

/** `changes`: what a newer chart says differently. */
export function addChanges(program: Command, io: CliIo, { options }: { options: readonly Option[] }): void {
  const command = program
    .command('changes')
    .description('what a newer chart says differently: visits, gauge, grade, edges')
    .argument('<old>', 'an older chart.json, or the folder that holds it')
    .argument('<new>', 'a newer one')
    .addHelpText('after', '\nExample:\n  $ sightstage changes spring/chart.json out/larch-creek/chart.json')
    .action(async (old: string, newer: string, flags: { json?: boolean }) => {
      const [{ chartChanges }, { changesDocument }, { terminalText }] = await Promise.all([
        import('../../chart/chartChanges.js'),
        import('../../tell/changesDocument.js'),
        import('../text/terminalText.js'),
      ]);
      const after = chartAt(newer);
      const changes = chartChanges(chartAt(old), after);
      const told = changesDocument(changes, { name: after.creek.name, cautions: after.cautions });
      io.out(flags.json ? stableJson(changes) : terminalText(told, { colour: wantsColour(io), width: io.columns }));
    });
  for (const option of options) command.addOption(option);
}

/** @throws WrongUse where there is no chart.json of any version that can be compared */
function chartAt(path: string): CreekChart {
  const file = statSync(path, { throwIfNoEntry: false })?.isDirectory() ? join(path, 'chart.json') : path;
  const chart = olderChart(file);
  if (chart === undefined) throw new WrongUse(`${plainText(file)} is no chart.json of sightstage`);
  return chart;
}

/** The chart that stands in a file; undefined where there is none that can be compared. */
export function olderChart(file: string): CreekChart | undefined {
  if (!existsSync(file)) return undefined;
  try {
    const chart = JSON.parse(readFileSync(file, 'utf8')) as Partial<CreekChart> | null;
    return chart?.kind === 'creek-chart' && chart.schema === 1 && Array.isArray(chart.runs)
      ? (chart as CreekChart)
      : undefined;
  } catch {
    return undefined;
  }
}
