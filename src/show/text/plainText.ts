import { stripVTControlCharacters } from 'node:util';
import { withoutUnseen } from '../../series/unseen.js';

/**
 * Text from outside made safe for a terminal: escape sequences go, line ends and tabs become one space, other
 * control and invisible characters go.
 * @example plainText('Ada\u001b[31m\n') // 'Ada'
 */
export function plainText(text: string): string {
  return withoutUnseen(stripVTControlCharacters(text).replace(/[\t\n\v\f\r\u0085\u2028\u2029]+/g, ' ')).trim();
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
