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
  const plain = plainUnit(text);
  for (const [unit, spellings] of Object.entries(SPELLINGS)) if (spellings.includes(plain)) return unit as GaugeUnit;
  return undefined;
}

/** Units of other things, and of ours in sizes that no gauge of creek.json has; spelt as in `SPELLINGS`. */
const OTHER_UNITS = new Set(
  (
    'mm in inch inches km km3 m3/h m3/hr m3/d m3/day dam3 ml/d ml/day mld kl/s kl/d l/min l/h gpm gal/min galpermin mgd mgal/d ' +
    'ac-ft/d acre-ft acft/day kcfs tcfs m3 ft3 l c f degc degf °c °f % ppm mg/l us/cm ms/cm ntu ph m/s ft/s km2 mi2 mbar hpa'
  ).split(' '),
);

/**
 * The unit that a column name carries in brackets, as written: `Value[m³/s]`, `Flow (cfs)`, also one that is none of ours, as `Flow
 * (ML/d)`; undefined where the brackets hold no unit.
 */
export function unitInBrackets(column: string): string | undefined {
  const inside = /[[(]([^\])]*)[\])]\s*$/.exec(column)?.[1];
  if (inside === undefined) return undefined;
  return unitFromText(inside) !== undefined || OTHER_UNITS.has(plainUnit(inside)) ? inside : undefined;
}

function plainUnit(text: string): string {
  return text
    .replace(/&(amp;)?#179;/g, '3')
    .replace(/³/g, '3')
    .toLowerCase()
    .replace(/[\s^.*]/g, '');
}
