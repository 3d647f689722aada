import stringWidth from 'string-width';

/** Columns that a text takes in a terminal (wide characters take two). */
export function textWidth(text: string): number {
  return stringWidth(text);
}

/** Spaces up to `width` columns after the text, or before it with `left`. */
export function padText(text: string, width: number, { left = false }: { left?: boolean } = {}): string {
  const gap = ' '.repeat(Math.max(0, width - textWidth(text)));
  return left ? gap + text : text + gap;
}

/**
 * Lines of at most `width` columns, broken at spaces; a single longer word is cut. The first line begins with `first`,
 * the others with `rest` (default: as many spaces).
 * @example wrapText('a long line', { width: 8, first: '- ' }) // ['- a long', '  line']
 */
export function wrapText(
  text: string,
  { width, first = '', rest }: { width: number; first?: string; rest?: string },
): string[] {
  const indent = rest ?? ' '.repeat(textWidth(first));
  const lines: string[] = [];
  let line = first;
  let empty = true;
  for (const word of text.split(' ').filter((w) => w !== '')) {
    for (const piece of cut(word, Math.max(8, width - textWidth(indent)))) {
      if (!empty && textWidth(line) + 1 + textWidth(piece) > width) {
        lines.push(line);
        line = indent;
        empty = true;
      }
      line += empty ? piece : ` ${piece}`;
      empty = false;
    }
  }
  return [...lines, line.trimEnd()];
}

function cut(word: string, width: number): string[] {
  if (textWidth(word) <= width) return [word];
  const pieces: string[] = [];
  let piece = '';
  for (const character of word) {
    if (textWidth(piece + character) > width) {
      pieces.push(piece);
      piece = '';
    }
    piece += character;
  }
  return [...pieces, piece];
}
