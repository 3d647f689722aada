import { answerWords } from '../../tell/answerWords.js';
import type { Block, Card, Document } from '../../tell/document.js';
import { texts, type TextTable } from '../../tell/table.js';
import { plainText } from './plainText.js';

/**
 * Documents as one Markdown page, for a club's site or a repository: the cautions first, what is folded elsewhere under headings. Texts are
 * escaped, so that a name cannot become a link, an image or HTML.
 * @param documents the first gives the title; the others stand below it, each under a heading.
 * @example writeFileSync('chart.md', markdownText([answerDocument({ chart, trust })]))
 */
export function markdownText([first, ...others]: readonly [Document, ...Document[]]): string {
  const parts = [
    `# ${md(first.title)}`,
    first.cautions.map((caution) => `> **${md(caution)}**  `).join('\n'),
    ...first.body.flatMap(blockParts),
    ...others.flatMap(({ title, body }) => (body.length === 0 ? [] : [`# ${md(title)}`, ...body.flatMap(blockParts)])),
  ];
  return `${parts.join('\n\n')}\n`;
}

/** Paragraphs, with an empty line between them. */
function blockParts(block: Block): readonly string[] {
  switch (block.kind) {
    case 'heading':
      return [`${'#'.repeat(block.level)} ${md(block.text)}`];
    case 'says':
      return [block.tone === 'refusal' || block.tone === 'caution' ? `**${md(block.text)}**` : md(block.text)];
    case 'list':
      return [block.items.map((item) => `- ${md(item)}`).join('\n')];
    case 'table':
      return tableParts(texts(block.table));
    case 'card':
      return cardParts(block);
    case 'fold':
      return [`## ${md(block.title)}`, ...block.body.flatMap(blockParts)];
    case 'figure':
      return [];
  }
}

function tableParts({ caption, heads, rows }: TextTable): readonly string[] {
  return [
    ...(caption === '' ? [] : [`*${md(caption)}*`]),
    [
      tableRow(heads.map(({ text }) => md(text))),
      tableRow(heads.map(({ right }) => (right ? '---:' : '---'))),
      ...rows.map((row) => tableRow(row.map(md))),
    ].join('\n'),
  ];
}

function cardParts(card: Card): readonly string[] {
  const { read, scales, classes, trust, seen, season } = answerWords(card);
  const head = classes.flatMap((word, k) => (k === 0 ? [md(word)] : ['', md(word)]));
  const rows = scales.map(({ unit, edges }) =>
    tableRow([md(unit), ...classes.flatMap((_, k) => (k === 0 ? [''] : [`**${md(edges[k - 1]!)}**`, '']))]),
  );
  const table = [tableRow(['', ...head]), tableRow(['---', ...head.map(() => ':---:')]), ...rows].join('\n');
  return [
    `**${md(read)}**`,
    ...(scales.length === 0 ? [] : [table]),
    md(trust),
    md(seen),
    ...(season === '' ? [] : [md(season)]),
  ];
}

function tableRow(cells: readonly string[]): string {
  return `| ${cells.join(' | ')} |`;
}

/** Text that stays text in Markdown: every character that can begin markup, a table cell or HTML gets a backslash or an entity. */
export function md(text: string): string {
  return plainText(text)
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/[\\`*_{}[\]#|~!$^]/g, '\\$&')
    .replace(/^(?:([-+])|(\d+)([.)])(?=\s|$))/, (_, sign?: string, n?: string, dot?: string) =>
      sign === undefined ? `${n}\\${dot}` : `\\${sign}`,
    )
    .replace(/@/g, '&#64;')
    .replace(/:\/\//g, '&#58;//')
    .replace(/www\./gi, 'www&#46;');
}
