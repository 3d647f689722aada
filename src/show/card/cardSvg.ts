import { classPalette, INK, INK_SOFT, PAPER, RULE, UNSEEN } from '../../chart/palette.js';
import { escapeHtml } from '../escape.js';
import { attributes, patternBook, px, shortHash } from '../svg/paint.js';
import { SVG_FONT } from '../svg/svgText.js';
import { svgMarks, type Fill } from '../svg/svgTraces.js';
import { wrapText } from '../text/wrapText.js';
import type { LevelRow } from '../../tell/levelRows.js';
import { stepMarks } from './cardHtml.js';
import type { Card } from './cardContent.js';

/** A5 in CSS pixels (96 to the inch). */
export const CARD_WIDTH = 559;
const CARD_HEIGHT = 794;
/** How far a card with long texts is made smaller to keep the shape of the sheet; a longer one stays as large and grows taller. */
const MOST_SHRUNK = 1.25;
const EDGE = 24;
const INSIDE = CARD_WIDTH - 2 * EDGE;
/** Average width of a character over its size, on the generous side: SVG does not break lines by itself. */
const CHAR = 0.53;
const CHAR_BOLD = 0.57;

interface TextStyle {
  readonly size: number;
  readonly bold?: boolean;
  readonly colour?: string;
  readonly x?: number;
  readonly width?: number;
  /** Before the first line, in place of indentation. */
  readonly first?: string;
}

/** Pieces of the picture with the height they have come to. */
interface Sheet {
  readonly y: number;
  readonly body: string;
}

/**
 * A card as a picture of its own, A5 upright: made a little smaller where the texts need more room, and taller where that would be too
 * small to read. Made without a browser; the same bytes for the same card.
 * @returns the SVG and its height in px.
 */
export function cardSvg(card: Card): { readonly svg: string; readonly height: number } {
  const prefix = `k${shortHash(JSON.stringify(card))}`;
  const patterns = patternBook(prefix);
  const title = `${card.creek}: ${card.run}, by ${card.gauge}`;
  let sheet: Sheet = { y: EDGE, body: '' };
  const put = (text: string, style: TextStyle, gap = 0) => {
    sheet = written(sheet, text, { style, gap });
  };
  put(`${card.creek}: ${card.run}`, { size: 17, bold: true });
  put(`${stepMarks(card)} ${card.grade}`, { size: 13, bold: true }, 1);
  sheet = boxed(sheet, [card.cautions[0] ?? ''], { ground: INK, colour: PAPER, gap: 6 });
  put(`How to read ${card.gauge}`, { size: 11, bold: true, colour: INK_SOFT }, 7);
  put(card.howToRead, { size: 15, bold: true }, 1);
  for (const remark of card.remarks) put(remark, { size: 12 }, 2);
  sheet = staff({ ...sheet, y: sheet.y + 8 }, card, patterns.fill);
  put(card.key, { size: 10.5, colour: INK_SOFT }, 4);
  sheet = boxed(sheet, card.cautions, { ground: PAPER, colour: INK, gap: 8 });
  put(`Why “${card.grade}”`, { size: 11, bold: true, colour: INK_SOFT }, 7);
  for (const note of card.notes) put(note, { size: 11, first: '• ' }, 1);
  put(card.made, { size: 10, colour: INK_SOFT }, 6);
  const tall = Math.max(CARD_HEIGHT, Math.ceil(sheet.y + EDGE));
  const times = tall <= MOST_SHRUNK * CARD_HEIGHT ? tall / CARD_HEIGHT : 1;
  const height = Math.round(tall / times);
  const wide = times * CARD_WIDTH;
  const left = (CARD_WIDTH - wide) / 2;
  const alt = escapeHtml(cardAlt(card));
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg"${attributes({ width: CARD_WIDTH, height })}` +
    ` viewBox="${px(left)} 0 ${px(wide)} ${px(tall)}" role="img" aria-label="${alt}"${SVG_FONT}>\n` +
    `<title>${escapeHtml(title)}</title>\n<desc>${alt}</desc>\n<defs>\n${patterns.defs()}</defs>\n` +
    `<rect${attributes({ x: left, width: wide, height: tall, fill: PAPER })}/>\n` +
    `<rect${attributes({ x: left + 6, y: 6, width: wide - 12, height: tall - 12, fill: 'none', stroke: INK, 'stroke-width': 2 })}/>\n` +
    `${sheet.body}</svg>\n`;
  return { svg, height };
}

/** What the card says, for who cannot see it. */
function cardAlt(card: Card): string {
  const rows = card.rows.map(({ label, value, text }) => `${label} ${value} ${text}`.replaceAll('  ', ' '));
  return `${card.grade}. ${card.howToRead} Highest first: ${rows.join('; ')}. ${card.cautions.join(' ')}`;
}

function linesIn(text: string, { size, bold = false, width = INSIDE, first = '' }: TextStyle): readonly string[] {
  const columns = Math.floor(width / (size * (bold ? CHAR_BOLD : CHAR)));
  return wrapText(text, { width: columns, first });
}

