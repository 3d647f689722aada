/** Numbers that stand for "no value". Source: USGS documents -999999; the shorter and the older one are from memory. */
const NO_VALUE = new Set([-999_999, -99_999, -123_456e20]);

/**
 * A value cell of RDB that is no plain number: empty, a sentinel, a flag (`Ice`, `***`), a number with a flag glued to it (`350e`,
 * `12.5_Eqp`, `<0.5`), or text that is none of these. The flag joins the row's code unless it stands there already.
 * @example readFlaggedValue('Ice', 'P') // { value: NaN, code: 'P:Ice', unreadable: false }
 */
export function readFlaggedValue(
  cell: string,
  code: string,
): { readonly value: number; readonly code: string; readonly unreadable: boolean } {
  if (cell === '') return { value: NaN, code, unreadable: false };
  const parts = /^([<>])?\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)?[\s_]*(\*+|--|[A-Za-z&~]{1,6})?$/.exec(cell);
  if (parts === null) return { value: NaN, code, unreadable: true };
  const [, before, number, after] = parts;
  if (number === undefined && after === undefined) return { value: NaN, code, unreadable: true };
  const value = number === undefined ? NaN : Number(number);
  if (Math.abs(value) === Infinity) return { value: NaN, code, unreadable: true };
  const flags = [before, after].filter((flag) => flag !== undefined && !code.split(/[:;,\s]+/).includes(flag));
  return {
    value: NO_VALUE.has(value) ? NaN : value,
    code: [code, ...flags].filter((part) => part !== '').join(':'),
    unreadable: false,
  };
}
