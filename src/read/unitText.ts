import type { GaugeUnit } from '../series/units.js';

/** Spellings of a unit met in official files, after lower-casing, with ³ as 3 and without blanks, carets, dots and asterisks. */
const SPELLINGS: Readonly<Record<GaugeUnit, readonly string[]>> = {
  'ft3/s': [
    'ft3/s',
    'ft3/sec',
    'ft3s-1',
    'cfs',
    'cubicfeetpersecond',
    'cubicfootpersecond',
    '[ft_i]3/s',
    '[cft_i]/s',
    'feet3/s',
  ],
  'm3/s': [
    'm3/s',
    'm3/sec',
    'm3s-1',
    'cms',
    'cumec',
    'cumecs',
    'cubicmeterspersecond',
    'cubicmetrespersecond',
    'cubicmeterpersecond',
    'cubicmetrepersecond',
  ],
  'L/s': ['l/s', 'l/sec', 'ls-1', 'literspersecond', 'litrespersecond', 'literpersecond', 'litrepersecond'],
  ft: ['ft', 'feet', 'foot', '[ft_i]'],
  m: ['m', 'meter', 'meters', 'metre', 'metres'],
  cm: ['cm', 'centimeter', 'centimeters', 'centimetre', 'centimetres'],
};

/**
 * The unit that a text from a file names, or undefined where it names none of ours (a temperature, a rainfall).
 * @example unitFromText('ft³/s') // 'ft3/s'
 */
export function unitFromText(text: string): GaugeUnit | undefined {
  const plain = text
    .replace(/&(amp;)?#179;/g, '3')
    .replace(/³/g, '3')
    .toLowerCase()
    .replace(/[\s^.*]/g, '');
  for (const [unit, spellings] of Object.entries(SPELLINGS)) if (spellings.includes(plain)) return unit as GaugeUnit;
  return undefined;
}

/** The unit that a column name carries in brackets, as written: `Value[m³/s]`, `Flow (cfs)`; undefined where the brackets hold no unit of ours. */
export function unitInBrackets(column: string): string | undefined {
  const inside = /[[(]([^\])]*)[\])]\s*$/.exec(column)?.[1];
  return inside !== undefined && unitFromText(inside) !== undefined ? inside : undefined;
}
