import { parse } from 'csv-parse/sync';
import { parsers } from 'prettier/plugins/markdown';
import { expect } from 'vitest';
import { withoutUnseen } from '../../src/series/unseen.js';

/** Characters that a terminal obeys or that show nothing: none may be left in a text for people, whatever its kind. */
function expectVisible(text: string, where: string): void {
  const clean = withoutUnseen(text).replaceAll('\r', '');
  if (clean === text) return;
  let at = 0;
  while (text[at] === clean[at]) at++;
  const around = JSON.stringify(text.slice(Math.max(0, at - 40), at + 40));
  expect.fail(`an unseen character in ${where}: ${around}`);
}

/** A text for a terminal; with `coloured`, bold, dim and their ends are its own. */
export function expectHarmlessTerminal(text: string, where: string, { coloured = false } = {}): void {
  expectVisible(coloured ? text.replace(/\u001b\[(?:[12]|22)m/g, '') : text, where);
  expect(text.includes('\t'), `tab in ${where}`).toBe(false);
}

/** JSON that parses and that a terminal may show. */
export function expectHarmlessJson(text: string, where: string): unknown {
  expectVisible(text, where);
  return JSON.parse(text);
}

/** A table whose cells start no formula, cut as it is meant to be and as a spreadsheet of another country would cut it. */
export function expectHarmlessCsv(text: string, where: string): void {
  // A spreadsheet asks for the mark of Unicode and for its own line ends.
  expectVisible(text.replace(/^\ufeff/, '').replaceAll('\r\n', '\n'), where);
  const delimiter = text.split('\n')[0]!.includes(';') ? ';' : ',';
  // Throws for a row with another number of cells; the sheet for people has lines of text above and below its table.
  const rows = parse(text, { delimiter, bom: true, relax_column_count: where === 'levels.csv' }) as string[][];
  expect(rows.length, where).toBeGreaterThan(0);
  const cells = rows.flat();
  const foreign = [',', ';', '\t']
    .filter((one) => one !== delimiter)
    .flatMap((one) => text.split('\n').flatMap((line) => line.split(one).slice(1)));
  for (const cell of cells)
    if (/^\s*[=+\-@\uff1d\uff0b\uff0d\uff20]/.test(cell) && !isNumber(cell, delimiter))
      expect.fail(`a cell of ${where} starts like a formula: ${cell.slice(0, 60)}`);
  // A quote in the middle of what was one cell is no longer a quote for sure.
  for (const cell of foreign)
    if (/^["\s]*[=+\-@\uff1d\uff0b\uff0d\uff20]/.test(cell) && !isNumber(cell, delimiter))
      expect.fail(`${where} cut at another character has a cell that starts like a formula: ${cell.slice(0, 60)}`);
}

const isNumber = (cell: string, delimiter: string) =>
  /^[+-]?\d+([.,]\d+)?(e[+-]?\d+)?$/i.test(cell.split(delimiter)[0]!.trim());

interface MarkdownNode {
  readonly type: string;
  readonly value?: string;
  readonly children?: readonly MarkdownNode[];
}

/** Markdown in which only our own headings, lists, tables and emphasis mean anything: no link, picture, HTML, code or mathematics. */
export async function expectHarmlessMarkdown(text: string, where: string): Promise<void> {
  expectVisible(text, where);
  const root = (await parsers.markdown.parse(text, {} as never)) as MarkdownNode;
  const strange: string[] = [];
  const walk = (node: MarkdownNode) => {
    // Our own legend names the mark * as code.
    if (!MEANT.has(node.type) && !(node.type === 'inlineCode' && node.value === '*'))
      strange.push(`${node.type} ${node.value ?? node.children?.[0]?.value ?? ''}`);
    node.children?.forEach(walk);
  };
  walk(root);
  expect(strange, `markup in ${where}`).toEqual([]);
  // What a site may link by itself, even in plain text.
  expect(text.match(/[^\n]*(?:https?:\/\/|www\.|\w@\w)[^\n]*/)?.[0], `a link in ${where}`).toBeUndefined();
}

const MEANT = new Set(
  'root heading paragraph text strong emphasis break blockquote list listItem table tableRow tableCell'.split(' '),
);
