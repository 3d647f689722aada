import { answerWords } from '../../tell/answerWords.js';
import type { Block, Card } from '../../tell/document.js';
import { texts, type TextTable } from '../../tell/table.js';
import { escapeHtml } from '../escape.js';

/** Blocks as HTML of their own, for a notebook: no style sheet needed, every text escaped. */
export function blocksHtml(blocks: readonly Block[]): string {
  return blocks.map(blockHtml).join('\n');
}

function blockHtml(block: Block): string {
  switch (block.kind) {
    case 'heading':
      return `<h${block.level + 1}>${escapeHtml(block.text)}</h${block.level + 1}>`;
    case 'says':
      return block.tone === 'refusal' || block.tone === 'caution'
        ? `<p><b>${escapeHtml(block.text)}</b></p>`
        : `<p>${escapeHtml(block.text)}</p>`;
    case 'list':
      return `<ul>${block.items.map((item) => `<li>${escapeHtml(item)}</li>`).join('')}</ul>`;
    case 'table':
      return tableHtml(texts(block.table));
    case 'card':
      return cardHtml(block);
    case 'fold':
      return `<details><summary>${escapeHtml(block.title)}</summary>\n${blocksHtml(block.body)}\n</details>`;
    case 'figure':
      return '';
  }
}

function cardHtml(card: Card): string {
  const { read, scales, classes, trust, seen, season } = answerWords(card);
  const rows = scales.map(({ unit, edges }) => [
    unit,
    ...classes.flatMap((_, k) => (k === 0 ? [''] : [edges[k - 1]!, ''])),
  ]);
  const heads = ['', ...classes.flatMap((word, k) => (k === 0 ? [word] : ['', word]))].map((text) => ({
    text,
    right: false,
  }));
  const table = scales.length === 0 ? '' : tableHtml({ caption: '', heads, rows });
  return `<p><b>${escapeHtml(read)}</b></p>${table}<p>${escapeHtml([trust, seen, season].join(' ').trim())}</p>`;
}

/** Characters up to which a column's cells are not broken, and from which they read as a sentence. */
const SHORT = 24;
const LONG = 40;

/** On a phone a table scrolls: a date stays in one piece and a sentence keeps the width of a sentence. */
export function tableHtml({ caption, heads, rows }: TextTable): string {
  const styles = heads.map(({ right }, c) => {
    const longest = Math.max(0, ...rows.map((row) => row[c]!.length));
    const width = longest <= SHORT ? ';white-space:nowrap' : longest > LONG ? ';min-width:min(18em,65vw)' : '';
    return `padding:2px 10px 2px 4px;text-align:${right ? 'right' : 'left'}${width}`;
  });
  const cells = (row: readonly string[]) =>
    row.map((cell, c) => `<td style="${styles[c]}">${escapeHtml(cell)}</td>`).join('');
  return [
    '<table style="border-collapse:collapse">',
    ...(caption === ''
      ? []
      : [`<caption style="text-align:left;font-weight:600;padding:4px">${escapeHtml(caption)}</caption>`]),
    `<thead><tr>${heads.map(({ text }, c) => `<th scope="col" style="${styles[c]}">${escapeHtml(text)}</th>`).join('')}</tr></thead>`,
    '<tbody>',
    ...rows.map((row) => `<tr>${cells(row)}</tr>`),
    '</tbody>',
    '</table>',
  ].join('\n');
}
