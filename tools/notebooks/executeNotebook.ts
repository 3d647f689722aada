import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { complaints, readNotebook, type Notebook } from './notebookFile.js';
import { notebookPage } from './notebookPage.js';
import { runJupyter } from './runJupyter.js';

/** Longest a cell may take, seconds: a whole creek is fitted in one. */
const CELL_SECONDS = 600;

export interface Executed {
  readonly notebook: Notebook;
  /** What went wrong, a line each; empty when all is well. */
  readonly complaints: readonly string[];
  readonly files: readonly string[];
}

/**
 * Executes a notebook from its first cell to its last through the real kernel, in its own folder, and writes the executed
 * copy and its HTML page to `outFolder`. A cell that fails does not stop the rest: all complaints come together.
 */
export async function executeNotebook(
  path: string,
  { outFolder, env }: { outFolder: string; env: NodeJS.ProcessEnv },
): Promise<Executed> {
  mkdirSync(outFolder, { recursive: true });
  const copy = join(outFolder, basename(path));
  await runJupyter(
    [
      'nbconvert',
      '--to',
      'notebook',
      '--execute',
      '--allow-errors',
      `--ExecutePreprocessor.timeout=${CELL_SECONDS}`,
      '--output-dir',
      outFolder,
      basename(path),
    ],
    { cwd: dirname(path), env },
  );
  const notebook = readNotebook(copy);
  const page = copy.replace(/\.ipynb$/, '.html');
  const body = await runJupyter(['nbconvert', '--to', 'html', '--template', 'basic', '--stdout', copy], {
    cwd: outFolder,
    env,
  });
  writeFileSync(page, notebookPage(body, { notebook }));
  return { notebook, complaints: complaints(notebook), files: [copy, page] };
}
