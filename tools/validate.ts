/**
 * Charts a folder whose truth is known and says how far the charts are off: `npm run validate -- <folder>`.
 * Errors are chart minus truth; edges and mismatch in ln units, lag and storage in hours.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, dirname, resolve } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { collect, parseSeed } from '../src/show/cli/parseOptions.js';
import { stableJson } from '../src/show/write/stableJson.js';
import { validateFolder } from './validate/validateFolder.js';
import { validationSummary } from './validate/validationSummary.js';
import { validationTable } from './validate/validationTable.js';

interface Options {
  readonly json?: boolean;
  readonly write?: string;
  readonly gauge?: readonly string[];
  readonly seed: number;
  readonly draws: number;
}

new Command('validate')
  .description('Charts every gauge of a folder and compares with its truth.json and later record.')
  .argument('<folder>', 'a creek folder with truth.json and, for the skill on later days, later.csv')
  .option('--json', 'print the summary as JSON in place of the table')
  .option('--write <file>', 'write the summary (numbers only) to a file')
  .option('--gauge <id>', 'only this gauge; may be given more than once', collect)
  .option('--seed <n>', 'seed of the draws', parseSeed, 1)
  .option('--draws <n>', 'draws of each fit', parseDraws, 1000)
  .addHelpText('after', '\nExample:\n  npm run validate -- data-sample --write validation/data-sample.json')
  .action((folder: string, { json, write, gauge: gauges, seed, draws }: Options) => {
    const result = validateFolder(folder, {
      gauges,
      seed,
      draws,
      onGauge: (label) => console.error(`… ${label}`),
    });
    const said = [
      ...(gauges ?? []).map((id) => `--gauge ${id}`),
      `--seed ${seed} --draws ${draws}`,
      ...(write === undefined ? [] : [`--write ${write}`]),
    ];
    // The folder's name alone: where it lay is nobody else's business.
    const command = `npm run validate -- <${basename(resolve(folder))}> ${said.join(' ')}`;
    const summary = stableJson(validationSummary(result, { command, seed, draws }));
    if (write !== undefined) {
      mkdirSync(dirname(write), { recursive: true });
      writeFileSync(write, summary);
      console.error(`Written to ${write}.`);
    }
    console.log(json ? summary.trimEnd() : result.gauges.map(validationTable).join('\n'));
  })
  .parse();

function parseDraws(text: string): number {
  const draws = /^\d+$/.test(text) ? Number(text) : NaN;
  if (!(draws > 0)) throw new InvalidArgumentError(`found '${text}', expected a whole number above 0`);
  return draws;
}
