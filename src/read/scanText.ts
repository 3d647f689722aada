/** Small readers of a piece `text[from, to)` of a long text. They look at characters and allocate nothing, so a million rows stay cheap. */

const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

/** First index in [from, to) that is no blank or tab; `to` where all are. */
export function skipBlanks(text: string, from: number, to: number): number {
  while (from < to && isBlank(text.charCodeAt(from))) from++;
  return from;
}

/** One past the last index in [from, to) that is no blank or tab. */
export function dropBlanks(text: string, from: number, to: number): number {
  while (to > from && isBlank(text.charCodeAt(to - 1))) to--;
  return to;
}

function isBlank(code: number): boolean {
  return code === 32 || code === 9 || code === 0xa0;
}

/**
 * The decimal number that fills `text[from, to)`, blanks around it allowed: sign, digits, one decimal mark, exponent. NaN for anything else
 * (also for `NaN`, `0x10`, `1,234.5`, an empty piece).
 *
 * Up to 15 digits the value is integer ÷ power of ten, both exact in a double, so the quotient is the nearest double: the same as Number().
 */
export function scanNumber(text: string, from: number, to: number, decimalMark: '.' | ',' = '.'): number {
  const start = skipBlanks(text, from, to);
  const end = dropBlanks(text, start, to);
  const mark = decimalMark === '.' ? 46 : 44;
  let at = start;
  const sign = text.charCodeAt(at);
  if (at < end && (sign === 45 || sign === 43)) at++;
  let mantissa = 0;
  let count = 0;
  let decimals = -1;
  for (; at < end; at++) {
    const code = text.charCodeAt(at);
    if (code >= 48 && code <= 57) {
      mantissa = mantissa * 10 + (code - 48);
      count++;
      if (decimals >= 0) decimals++;
    } else if (code === mark && decimals < 0) decimals = 0;
    else break;
  }
  if (count === 0) return NaN;
  if (at === end && count <= 15) {
    const size = decimals > 0 ? mantissa / POWERS_OF_TEN[decimals]! : mantissa;
    return sign === 45 ? -size : size;
  }
  // Rare: an exponent or more digits than a double holds. The pattern keeps out what Number() would let through.
  let piece = text.slice(start, end);
  if (mark === 44) piece = piece.includes('.') ? '' : piece.replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d{1,3})?$/i.test(piece) ? finite(Number(piece)) : NaN;
}

function finite(value: number): number {
  return Number.isFinite(value) ? value : NaN;
}

/** Gives out one shared string per distinct piece of text: a million quality codes cost as many pointers, not as many strings. */
export function sharedStrings(): (text: string, from: number, to: number) => string {
  const known = new Map<string, string>();
  let last = '';
  return (text, from, to) => {
    if (to <= from) return '';
    if (to - from === last.length && text.startsWith(last, from)) return last;
    const piece = text.slice(from, to);
    const shared = known.get(piece);
    if (shared !== undefined) return (last = shared);
    // A slice keeps the whole file text alive; joining through an array makes a copy of its own.
    last = [...piece].join('');
    known.set(last, last);
    return last;
  };
}
