/**
 * Executes every notebook through the real kernel, refreshes the committed outputs, and writes executed copies and HTML pages
 * to out/notebooks/. Ends with 1 on any error, warning or failed assertion. Names of notebooks as arguments: only those.
 */
import { NOTEBOOKS, OUT, prepareKernel, whyNoNotebooks } from './notebooks/jupyterHome.js';
import { notebooksCommand } from './notebooks/notebooksCommand.js';

const missing = whyNoNotebooks();
if (missing === undefined)
  process.exitCode = await notebooksCommand(process.argv.slice(2), {
    folder: NOTEBOOKS,
    outFolder: OUT,
    env: prepareKernel(),
    say: (line) => console.log(line),
  });
else {
  console.error(`notebooks: ${missing}`);
  process.exitCode = 1;
}
