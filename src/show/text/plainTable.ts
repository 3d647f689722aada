import { padText, textWidth, wrapText } from './wrapText.js';

/** One column: its heading, and whether its cells stand at the right (numbers). */
export interface PlainColumn {
  readonly heading: string;
  readonly right?: boolean;
}

const GAP = 2;

/**
 * A table in columns for a terminal, never wider than `width`: the first column gives way (its texts wrap, the second line on indented),
 * the others keep their room. Where not even that is enough, each row becomes lines of `heading: cell`.
 * @returns lines; none without rows.
 */
export function plainTable(
  columns: readonly PlainColumn[],
  rows: readonly (readonly string[])[],
  { width, indent = '' }: { width: number; indent?: string },
): readonly string[] {
  if (rows.length === 0) return [];
  const all = [columns.map(({ heading }) => heading), ...rows];
  const widths = columns.map((_, c) => Math.max(...all.map((row) => textWidth(row[c] ?? ''))));
  const others = widths.slice(1).reduce((sum, w) => sum + w + GAP, 0);
  const room = width - textWidth(indent) - others;
  if (room < Math.min(widths[0]!, 10))
    return rows.flatMap((row) =>
      wrapText(columns.map(({ heading }, c) => (heading === '' ? row[c] : `${heading}: ${row[c]}`)).join('; '), {
        width,
        first: indent,
        rest: `${indent}  `,
      }),
    );
  const first = Math.min(widths[0]!, room);
  return all.flatMap((row) => {
    const head = wrapText(row[0] ?? '', {
      width: first,
      rest: textWidth(row[0] ?? '') > first && first > 2 * GAP ? ' '.repeat(GAP) : '',
    });
    const rest = row
      .slice(1)
      .map((cell, c) => ' '.repeat(GAP) + padText(cell, widths[c + 1]!, { left: columns[c + 1]!.right === true }));
    return head.map((line, i) =>
      (
        indent +
        padText(line, first, { left: columns[0]!.right === true }) +
        (i < head.length - 1 ? '' : rest.join(''))
      ).trimEnd(),
    );
  });
}
