/** Opens the notebooks in JupyterLab or Notebook, whichever is there, with this repository's own kernel; says how to get one otherwise. */
import { spawn } from 'node:child_process';
import { jupyterCommand, jupyterHas, NOTEBOOKS, prepareKernel, whyNoKernel } from './notebooks/jupyterHome.js';

const HOW = `lab: neither JupyterLab nor Notebook is here. One of these brings one:
  pipx install jupyterlab
  python3 -m pip install --user jupyterlab
  apt install jupyter-notebook
Then run npm run lab again. An editor with notebook support works too: choose the kernel "TypeScript (sightstage)" and
start it with JUPYTER_PATH=.kernel/share/jupyter. Without any: npm run notebooks writes pages to out/notebooks/.`;

const missing = whyNoKernel();
const part = ['lab', 'notebook'].find(jupyterHas);
if (missing !== undefined) {
  console.error(`lab: ${missing}`);
  process.exitCode = 1;
} else {
  const env = prepareKernel();
  if (part === undefined) {
    console.error(HOW);
    process.exitCode = 1;
  } else {
    const child = spawn(jupyterCommand(), [part, ...process.argv.slice(2)], { cwd: NOTEBOOKS, env, stdio: 'inherit' });
    child.on('close', (code) => (process.exitCode = code ?? 1));
  }
}
