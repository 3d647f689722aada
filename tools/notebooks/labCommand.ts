import { spawn } from 'node:child_process';
import { jupyterCommand, jupyterHas, NOTEBOOKS, prepareKernel, whyNoKernel } from './jupyterHome.js';

const HOW = `lab: neither JupyterLab nor Notebook is here. One of these brings one:
  pipx install jupyterlab
  python3 -m pip install --user jupyterlab
  apt install jupyter-notebook
Then run npm run lab again. An editor with notebook support works too: choose the kernel "TypeScript (sightstage)" and
start it with JUPYTER_PATH=.kernel/share/jupyter. Without any: npm run notebooks writes pages to out/notebooks/.`;

/**
 * Sets up the repository's own kernel and opens the notebooks in JupyterLab, else in Notebook.
 *
 * @param args handed on to whichever opens.
 * @returns the exit code: that of what was opened; 1 with `say` told why where nothing can be.
 */
export async function labCommand(args: readonly string[], { say }: { say: (text: string) => void }): Promise<number> {
  const missing = whyNoKernel();
  if (missing !== undefined) {
    say(`lab: ${missing}`);
    return 1;
  }
  const env = prepareKernel();
  const part = ['lab', 'notebook'].find(jupyterHas);
  if (part === undefined) {
    say(HOW);
    return 1;
  }
  const child = spawn(jupyterCommand(), [part, ...args], { cwd: NOTEBOOKS, env, stdio: 'inherit' });
  return await new Promise((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code) => resolve(code ?? 1));
  });
}