function textLines(
  lines: readonly string[],
  { size, bold = false, colour = INK, x = EDGE }: TextStyle,
  top: number,
): string {
  const look = attributes({ 'font-size': size, fill: colour, 'font-weight': bold ? 700 : undefined });
  return lines
    .map((line, i) => {
      const indent = line.length - line.trimStart().length;
      const at = { x: x + indent * size * CHAR, y: top + (i + 0.78) * 1.25 * size };
      return `<text${attributes(at)}${look}>${escapeHtml(line.trimStart())}</text>\n`;
    })
    .join('');
}

function written(sheet: Sheet, text: string, { style, gap }: { style: TextStyle; gap: number }): Sheet {
  const lines = linesIn(text, style);
  const top = sheet.y + gap;
  return { y: top + lines.length * 1.25 * style.size, body: sheet.body + textLines(lines, style, top) };
}

/** Lines in a frame: the cautions, on ink or on paper. The first one is bold. */
function boxed(
  sheet: Sheet,
  texts: readonly string[],
  { ground, colour, gap }: { ground: string; colour: string; gap: number },
): Sheet {
  const top = sheet.y + gap;
  let inner: Sheet = { y: top + 5, body: '' };
  for (const [i, text] of texts.entries())
    inner = written(inner, text, {
      style: {
        size: 11.5,
        bold: i === 0,
        colour,
        x: EDGE + 8,
        width: INSIDE - 16,
        first: texts.length > 1 ? '• ' : '',
      },
      gap: i === 0 ? 0 : 1.5,
    });
  const frame = { x: EDGE, y: top, width: INSIDE, height: inner.y + 5 - top, fill: ground, stroke: INK };
  return {
    y: inner.y + 5,
    body: `${sheet.body}<rect${attributes({ ...frame, 'stroke-width': 1.5 })}/>\n${inner.body}`,
  };
}

const BLOCK = 38;
const LABEL_X = EDGE + BLOCK + 8;
const TEXT_X = EDGE + 150;
const ROW_PX = { class: 30, edge: 23, 'not-seen': 21 } as const;

function staff(sheet: Sheet, card: Card, fill: Fill): Sheet {
  let { y, body } = sheet;
  for (const row of card.rows) {
    const strong = row.value;
    const texts = [
      linesIn(row.label, { size: 12, bold: row.kind === 'class', width: TEXT_X - LABEL_X - 6 }),
      linesIn(strong === '' ? row.text : `${strong} ${row.text}`, { size: 12, width: CARD_WIDTH - EDGE - TEXT_X }),
    ];
    const height = Math.max(ROW_PX[row.kind], Math.max(...texts.map((lines) => lines.length)) * 15 + 6);
    body += block(row, { y, height, classes: card.classes, fill });
    const rule = { x1: LABEL_X - 4, x2: CARD_WIDTH - EDGE, stroke: RULE };
    if (row.kind === 'edge')
      body += `<line${attributes({ ...rule, y1: y, y2: y })}/>\n<line${attributes({ ...rule, y1: y + height, y2: y + height })}/>\n`;
    body += texts
      .map((lines, c) => {
        const start = y + (height - lines.length * 15) / 2;
        const bold = c === 0 && row.kind === 'class';
        return textLines(lines, { size: 12, bold, x: c === 0 ? LABEL_X : TEXT_X }, start).replace(
          c === 0 ? /$^/ : `>${escapeHtml(strong)} `,
          `><tspan font-weight="700">${escapeHtml(strong)}</tspan> `,
        );
      })
      .join('');
    y += height;
  }
  const frame = {
    x: EDGE,
    y: sheet.y,
    width: BLOCK,
    height: y - sheet.y,
    fill: 'none',
    stroke: INK,
    'stroke-width': 1.5,
  };
  return { y, body: `${body}<rect${attributes(frame)}/>\n` };
}

/** The piece of the painted staff in a row. */
function block(
  { kind, blocks }: LevelRow,
  { y, height, classes, fill }: { y: number; height: number; classes: number; fill: Fill },
): string {
  if (blocks.length === 0) {
    const hatch = { shape: '/', size: 8, solidity: 0.12, fgcolor: UNSEEN.line, bgcolor: UNSEEN.ground } as const;
    return `<rect${attributes({ x: EDGE, y, width: BLOCK, height, fill: fill(hatch, UNSEEN.ground) })}/>\n`;
  }
  const looks = classPalette(classes);
  const part = height / blocks.length;
  const pieces = blocks.map((k, i) => {
    const look = looks[k]!;
    const paint = fill({ ...look.pattern, fgcolor: look.mark, bgcolor: look.fill }, look.fill);
    return `<rect${attributes({ x: EDGE, y: y + i * part, width: BLOCK, height: part, fill: paint })}/>\n`;
  });
  const top = looks[blocks[0]!]!;
  const middle = [EDGE + BLOCK / 2, y + height / 2] as const;
  const mark =
    kind === 'class'
      ? svgMarks(
          { symbol: top.symbol.plotly, size: 11, color: top.ink, line: { color: top.ink, width: 0 } },
          [middle],
          fill,
        )
      : `<path d="M${px(EDGE)},${px(middle[1])}H${px(EDGE + BLOCK + 4)}"${attributes({ stroke: INK, 'stroke-width': 2 })}/>\n`;
  return pieces.join('') + mark;
}
