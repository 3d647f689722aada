import pc from 'picocolors';
import type { Block, Document, Heading } from '../../tell/document.js';
import { texts, type TextTable } from '../../tell/table.js';
import { cardLines } from './cardLines.js';
import { plainStrings, plainText } from './plainText.js';
import { plainTable } from './plainTable.js';
import { wrapText } from './wrapText.js';

export interface TerminalOptions {
  /** Bold and dim by escape codes; default false. */
  readonly colour?: boolean;
  /** Columns; kept between 60 and 120. Default 80. */
  readonly width?: number;
  /** With what is folded away; default only the headings of this part are left out. */
  readonly full?: boolean;
  /** A line at the end: where the rest is. */
  readonly more?: string;
}

interface Pen {
  readonly width: number;
  readonly full: boolean;
  bold(text: string): string;
  dim(text: string): string;
}

/**
 * A document as text for a terminal, its cautions last, where the eye is when the text stops.
 * @example process.stdout.write(terminalText(answerDocument({ chart, trust }), { width: 80 }))
 */
export function terminalText(
  document: Document,
  { colour = false, width = 80, full = false, more }: TerminalOptions = {},
): string {
  const pen = penOf({ colour, width, full });
  const { title, cautions, body } = document;
  const lines = [
    ...wrapped(pen, title).map(pen.bold),
    ...linesOf(body, pen),
    '',
    ...wrapped(pen, `${BEFORE} ${cautions.join(' ')}`).map((line, i) =>
      i === 0 ? line.replace(BEFORE, pen.bold(BEFORE)) : line,
    ),
    ...(more === undefined ? [] : wrapped(pen, more).map(pen.dim)),
  ];
  return `${lines.join('\n')}\n`;
}

function penOf({ colour, width, full }: { colour: boolean; width: number; full: boolean }): Pen {
  const { bold, dim } = pc.createColors(colour);
  return { width: Math.min(120, Math.max(60, Math.floor(width) || 80)), full, bold, dim };
}

/** Blocks as plain text, all of them, without a title and cautions of their own. */
export function blocksText(blocks: readonly Block[], { width }: { width: number }): string {
  return linesOf(blocks, penOf({ colour: false, width, full: true }))
    .join('\n')
    .replace(/^\n+/, '');
}

/** Lines of blocks, never two empty ones after each other. */
function linesOf(blocks: readonly Block[], pen: Pen): readonly string[] {
  const lines = blocks.flatMap((block) => blockLines(block, pen));
  return lines.filter((line, i) => line !== '' || lines[i - 1] !== '');
}

const BEFORE = 'Before anyone goes:';

/** Texts from a folder are cleaned where they are wrapped, so that nothing else has to be. */
function wrapped({ width }: Pen, text: string, first = '', rest?: string): string[] {
  return wrapText(plainText(text), { width, first, ...(rest === undefined ? {} : { rest }) });
}

function blockLines(block: Block, pen: Pen): readonly string[] {
  switch (block.kind) {
    case 'heading':
      return headingLines(block, pen);
    case 'says':
      return wrapped(pen, block.text).map((line) =>
        block.tone === 'refusal' ? pen.bold(line) : block.tone === 'note' ? pen.dim(line) : line,
      );
    case 'list':
      return block.items.flatMap((item) => wrapped(pen, item, '  - '));
    case 'table':
      return tableLines(texts(block.table), pen);
    case 'card':
      return [...cardLines(plainStrings(block), pen), ''];
    case 'fold':
      return pen.full
        ? ['', ...wrapped(pen, `== ${block.title} ==`).map(pen.bold), ...block.body.flatMap((b) => blockLines(b, pen))]
        : [];
    case 'figure':
      return [];
  }
}

function headingLines({ level, text }: Heading, pen: Pen): readonly string[] {
  return ['', ...wrapped(pen, text, level === 4 ? '  ' : '').map(pen.bold)];
}

/** In columns; the caption above it. */
export function tableLines({ caption, heads, rows }: TextTable, pen: Pick<Pen, 'width' | 'dim'>): readonly string[] {
  return [
    ...(caption === '' ? [] : wrapText(plainText(caption), { width: pen.width, first: '  ' }).map(pen.dim)),
    ...plainTable(
      heads.map(({ text, right }) => ({ heading: plainText(text), right })),
      rows.map((row) => row.map(plainText)),
      { width: pen.width, indent: '  ' },
    ),
  ];
}
