import { describe, expect, test } from 'vitest';
import { markdownText } from '../../../src/show/text/markdownText.js';
import { terminalText } from '../../../src/show/text/terminalText.js';
import { textWidth } from '../../../src/show/text/wrapText.js';
import { answerDocument } from '../../../src/tell/answerDocument.js';
import { answersOf } from '../../../src/tell/answersOf.js';
import { answerWords, edgeText } from '../../../src/tell/answerWords.js';
import type { Block, Document } from '../../../src/tell/document.js';
import { gaugesDocument } from '../../../src/tell/gaugesDocument.js';
import { keeperDocument } from '../../../src/tell/keeperDocument.js';
import { texts } from '../../../src/tell/table.js';
import { trustDocument } from '../../../src/tell/trustDocument.js';
import { frozenSample, graded } from '../frozenSample.js';

const sample = frozenSample();
const documents: readonly (readonly [string, Document])[] = [
  ['answer', answerDocument(sample)],
  ['trust', trustDocument(sample.trust)],
  ['gauges', gaugesDocument(sample.gauges)],
  ['keeper', keeperDocument(sample.trust)],
];

const squeezed = (text: string) => text.replace(/\s+/g, ' ');
const flat = (blocks: readonly Block[]): readonly Block[] =>
  blocks.flatMap((block) => (block.kind === 'fold' ? [block, ...flat(block.body)] : [block]));

describe('the answer on one screen', () => {
  const text = terminalText(answerDocument(sample), { more: 'The chart with its plots: out/creek/chart.html' });

  test('takes at most 30 lines of 80 columns for the sample, two runs', () => {
    const lines = text.trimEnd().split('\n');
    expect(sample.chart.runs.length).toBe(2);
    expect(lines.length).toBeLessThanOrEqual(30);
    for (const line of lines) expect(textWidth(line)).toBeLessThanOrEqual(80);
  });

  test('says for each run which gauge, the classes with their edges, the grade, how often right and higher, what no visit has met', () => {
    for (const answer of answersOf(sample)) {
      const { reading } = answer;
      expect(reading).not.toBeNull();
      const said = squeezed(text);
      expect(said).toContain(answer.run.name);
      expect(said).toContain(`${reading!.gaugeName}. ${reading!.instruction}`);
      for (const { word } of reading!.classes) expect(said).toContain(word);
      for (const edge of reading!.edges)
        for (const own of [true, false])
          expect(said).toMatch(new RegExp(`\\| ?${edgeText(edge, own).replace('*', '\\*')}\\|`));
      const words = answerWords({ answer, units: [reading!.unit] });
      expect(said).toContain(words.trust);
      expect(said).toContain(words.seen);
    }
    expect(text.split('\n')[0]).toMatch(/last visit \d{4}-\d\d-\d\d$/);
  });

  test('carries every caution, and nothing of what is folded', () => {
    for (const caution of sample.chart.cautions) expect(squeezed(text)).toContain(caution);
    expect(text).not.toContain('SHA-256');
  });

  test('with --full it goes on to every gauge, its edges and the odds there', () => {
    const full = squeezed(terminalText(answerDocument(sample), { full: true }));
    for (const { gauges } of sample.chart.runs)
      for (const { gauge } of gauges) expect(full).toContain(`${gauge.name}: `);
    expect(full).toContain('Odds of each class at the printed edge');
    expect(full).toContain('SHA-256');
  });
});

describe('whether a level is given is decided once', () => {
  test.each(['no usable relation', 'too thin'] as const)(
    '%s: refused, with the reason, and no edge in the answer',
    (grade) => {
      const refused = graded(grade);
      for (const answer of answersOf(refused)) {
        expect(answer.reading).toBeNull();
        expect(answer.refusal).toContain('Because of the test.');
      }
      const short = terminalText(answerDocument(refused));
      const page = markdownText([answerDocument(refused)]);
      expect(short).toContain('No level is given');
      expect(short).not.toMatch(/\|/);
      expect(page).toContain('No level is given');
      const edges = sample.chart.runs.flatMap(({ gauges }) => gauges.flatMap((gauge) => gauge.level?.edges ?? []));
      if (grade === 'no usable relation')
        for (const { rounded } of edges.filter((edge) => edge.rounded > 100))
          expect(page).not.toContain(String(rounded));
    },
  );

  test.each(['rough guide', 'fair guide', 'good guide'] as const)('%s: given', (grade) => {
    for (const answer of answersOf(graded(grade))) {
      expect(answer.refusal).toBeNull();
      expect(answer.reading!.edges.length).toBe(answer.reading!.classes.length - 1);
    }
  });

  test('a run without gauges says so', () => {
    const [run, ...others] = sample.chart.runs;
    const chart = { ...sample.chart, runs: [{ ...run!, gauges: [] }, ...others] };
    expect(answersOf({ chart })[0]).toMatchObject({
      reading: null,
      refusal: expect.stringContaining('No gauge could be read'),
    });
    expect(terminalText(answerDocument({ chart }))).toContain('No gauge could be read');
  });
});

