/**
 * Executes every notebook through the real kernel, refreshes the committed outputs, and writes executed copies and HTML pages
 * to out/notebooks/. Ends with 1 on any error, warning or failed assertion. Names of notebooks as arguments: only those.
 */
import { readdirSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { executeNotebook } from './notebooks/executeNotebook.js';
import { NOTEBOOKS, OUT, prepareKernel, whyNoNotebooks } from './notebooks/jupyterHome.js';
import { committedForm, notebookText } from './notebooks/notebookFile.js';

const missing = whyNoNotebooks();
if (missing !== undefined) {
  console.error(`notebooks: ${missing}`);
  process.exit(1);
}
const asked = process.argv.slice(2).map((name) => basename(name, '.ipynb'));
const all = readdirSync(NOTEBOOKS)
  .filter((name) => name.endsWith('.ipynb'))
  .sort();
const chosen = all.filter((name) => asked.length === 0 || asked.includes(basename(name, '.ipynb')));
if (chosen.length === 0) {
  console.error(`notebooks: none of that name; there are ${all.join(', ')}`);
  process.exit(1);
}

const env = prepareKernel();
let failed = 0;
for (const [i, name] of chosen.entries()) {
  const place = `[${i + 1}/${chosen.length}] ${name}`;
  console.log(`${place}: running`);
  const startMs = performance.now();
  const path = join(NOTEBOOKS, name);
  const { notebook, complaints } = await executeNotebook(path, { outFolder: OUT, env });
  const seconds = ((performance.now() - startMs) / 1000).toFixed(0);
  if (complaints.length === 0) {
    const text = notebookText(committedForm(notebook));
    writeFileSync(path, text);
    console.log(`${place}: fine, ${seconds} s, ${Math.round(text.length / 1024)} kB`);
  } else {
    failed++;
    console.log(`${place}: FAILED, ${seconds} s; the committed outputs stay as they were`);
    for (const line of complaints) console.log(`    ${line}`);
  }
}
console.log(
  failed === 0 ? `All notebooks are fine; pages in ${OUT}` : `${failed} of ${chosen.length} notebooks failed`,
);
process.exitCode = failed === 0 ? 0 : 1;
