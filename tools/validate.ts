/**
 * Holds the charts of a creek's folder against what is known of it: truth.json, and later.csv, days that the chart never saw.
 * `npm run validate -- <folder> [--gauge id] [--json] [--write validation/name.json]`; the written summary holds numbers only.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { parseArgs } from 'node:util';
import { VERSION } from '../src/series/version.js';
import { roundAll } from './validate/roundAll.js';
import { validateFolder } from './validate/validateFolder.js';
import { validationTable } from './validate/validationTable.js';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    json: { type: 'boolean', default: false },
    write: { type: 'string' },
    gauge: { type: 'string', multiple: true },
    seed: { type: 'string', default: '1' },
    draws: { type: 'string', default: '1000' },
  },
});
const [folder] = positionals;
if (folder === undefined) {
  console.error('validate: give a folder with creek.json, truth.json and later.csv');
  process.exit(2);
}
const options = { seed: Number(values.seed), draws: Number(values.draws) };
const { files, gauges } = validateFolder(folder, {
  ...options,
  gauges: values.gauge,
  onGauge: (label) => console.error(`… ${label}`),
});
const summary = roundAll({
  command: `npm run validate -- <${basename(folder)}>`,
  version: VERSION,
  options,
  files,
  gauges,
});
if (values.json) console.log(JSON.stringify(summary, null, 2));
else console.log(gauges.map(validationTable).join('\n\n'));
if (values.write !== undefined) {
  mkdirSync(dirname(values.write), { recursive: true });
  writeFileSync(values.write, `${JSON.stringify(summary, null, 2)}\n`);
  console.error(`Written to ${values.write}.`);
}
