import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { executeNotebooks, writePages, type Executed } from '../../tools/notebooks/executeNotebook.js';
import { NOTEBOOKS, prepareKernel, whyNoNotebooks } from '../../tools/notebooks/jupyterHome.js';
import {
  committedForm,
  joined,
  notebookText,
  readNotebook,
  type Notebook,
} from '../../tools/notebooks/notebookFile.js';
import { notebooksCommand } from '../../tools/notebooks/notebooksCommand.js';
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

/** Widths in px that a page must be fit for: a phone and a desk. */
const WIDTHS = [390, 1280];

describe.skipIf(noJupyter !== undefined)('every notebook through the real kernel', () => {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-notebooks-'));
  const pageOf = (name: string) => join(folder, name.replace('.ipynb', '.html'));
  let runs: readonly Executed[] = [];
  let pages: readonly string[] = [];
  let browser: Browser | undefined;
  beforeAll(async () => {
    const options = { outFolder: folder, env: prepareKernel() };
    runs = await executeNotebooks(
      names.map((name) => join(NOTEBOOKS, name)),
      options,
    );
    pages = await writePages(runs, options);
    if (noBrowser === undefined) browser = await startBrowser();
  }, 600_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('writes an executed copy and a page of each', () => {
    expect(pages).toEqual(names.map(pageOf));
    expect(readdirSync(folder).sort()).toEqual([...names, ...pages.map((page) => basename(page))].sort());
  });

  describe.each(names)('%s', (name) => {
    it('runs without an error, a warning or a failed assertion, and says what its committed outputs say', () => {
      const { notebook, complaints } = runs[names.indexOf(name)]!;
      expect(complaints).toEqual([]);
      // One bundle a figure, in every form: the front end takes the richest one that it knows.
      const bundles = notebook.cells
        .flatMap((cell) => (cell.outputs ?? []).map(({ data }) => data ?? {}))
        .filter((data) => 'application/vnd.plotly.v1+json' in data);
      expect(bundles.length).toBeGreaterThan(1);
      for (const data of bundles) {
        expect(Object.keys(data)).toEqual(expect.arrayContaining(['text/plain', 'text/html', 'image/svg+xml']));
        const plotly = data['application/vnd.plotly.v1+json'] as { data: unknown; layout: unknown };
        expect([Array.isArray(plotly.data), typeof plotly.layout]).toEqual([true, 'object']);
      }
      // Differs when the numbers of the library have changed since: npm run notebooks.
      expect(texts(notebook)).toEqual(texts(readNotebook(join(NOTEBOOKS, name))));
    });

    it.skipIf(noBrowser !== undefined)(
      'is a page that draws all figures, says nothing, asks for nothing and fits a phone and a desk',
      async () => {
        const path = pageOf(name);
        const figures = readFileSync(path, 'utf8').match(/class="sightstage-static"/g)!.length;
        const tab = await browser!.newPage();
        const said: string[] = [];
        const asked: string[] = [];
        tab.on('console', (message) => said.push(message.text()));
        tab.on('pageerror', (error) => said.push(error.message));
        tab.on('request', (request) => asked.push(request.url()));
        for (const width of WIDTHS) {
          await tab.setViewportSize({ width, height: 900 });
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
          // Wide tables scroll in themselves: the page never does.
          expect(await tab.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
        }
        expect(figures).toBeGreaterThan(1);
        // The converter empties a picture that comes without HTML.
        expect(await tab.locator('.output_svg').count()).toBe(0);
        await tab.waitForFunction(() =>
          [...document.querySelectorAll<HTMLElement>('.sightstage-static')].every((at) => at.style.display === 'none'),
        );
        await tab.emulateMedia({ media: 'print' });
        const onPaper = await tab.locator('.sightstage-static').filter({ visible: true }).count();
        expect(onPaper).toBe(figures);
        expect(said).toEqual([]);
        const own = pathToFileURL(path).href;
        expect(asked.filter((url) => !url.startsWith('data:'))).toEqual(WIDTHS.map(() => own));
        await tab.close();
      },
    );
  });
});

describe.skipIf(noJupyter !== undefined)('npm run notebooks', () => {
  const root = mkdtempSync(join(tmpdir(), 'sightstage-failing-'));
  const folder = join(root, 'notebooks');
  const outFolder = join(root, 'out');
  const said: string[] = [];
  const options = { folder, outFolder, env: process.env, say: (line: string) => void said.push(line) };
  afterAll(() => rmSync(root, { recursive: true, force: true }));

  it('fails on an error, on a warning and on a failed assertion, names each, and refreshes nothing', async () => {
    const cell = (source: string, i: number) => ({
      cell_type: 'code' as const,
      id: `c${i}`,
      metadata: {},
      source,
      outputs: [],
      execution_count: null,
    });
    const text = notebookText({
      cells: [
        "console.warn('old option');",
        "JSON.parse('null').x;",
        "import assert from 'node:assert/strict';\nassert.equal(1, 2, 'one is not two');",
        "console.log('still here');",
      ].map(cell),
      metadata: { kernelspec: { display_name: 'TypeScript (sightstage)', language: 'typescript', name: 'tslab' } },
      nbformat: 4,
      nbformat_minor: 5,
    });
    mkdirSync(folder);
    // Another installation above the notebooks is not the kernel's business: its own copy has the repairs.
    const decoy = join(root, 'node_modules', 'tslab', 'dist');
    mkdirSync(decoy, { recursive: true });
    writeFileSync(join(decoy, 'main.js'), 'exports.startKernel = () => process.exit(9);\n');
    const path = join(folder, 'failing.ipynb');
    writeFileSync(path, text);
    expect(await notebooksCommand([], { ...options, env: prepareKernel() })).toBe(1);
    expect(said.map((line) => line.replace(/\d+ s;/, 'N s;'))).toEqual([
      '[1/1] failing.ipynb: running',
      '[1/1] failing.ipynb: FAILED, N s; the committed outputs stay as they were',
      "    code cell 1 (console.warn('old option');): old option",
      "    code cell 2 (JSON.parse('null').x;): TypeError: Cannot read properties of null (reading 'x')",
      "    code cell 3 (import assert from 'node:assert/strict';): AssertionError [ERR_ASSERTION]: one is not two",
      '1 of 1 notebooks failed',
    ]);
    expect(readFileSync(path, 'utf8')).toBe(text);
    expect(readdirSync(outFolder).sort()).toEqual(['failing.html', 'failing.ipynb']);
  });

  it('refuses a name that is none, and says which there are', async () => {
    said.length = 0;
    expect(await notebooksCommand(['nobody'], options)).toBe(1);
    expect(said).toEqual(['notebooks: none named nobody; there are failing.ipynb']);
  });
});
