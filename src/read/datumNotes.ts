import type { RawSeries } from '../series/gaugeRecord.js';

const THING = /\b(datum|gage|gauge|sensor|staff|station|zero)\b/i;
const CHANGE =
  /\b(chang\w*|moved|relocat\w*|shift\w*|lower(ed|ing)|rais(ed|ing)|re-?survey\w*|re-?level\w*|new datum|re-?set)\b/i;
const ISO_DATE = /\b(1[89]\d\d|20\d\d|21\d\d)-(\d\d)-(\d\d)\b/g;

/**
 * What the remarks of a file say about a change of the gauge's datum or place: lines that name both the thing and the change, and either
 * the datum or a date.
 * @example datumNotes(['# Datum of gage lowered 0.50 ft on 2019-10-01']).datumNotes // that line
 */
export function datumNotes(lines: readonly string[]): Pick<RawSeries, 'datumNotes'> {
  const found = lines.filter(
    (line) => THING.test(line) && CHANGE.test(line) && (/\bdatum\b/i.test(line) || datesIn(line).length > 0),
  );
  return found.length === 0 ? {} : { datumNotes: Object.freeze(found.map((line) => line.trim().slice(0, 200))) };
}

/** The ISO dates in a remark, as written. */
export function datesIn(line: string): readonly string[] {
  return line.match(ISO_DATE) ?? [];
}
