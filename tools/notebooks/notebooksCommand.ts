import { readdirSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { executeNotebooks, writePages } from './executeNotebook.js';
import { committedForm, notebookText } from './notebookFile.js';

/**
 * Executes the notebooks of a folder through the real kernel, refreshes their committed outputs, and writes executed copies and
 * HTML pages to `outFolder`, with a line for each start and end.
 *
 * @param names only these; none: all.
 * @returns the exit code: 1 on any error, warning or failed assertion. A notebook that fails keeps its committed outputs.
 */
export async function notebooksCommand(
  names: readonly string[],
  {
    folder,
    outFolder,
    env,
    say,
  }: { folder: string; outFolder: string; env: NodeJS.ProcessEnv; say: (line: string) => void },
): Promise<number> {
  const asked = names.map((name) => basename(name, '.ipynb'));
  const all = readdirSync(folder)
    .filter((name) => name.endsWith('.ipynb'))
    .sort();
  const chosen = all.filter((name) => asked.length === 0 || asked.includes(basename(name, '.ipynb')));
  const strangers = asked.filter((name) => !all.includes(`${name}.ipynb`));
  if (chosen.length === 0 || strangers.length > 0) {
    say(`notebooks: none named ${strangers.join(', ') || 'anything'}; there are ${all.join(', ') || 'none at all'}`);
    return 1;
  }
  const paths = chosen.map((name) => join(folder, name));
  const place = (path: string) => `[${paths.indexOf(path) + 1}/${paths.length}] ${basename(path)}`;
  const runs = await executeNotebooks(paths, {
    outFolder,
    env,
    onStart: (path) => say(`${place(path)}: running`),
    onEnd: ({ path, notebook, complaints, seconds }) => {
      if (complaints.length > 0) {
        say(`${place(path)}: FAILED, ${seconds.toFixed(0)} s; the committed outputs stay as they were`);
        for (const line of complaints) say(`    ${line}`);
        return;
      }
      const text = notebookText(committedForm(notebook));
      writeFileSync(path, text);
      say(`${place(path)}: fine, ${seconds.toFixed(0)} s, ${Math.round(text.length / 1024)} kB`);
    },
  });
  await writePages(runs, { outFolder, env });
  const failed = runs.filter(({ complaints }) => complaints.length > 0).length;
  say(failed === 0 ? `All notebooks are fine; pages in ${outFolder}` : `${failed} of ${runs.length} notebooks failed`);
  return failed === 0 ? 0 : 1;
}
