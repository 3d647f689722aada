import { execFileSync } from 'node:child_process';
import { existsSync, lstatSync, mkdirSync, readlinkSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));
export const NOTEBOOKS = join(ROOT, 'notebooks');
export const OUT = join(ROOT, 'out', 'notebooks');
const KERNEL_HOME = join(ROOT, '.kernel', 'share', 'jupyter');

/** The jupyter command: SIGHTSTAGE_JUPYTER, else the one on the path. */
export const jupyterCommand = (): string => process.env.SIGHTSTAGE_JUPYTER ?? 'jupyter';

/** True when `jupyter <part>` is installed. */
export function jupyterHas(part: string): boolean {
  try {
    execFileSync(jupyterCommand(), [part, '--version'], { stdio: 'ignore', timeout: 60_000 });
    return true;
  } catch {
    return false;
  }
}

/** Why no kernel can run here, for people to read; undefined where one can. */
export function whyNoKernel(): string | undefined {
  // A notebook's cells are CommonJS and this package is not: Node has let the one require the other since 20.19 and 22.12.
  if (!('require_module' in process.features && process.features.require_module === true))
    return `Node ${process.version} cannot load an ES module from a notebook (needs 20.19, 22.12 or newer)`;
  if (!existsSync(join(ROOT, 'node_modules', 'tslab', 'bin', 'tslab'))) return 'tslab is not installed (npm ci)';
  return undefined;
}

/** Why the notebooks can't be executed here, for people to read; undefined where they can. */
export function whyNoNotebooks(): string | undefined {
  const nbconvert = 'apt install jupyter-nbconvert, or pipx install nbconvert; set SIGHTSTAGE_JUPYTER to its path';
  return whyNoKernel() ?? (jupyterHas('nbconvert') ? undefined : `no '${jupyterCommand()} nbconvert' (${nbconvert})`);
}

/**
 * Sets up what the notebooks need, all of it inside the repository and ignored by git: a kernel spec in .kernel/ that runs
 * the installed tslab, and a link notebooks/node_modules/sightstage to the built package (tslab imports by name only).
 * @returns the environment for jupyter.
 */
export function prepareKernel(): NodeJS.ProcessEnv {
  const link = join(NOTEBOOKS, 'node_modules', 'sightstage');
  mkdirSync(join(NOTEBOOKS, 'node_modules'), { recursive: true });
  const target = join('..', '..');
  const linked = lstatSync(link, { throwIfNoEntry: false });
  if (linked === undefined) symlinkSync(target, link, 'dir');
  else if (!linked.isSymbolicLink() || readlinkSync(link) !== target)
    throw new Error(`${link} is in the way: remove it, it must be a link to ${target}`);

  const spec = join(KERNEL_HOME, 'kernels', 'tslab');
  mkdirSync(spec, { recursive: true });
  const start = join(ROOT, 'tools', 'notebooks', 'kernel.mjs');
  const kernel = {
    argv: [process.execPath, start, 'kernel', '--config-path', '{connection_file}'],
    display_name: 'TypeScript (sightstage)',
    language: 'typescript',
  };
  writeFileSync(join(spec, 'kernel.json'), `${JSON.stringify(kernel, null, 2)}\n`);
  return { ...process.env, JUPYTER_PATH: [KERNEL_HOME, process.env.JUPYTER_PATH].filter(Boolean).join(':'), TZ: 'UTC' };
}