describe('numbers of an answer', () => {
  const answers = answersOf(sample).map(({ reading }) => reading!);

  test('a printed edge keeps its odds: they sum to 1 and its median splits the days in halves', () => {
    for (const { edges } of answers)
      for (const { odds, value, i80 } of edges) {
        expect(odds.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 9);
        expect(value).toBeGreaterThan(i80[0]! * 0.8);
        expect(value).toBeLessThan(i80[1]! * 1.2);
      }
  });

  test('the other unit is converted from the rounded value, to three figures', () => {
    const factor = { 'ft3/s': 0.028316846592, 'm3/s': 1 / 0.028316846592 };
    for (const { edges, unit } of answers)
      for (const { value, valueOther } of edges) {
        const exact = value * factor[unit as 'ft3/s' | 'm3/s'];
        expect(Math.abs(valueOther / exact - 1)).toBeLessThan(0.005);
        expect(
          String(valueOther)
            .replace(/^0\.0*|\./g, '')
            .replace(/0+$/, '').length,
        ).toBeLessThanOrEqual(3);
      }
  });

  test('classes lie between their edges, in order', () => {
    for (const { classes, edges } of answers)
      classes.forEach(({ from, to }, k) => {
        expect(from).toBe(edges[k - 1]?.value ?? null);
        expect(to).toBe(edges[k]?.value ?? null);
        if (from !== null && to !== null) expect(from).toBeLessThan(to);
      });
  });
});

describe.each(documents)('%s, by every writer', (_, document) => {
  const terminal = squeezed(terminalText(document, { full: true, width: 120 }));
  const markdown = markdownText([document]).replace(/\\/g, '');

  test('each table shows the same cells', () => {
    for (const block of flat(document.body)) {
      if (block.kind !== 'table') continue;
      for (const row of texts(block.table).rows)
        for (const cell of row) {
          expect(terminal).toContain(squeezed(cell).split(' ')[0]!);
          expect(markdown).toContain(cell.replaceAll('<', '&lt;').replaceAll('>', '&gt;'));
        }
    }
  });

  test('each sentence and caution is there', () => {
    const page = squeezed(markdown);
    for (const block of flat(document.body)) {
      const said = block.kind === 'says' ? [block.text] : block.kind === 'list' ? block.items : [];
      for (const text of [...said, ...document.cautions]) {
        expect(terminal).toContain(squeezed(text));
        expect(page).toContain(squeezed(text).replaceAll('<', '&lt;').replaceAll('>', '&gt;'));
      }
    }
    expect(document.cautions.length).toBeGreaterThan(0);
  });

  test('ids are unique and no block is empty', () => {
    const ids = flat(document.body).flatMap((block) =>
      block.kind === 'fold' || (block.kind === 'heading' && block.id !== undefined) ? [block.id] : [],
    );
    expect(new Set(ids).size).toBe(ids.length);
    for (const block of flat(document.body)) {
      if (block.kind === 'table') expect(block.table.rows.length).toBeGreaterThan(0);
      if (block.kind === 'list') expect(block.items.length).toBeGreaterThan(0);
      if (block.kind === 'says') expect(block.text).not.toBe('');
    }
  });

  test('no number is a float’s tail, no cell says null, NaN or undefined', () => {
    for (const text of [terminal, markdown]) {
      expect(text).not.toMatch(/\d\.\d{5,}/);
      expect(text).not.toMatch(/\b(NaN|undefined|null|Infinity)\b/);
      expect(text).not.toMatch(/\[object/);
    }
  });

  test.each([60, 80, 100])('no line is wider than %d columns', (width) => {
    for (const line of terminalText(document, { full: true, width }).split('\n'))
      expect(textWidth(line)).toBeLessThanOrEqual(width);
  });
});
