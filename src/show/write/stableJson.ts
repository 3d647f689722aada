import { unseenEscaped } from '../../series/unseen.js';

/**
 * A value as JSON with the same bytes every time: keys in alphabetical order, `undefined` left out, NaN and infinities
 * null, -0 as 0, rows of plain values on one line, a line end at the end.
 * @example stableJson({ b: [1, 2], a: undefined }) // '{\n  "b": [1, 2]\n}\n'
 */
export function stableJson(value: unknown): string {
  return `${write(value, '')}\n`;
}

function write(value: unknown, indent: string): string {
  if (value === null || typeof value !== 'object') return plain(value);
  const inner = `${indent}  `;
  if (Array.isArray(value) || ArrayBuffer.isView(value)) {
    const items = Array.from(value as ArrayLike<unknown>);
    if (items.every((item) => item === null || typeof item !== 'object')) return `[${items.map(plain).join(', ')}]`;
    return `[\n${items.map((item) => inner + write(item, inner)).join(',\n')}\n${indent}]`;
  }
  const entries = Object.entries(value)
    .filter(([, item]) => item !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, item]) => `${inner}${plain(key)}: ${write(item, inner)}`);
  return entries.length === 0 ? '{}' : `{\n${entries.join(',\n')}\n${indent}}`;
}

function plain(value: unknown): string {
  if (typeof value === 'number') return JSON.stringify(value === 0 ? 0 : value);
  // Legal in JSON, but a terminal that shows the file would act on them.
  return unseenEscaped(JSON.stringify(value) ?? 'null');
}
