/** Writes data-sample/: `npx tsx tools/sample/make.ts`. Reports what came out, so that a change of the physics can be judged at a glance. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeSample, SAMPLE_SEED } from './folder.js';
import { truthTable } from './readme.js';
import { report } from './report.js';

const folder = join(dirname(fileURLToPath(import.meta.url)), '../../data-sample');
const sample = makeSample(SAMPLE_SEED);
for (const [name, text] of sample.files) {
  const path = join(folder, name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
  console.log(`${String(Buffer.byteLength(text)).padStart(8)} bytes  data-sample/${name}`);
}
console.log(report(sample));

console.log(`\nThe table of data-sample/README.md:\n\n${truthTable(sample.truth)}`);
