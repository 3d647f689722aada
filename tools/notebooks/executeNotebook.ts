import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { complaints, readNotebook, type Notebook } from './notebookFile.js';
import { notebookPage } from './notebookPage.js';
import { runJupyter } from './runJupyter.js';

/** Longest a cell may take, seconds: a whole creek is fitted in one. */
const CELL_SECONDS = 600;
/** Longest a kernel may take to start on a busy machine. */
const START_SECONDS = 180;

export interface Executed {
  readonly path: string;
  readonly notebook: Notebook;
  /** What went wrong, a line each; empty when all is well. */
  readonly complaints: readonly string[];
  readonly seconds: number;
}

export interface ExecuteOptions {
  readonly outFolder: string;
  readonly env: NodeJS.ProcessEnv;
}

/**
 * Executes a notebook from its first cell to its last through the real kernel, in its own folder, and writes the executed
 * copy to `outFolder`. A cell that fails does not stop the rest: all complaints come together.
 */
export async function executeNotebook(path: string, { outFolder, env }: ExecuteOptions): Promise<Executed> {
  const startMs = performance.now();
  mkdirSync(outFolder, { recursive: true });
  await runJupyter(
    [
      'nbconvert',
      '--to',
      'notebook',
      '--execute',
      '--allow-errors',
      `--ExecutePreprocessor.timeout=${CELL_SECONDS}`,
      `--ExecutePreprocessor.startup_timeout=${START_SECONDS}`,
      '--output-dir',
      outFolder,
      basename(path),
    ],
    { cwd: dirname(path), env: { ...env, SIGHTSTAGE_RUN_ALL: '1' } },
  );
  const notebook = readNotebook(join(outFolder, basename(path)));
  return { path, notebook, complaints: complaints(notebook), seconds: (performance.now() - startMs) / 1000 };
}

/**
 * Executes several, `atOnce` at a time: a kernel is busy on one core only.
 * @returns in the order of `paths`.
 */
export async function executeNotebooks(
  paths: readonly string[],
  {
    atOnce = 2,
    onStart,
    onEnd,
    ...options
  }: ExecuteOptions & { atOnce?: number; onStart?: (path: string) => void; onEnd?: (run: Executed) => void },
): Promise<readonly Executed[]> {
  const runs = new Map<string, Executed>();
  const waiting = [...paths];
  const work = async () => {
    for (let path = waiting.shift(); path !== undefined; path = waiting.shift()) {
      onStart?.(path);
      const run = await executeNotebook(path, options);
      runs.set(path, run);
      onEnd?.(run);
    }
  };
  await Promise.all(Array.from({ length: Math.min(atOnce, paths.length) }, work));
  return paths.map((path) => runs.get(path)!);
}

/** Writes the HTML pages of executed copies beside them; all in one call, as starting the converter costs more than converting. */
export async function writePages(
  runs: readonly Executed[],
  { outFolder, env }: ExecuteOptions,
): Promise<readonly string[]> {
  const names = runs.map(({ path }) => basename(path));
  await runJupyter(['nbconvert', '--to', 'html', '--template', 'basic', ...names], { cwd: outFolder, env });
  return runs.map(({ notebook }, i) => {
    const page = join(outFolder, names[i]!.replace(/\.ipynb$/, '.html'));
    writeFileSync(page, notebookPage(readFileSync(page, 'utf8'), { notebook }));
    return page;
  });
}
