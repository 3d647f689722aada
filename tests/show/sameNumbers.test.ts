import { describe, expect, it } from 'vitest';
import { chartPage } from '../../src/show/page/renderPage.js';
import { blocksHtml } from '../../src/show/page/blocks.js';
import { trustedHtml } from '../../src/show/page/html.js';
import { markdownText } from '../../src/show/text/markdownText.js';
import { terminalText } from '../../src/show/text/terminalText.js';
import { answerDocument } from '../../src/tell/answerDocument.js';
import { answersOf } from '../../src/tell/answersOf.js';
import { answerWords } from '../../src/tell/answerWords.js';
import type { Block, Document } from '../../src/tell/document.js';
import { gaugesDocument } from '../../src/tell/gaugesDocument.js';
import { keeperDocument } from '../../src/tell/keeperDocument.js';
import { pageDocuments } from '../../src/tell/pageDocuments.js';
import { texts, tidy, type AnyTable, type Table } from '../../src/tell/table.js';
import { trustDocument } from '../../src/tell/trustDocument.js';
import { frozenSample } from './frozenSample.js';

/** Every number of a text as people read it, in order, with its sign, its decimals and its thousands. */
const numbers = (text: string): readonly string[] =>
  (text.match(/[−-]?\d[\d\u202f]*(?:\.\d+)?/g) ?? []).map((found) => found.replace('-', ''));
const tally = (text: string) => [...numbers(text)].sort();

/** What stands between the tags of a page, entities as the characters that they are. */
const read = (page: string): string =>
  page
    .replace(/<(style|script|svg)\b[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#(\d+);/g, (_, code: string) => String.fromCodePoint(Number(code)))
    .replace(/&nbsp;/g, ' ')
    .replace(/&[a-z]+;/g, ' ');
const unescaped = (markdown: string): string => markdown.replace(/&#\d+;|&[a-z]+;/g, ' ').replace(/\\(.)/g, '$1');

/** A document without what each medium lays out in its own way: cards and pictures. */
const plain = (blocks: readonly Block[]): readonly Block[] =>
  blocks.flatMap((block): readonly Block[] => {
    if (block.kind === 'card' || block.kind === 'figure') return [];
    return block.kind === 'fold' ? [{ ...block, body: plain(block.body) }] : [block];
  });
const tablesOf = (blocks: readonly Block[]): readonly AnyTable[] =>
  blocks.flatMap((block) =>
    block.kind === 'table' ? [block.table] : block.kind === 'fold' ? tablesOf(block.body) : [],
  );

const sample = frozenSample();
const documents: readonly Document[] = [
  answerDocument(sample),
  trustDocument(sample.trust),
  gaugesDocument(sample.gauges),
  keeperDocument(sample.trust),
];
const ROWS = 120;

describe('one number, one writing', () => {
  it.each(documents.map((made) => [made.subject, made] as const))(
    'the %s has the same numbers in the terminal, in Markdown and in HTML',
    (_, made) => {
      const body = { ...made, cautions: [], body: plain(made.body) };
      const html = blocksHtml(body.body, { card: () => trustedHtml(''), under: 1, prefix: '' });
      const seen = tally(`${made.title} ${read(html.html)}`);
      expect(seen.length).toBeGreaterThan(20);
      expect(tally(unescaped(markdownText([body])))).toEqual(seen);
      expect(tally(terminalText(body, { full: true, width: 120 }))).toEqual(seen);
    },
  );

  it('the answer of a run has the same edges, range, odds and grade in terminal, Markdown and page', () => {
    const media = {
      terminal: terminalText(answerDocument(sample)),
      markdown: unescaped(markdownText([answerDocument(sample)])),
      page: read(chartPage(sample.chart, sample)),
    };
    for (const answer of answersOf(sample)) {
      const { scales, trust } = answerWords({ answer, units: [answer.reading!.unit] });
      const owed = numbers([...scales.flatMap(({ edges }) => edges), trust].join(' '));
      expect(owed.length).toBeGreaterThan(8);
      for (const [medium, text] of Object.entries(media)) {
        const has = new Set(numbers(text));
        expect(
          owed.filter((number) => !has.has(number)),
          medium,
        ).toEqual([]);
      }
    }
  });

  it('no cell says another number than its frame holds: they differ by less than the last digit, or a fifth of the interval', () => {
    const made = [...documents, ...pageDocuments(sample)].flatMap(({ body }) => tablesOf(body));
    let held = 0;
    for (const table of made) {
      const { heads, rows } = texts(table);
      const frame = tidy(table as Table);
      Object.entries(table.columns).forEach(([key, column]) => {
        const label = heads.findIndex(({ text }) => text === column.label || text.startsWith(`${column.label}, `));
        if (label < 0 || column.as === undefined || !['share', 'odds', 'number', 'gauge', 'count'].includes(column.as))
          return;
        rows.slice(0, ROWS).forEach((cells, r) => {
          const row = frame.rows[r] as Readonly<Record<string, number | null>>;
          const [first] = numbers(cells[label]!);
          const value = row[key]!;
          if (first === undefined || value === null || /^(under|over)/.test(cells[label]!)) return;
          const percent = column.as === 'share' || column.as === 'odds' ? 100 : 1;
          const said = Number(first.replaceAll('\u202f', '').replace('−', '-'));
          const lastDigit =
            10 ** -(first.split('.')[1]?.length ?? 0) *
            (Math.abs(said) >= 1000 ? 10 ** (Math.floor(Math.log10(Math.abs(said))) - 2) : 1);
          const wide = percent * ((row[`${key}High80`] ?? 0) - (row[`${key}Low80`] ?? 0));
          expect(
            Math.abs(said - percent * value),
            `${table.name} ${key} row ${r}: ${cells[label]}`,
          ).toBeLessThanOrEqual(Math.max(0.5000001 * lastDigit, 0.5 * wide));
          held++;
        });
      });
    }
    expect(held).toBeGreaterThan(300);
  });
});
