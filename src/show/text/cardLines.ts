import { answerWords } from '../../tell/answerWords.js';
import type { Card } from '../../tell/document.js';
import { padText, textWidth, wrapText } from './wrapText.js';

/** The answer for one run in a few lines; the edges of both units stand below each other. @param card texts made plain. */
export function cardLines(card: Card, { width, bold }: { width: number; bold: (text: string) => string }): string[] {
  const wrap = (text: string) => wrapText(text, { width, first: '  ' });
  const { read, scales, classes, trust, seen, season } = answerWords(card);
  const edgeWidth = (k: number) => Math.max(...scales.map(({ edges }) => textWidth(edges[k]!)));
  const unitWidth = Math.max(...scales.map(({ unit }) => textWidth(unit)));
  const lines = scales.map(({ unit, edges }) => {
    const words = classes.map((word, k) =>
      k === edges.length ? word : `${word} |${padText(edges[k]!, edgeWidth(k), { left: true })}| `,
    );
    return `  ${padText(unit, unitWidth)}  ${words.join('')}`;
  });
  return [
    ...wrap(read).map((line) => (scales.length === 0 ? bold(line) : line)),
    ...lines.flatMap((line) => (textWidth(line) <= width ? [line] : wrap(line))).map(bold),
    ...wrap(trust),
    ...wrap(seen),
    ...(season === '' ? [] : wrap(season)),
  ];
}
