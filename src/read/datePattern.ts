import { clockMs, dateMs, scanIso, type IsoTime } from '../series/isoTime.js';

/** Reads `text[from, to)` as a time and fills `out`; false where it is none. */
export type ScanTime = (text: string, from: number, to: number, out: IsoTime) => boolean;

type Step =
  | { readonly kind: 'yyyy' | 'yy' | 'MM' | 'dd' | 'HH' | 'mm' | 'ss' }
  | { readonly kind: 'literal'; readonly code: number };

/**
 * A reader for a date pattern made of yyyy MM dd HH mm ss and separators, e.g. `dd/MM/yyyy HH:mm:ss`; `iso` gives the ISO 8601 reader.
 * yyyy takes four digits, yy two (69 to 99 are 1969 to 1999, as POSIX strptime has it); the others two, or one where a separator or the end
 * follows (`1/5/2015 9:15`). A pattern without HH reads calendar dates. There is no guessing between day and month: the pattern says it.
 *
 * @throws RangeError when the pattern lacks yyyy, MM or dd, repeats a part, or has minutes without hours
 * @example datePattern('dd/MM/yyyy HH:mm')('28/04/2024 14:30', 0, 16, out) // true, out.localMs = Date.UTC(2024, 3, 28, 14, 30)
 */
export function datePattern(pattern: string): ScanTime {
  if (pattern === 'iso') return scanIso;
  const steps: Step[] = (pattern.match(/yyyy|yy|MM|dd|HH|mm|ss|[\s\S]/g) ?? []).map((part) =>
    part.length > 1 ? { kind: part as 'yyyy' } : { kind: 'literal', code: part.charCodeAt(0) },
  );
  const parts: string[] = steps.map((step) => step.kind).filter((kind) => kind !== 'literal');
  const has = (part: (typeof ORDER)[number]) => parts.includes(part);
  if (
    !(has('yyyy') !== has('yy') && has('MM') && has('dd')) ||
    new Set(parts).size < parts.length ||
    (has('mm') && !has('HH')) ||
    (has('ss') && !has('mm')) ||
    steps.some(
      (step) => step.kind === 'literal' && /[a-z0-9]/i.test(String.fromCharCode(step.code)) && step.code !== 84,
    )
  )
    throw new RangeError(
      `datePattern: '${pattern}' is no date pattern; make it of yyyy MM dd and, where there is a clock, HH mm ss, e.g. dd/MM/yyyy HH:mm`,
    );
  const kinds = Int32Array.from(steps, (step) => ORDER.indexOf(step.kind as 'yyyy'));
  const literals = Int32Array.from(steps, (step) => (step.kind === 'literal' ? step.code : -1));
  const dateOnly = !has('HH');
  const shortYear = has('yy');
  const found = new Int32Array(ORDER.length);

  return (text, from, to, out) => {
    let at = from;
    found.fill(0);
    for (let s = 0; s < kinds.length; s++) {
      const kind = kinds[s]!;
      if (kind < 0) {
        if (at >= to || text.charCodeAt(at) !== literals[s]!) return false;
        at++;
        continue;
      }
      const widest = kind === 0 ? 4 : 2;
      let n = 0;
      let count = 0;
      for (; count < widest && at < to; count++, at++) {
        const d = text.charCodeAt(at) - 48;
        if (!(d >= 0 && d <= 9)) break;
        n = n * 10 + d;
      }
      const mayBeShort = kind !== 0 && kind !== SHORT_YEAR && (s + 1 === kinds.length || kinds[s + 1]! < 0);
      if (count < widest && !(count === 1 && mayBeShort)) return false;
      found[kind] = n;
    }
    if (at !== to) return false;
    const short = found[SHORT_YEAR]!;
    const year = shortYear ? short + (short >= 69 ? 1900 : 2000) : found[0]!;
    const ms = dateMs(year, found[1]!, found[2]!) + clockMs(found[3]!, found[4]!, found[5]!);
    if (!(ms === ms)) return false;
    out.localMs = ms;
    out.offsetMs = NaN;
    out.dateOnly = dateOnly;
    return true;
  };
}

/** The pattern with day and month exchanged; undefined where the year stands first, as nobody writes year, day, month. */
export function swappedPattern(pattern: string): string | undefined {
  if (pattern === 'iso' || pattern.indexOf('yy') < pattern.indexOf('MM')) return undefined;
  return pattern.replace('dd', '\u0000').replace('MM', 'dd').replace('\u0000', 'MM');
}

const ORDER = ['yyyy', 'MM', 'dd', 'HH', 'mm', 'ss', 'yy'] as const;
const SHORT_YEAR = ORDER.indexOf('yy');
