import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { executeNotebook } from '../../tools/notebooks/executeNotebook.js';
import { NOTEBOOKS, prepareKernel, whyNoNotebooks } from '../../tools/notebooks/jupyterHome.js';
import { committedForm, joined, readNotebook, type Notebook } from '../../tools/notebooks/notebookFile.js';
import { startBrowser, whyNoBrowser } from '../browser/chromium.js';

const must = process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1';
const noJupyter = whyNoNotebooks();
const noBrowser = whyNoBrowser();
for (const [what, missing] of [
  ['execution of the notebooks', noJupyter],
  ['notebook pages in a browser', noBrowser],
] as const) {
  if (missing === undefined) continue;
  if (must) throw new Error(`${what} must run here, but: ${missing}`);
  process.stderr.write(`skipped: ${what}, ${missing}\n`);
}

const names = readdirSync(NOTEBOOKS)
  .filter((name) => name.endsWith('.ipynb'))
  .sort();

/** What a reader of the text sees: everything printed, and every table and picture in its text form. */
function texts(notebook: Notebook): readonly string[] {
  return committedForm(notebook).cells.flatMap((cell) =>
    (cell.outputs ?? []).map(({ text, data }) => joined(text ?? (data?.['text/plain'] as readonly string[]))),
  );
}

describe.skipIf(noJupyter !== undefined)('every notebook through the real kernel', () => {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-notebooks-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  describe.each(names)('%s', (name) => {
    it('runs without an error, a warning or a failed assertion, and says what its committed outputs say', async () => {
      const run = await executeNotebook(join(NOTEBOOKS, name), { outFolder: folder, env: prepareKernel() });
      expect(run.complaints).toEqual([]);
      expect(run.files.map((file) => basename(file))).toEqual([name, name.replace('.ipynb', '.html')]);
      // One bundle a figure, in every form: the front end takes the richest one that it knows.
      const bundles = run.notebook.cells
        .flatMap((cell) => (cell.outputs ?? []).map(({ data }) => data ?? {}))
        .filter((data) => 'application/vnd.plotly.v1+json' in data);
      expect(bundles.length).toBeGreaterThan(1);
      for (const data of bundles) {
        expect(Object.keys(data)).toEqual(expect.arrayContaining(['text/plain', 'text/html', 'image/svg+xml']));
        const plotly = data['application/vnd.plotly.v1+json'] as { data: unknown; layout: unknown };
        expect([Array.isArray(plotly.data), typeof plotly.layout]).toEqual([true, 'object']);
      }
      // Differs when the numbers of the library have changed since: npm run notebooks.
      expect(texts(run.notebook)).toEqual(texts(readNotebook(join(NOTEBOOKS, name))));
    }, 300_000);

    it.skipIf(noBrowser !== undefined)(
      'is a page that draws all figures, says nothing and asks for nothing',
      async () => {
        const path = join(folder, name.replace('.ipynb', '.html'));
        const figures = readFileSync(path, 'utf8').match(/class="sightstage-static"/g)!.length;
        const browser = await startBrowser();
        try {
          const tab = await browser.newPage({ viewport: { width: 900, height: 1200 } });
          const said: string[] = [];
          const asked: string[] = [];
          tab.on('console', (message) => said.push(message.text()));
          tab.on('pageerror', (error) => said.push(error.message));
          tab.on('request', (request) => asked.push(request.url()));
          await tab.goto(pathToFileURL(path).href);
          await tab.waitForFunction(
            (count) => document.querySelectorAll('.sightstage-live .main-svg').length >= count,
            figures,
          );
          const drawn = await tab.evaluate(
            () =>
              [...document.querySelectorAll('.sightstage-live')].filter((at) => at.querySelector('.main-svg')).length,
          );
          expect(drawn).toBe(figures);
          expect(figures).toBeGreaterThan(1);
          await tab.waitForFunction(() =>
            [...document.querySelectorAll<HTMLElement>('.sightstage-static')].every(
              (at) => at.style.display === 'none',
            ),
          );
          await tab.emulateMedia({ media: 'print' });
          const onPaper = await tab.locator('.sightstage-static').filter({ visible: true }).count();
          expect(onPaper).toBe(figures);
          expect(said).toEqual([]);
          expect(asked.filter((url) => !url.startsWith('data:'))).toEqual([pathToFileURL(path).href]);
        } finally {
          await browser.close();
        }
      },
    );
  });
});
