/** Opens the notebooks in JupyterLab or Notebook, whichever is there, with this repository's own kernel; says how to get one otherwise. */
import { labCommand } from './notebooks/labCommand.js';

process.exitCode = await labCommand(process.argv.slice(2), { say: (text) => console.error(text) });
