import { stripVTControlCharacters } from 'node:util';

/*
 * C0 and C1 controls, DEL, and the marks that reorder or hide text (bidirectional overrides and isolates, zero-width
 * characters, line and paragraph separators): a name from a log must not be able to move the cursor or swap digits.
 */
const UNSEEN = /[\u0000-\u001f\u007f-\u009f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]/gu;

/**
 * Text from outside made safe for a terminal: escape sequences go, line ends and tabs become one space, other
 * control and invisible characters go.
 * @example plainText('Ada\u001b[31m\n') // 'Ada'
 */
export function plainText(text: string): string {
  return stripVTControlCharacters(text)
    .replace(/[\t\n\v\f\r]+/g, ' ')
    .replace(UNSEEN, '')
    .trim();
}

/** Every string inside a value (keys too) through `plainText`; numbers and the shape stay. */
export function plainStrings<T>(value: T): T {
  return clean(value) as T;
}

function clean(value: unknown): unknown {
  if (typeof value === 'string') return plainText(value);
  if (Array.isArray(value)) return typeof value[0] === 'number' ? value : value.map(clean);
  if (value !== null && typeof value === 'object')
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [plainText(key), clean(inner)]));
  return value;
}
