import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../src/series/cautions.js';
import { NOTEBOOKS } from '../../tools/notebooks/jupyterHome.js';
import {
  committedForm,
  complaints,
  joined,
  notebookText,
  readNotebook,
  sourceDigest,
  type Lines,
  type Notebook,
} from '../../tools/notebooks/notebookFile.js';

import { schemaComplaints, whyNoSchema } from '../../tools/notebooks/validateNotebooks.js';

const noSchema = whyNoSchema();
if (noSchema !== undefined) {
  if (process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1') throw new Error(`nbformat must be here, but: ${noSchema}`);
  process.stderr.write(`skipped: notebooks against the schema of nbformat, ${noSchema}\n`);
}

const names = readdirSync(NOTEBOOKS)
  .filter((name) => name.endsWith('.ipynb'))
  .sort();

const MOST_KB = 700;

describe('the committed notebooks', () => {
  it('are the five that are promised', () => {
    expect(names).toEqual([
      '1-build-a-level-chart.ipynb',
      '2-review-the-trip-logs.ipynb',
      '3-how-far-to-trust-it.ipynb',
      '4-your-own-creek.ipynb',
      '5-is-it-on.ipynb',
    ]);
  });

  it.skipIf(noSchema !== undefined)('are notebooks by the schema of nbformat, which sees a fault', () => {
    const paths = names.map((name) => join(NOTEBOOKS, name));
    const folder = mkdtempSync(join(tmpdir(), 'sightstage-schema-'));
    try {
      const [good] = paths;
      const { cells, ...rest } = readNotebook(good!);
      const faulty = join(folder, 'faulty.ipynb');
      writeFileSync(
        faulty,
        notebookText({ ...rest, cells: cells.map((cell, i) => (i === 3 ? { ...cell, id: undefined } : cell)) }),
      );
      const found = schemaComplaints([...paths, faulty]);
      expect([...found.entries()].slice(0, -1)).toEqual(paths.map((path) => [path, []]));
      expect(found.get(faulty)!.join(' ')).toMatch(/cells[[/]3/);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  describe.each(names)('%s', (name) => {
    const path = join(NOTEBOOKS, name);
    const notebook = readNotebook(path);
    const code = notebook.cells.filter(({ cell_type }) => cell_type === 'code');
    const sources = code.map(({ source }) => joined(source));
    const outputs = code.flatMap((cell) => cell.outputs ?? []);

    it('has the outputs of its own sources (else: npm run notebooks)', () => {
      expect(notebook.metadata.sightstage?.sources).toBe(sourceDigest(notebook));
    });

    it('gives every cell an id of its own', () => {
      const ids = notebook.cells.map(({ id }) => id);
      expect(ids.filter((id) => !/^[\w-]{1,64}$/.test(id ?? ''))).toEqual([]);
      expect(new Set(ids).size).toBe(ids.length);
    });

    it('keeps to 20 code cells of 10 lines without function definitions', () => {
      expect(code.length).toBeLessThanOrEqual(20);
      expect(sources.filter((source) => source.split('\n').length > 10)).toEqual([]);
      expect(
        sources.filter((source) => /\bfunction\b|^\s*(?:const|let)\s+\w+\s*=\s*(?:\([^()]*\)|\w+)\s*=>/m.test(source)),
      ).toEqual([]);
    });

    it('ends with what it does not show, the cautions, the sources and an assertion', () => {
      const headings = notebook.cells.flatMap(({ cell_type, source }) =>
        cell_type === 'markdown' ? [...joined(source).matchAll(/^## (.+)$/gm)].map((match) => match[1]) : [],
      );
      expect(headings.slice(-3)).toEqual(['What this does not show', 'Cautions', 'Sources']);
      expect(sources.at(-1)).toContain('assert');
      expect(joined(code.at(-1)!.outputs!.at(-1)!.text)).toBe('All checks passed.\n');
      expect(joined(code.at(-2)!.outputs![0]!.text)).toContain(CAUTIONS[0]);
    });

    it('carries static pictures that say themselves in words, and nothing that runs', () => {
      const pictures = outputs.flatMap(({ data }) => (data?.['image/svg+xml'] as Lines | undefined) ?? []).join('');
      expect(pictures.match(/<svg /g)!.length).toBeGreaterThan(0);
      expect(pictures).not.toMatch(/NaN|Infinity|undefined/);
      expect([...pictures.matchAll(/aria-label="([^"]*)"/g)].filter(([, alt]) => alt!.length < 40)).toEqual([]);
      const text = readFileSync(path, 'utf8');
      expect(text).not.toContain('<script');
      expect(text).not.toContain('vnd.plotly');
      expect(text.length / 1024).toBeLessThan(MOST_KB);
    });
  });
});

describe('what a run of a notebook says', () => {
  const cell = (more: object) => ({ cell_type: 'code' as const, source: 'show(1);', metadata: {}, ...more });
  const ran = { metadata: { execution: { 'shell.execute_reply': '2031-01-01T00:00:00Z' } } };
  const notebook = (...cells: Notebook['cells']): Notebook => ({ cells, metadata: {}, nbformat: 4, nbformat_minor: 5 });

  it('is nothing where all is well', () => {
    expect(
      complaints(notebook(cell({ ...ran, outputs: [{ output_type: 'stream', name: 'stdout', text: 'fine' }] }))),
    ).toEqual([]);
  });

  it('names the cell of an error, of a warning and of a cell that did not run', () => {
    const stderr = (text: string) => ({ output_type: 'stream' as const, name: 'stderr', text });
    const failed = notebook(
      cell({
        ...ran,
        outputs: [stderr('cell.js:1\nboom();\n\nReferenceError: boom is not defined\n    at cell.js:1:1')],
      }),
      cell({ ...ran, outputs: [stderr('(node) Warning: old\n')] }),
      cell({}),
    );
    expect(complaints(failed)).toEqual([
      'code cell 1 (show(1);): ReferenceError: boom is not defined',
      'code cell 2 (show(1);): (node) Warning: old',
      'code cell 3 (show(1);): did not run',
    ]);
  });

  it('is committed without the plot library, with the picture in place of the script, and with its fingerprint', () => {
    const library = {
      output_type: 'display_data' as const,
      data: { 'text/html': '<script>' },
      metadata: { sightstage: 'plot-library' },
    };
    const figure = {
      output_type: 'display_data' as const,
      data: {
        'text/plain': 'a\nb',
        'text/html': '<script>',
        'image/svg+xml': '<svg/>',
        'application/vnd.plotly.v1+json': {},
      },
    };
    const executed = notebook(cell({ ...ran, outputs: [library, figure] }));
    const committed = committedForm(executed);
    expect(committed.cells[0]!.outputs).toEqual([
      { output_type: 'display_data', data: { 'text/plain': ['a\n', 'b'], 'image/svg+xml': ['<svg/>'] }, metadata: {} },
    ]);
    expect(committed.cells[0]!.metadata).toEqual({});
    expect(committed.metadata.sightstage?.sources).toBe(sourceDigest(executed));
    expect(sourceDigest(notebook(cell({ source: 'show(2);' })))).not.toBe(sourceDigest(executed));
  });
});
