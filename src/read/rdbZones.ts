/**
 * Hours from UTC of the zone codes met in the `tz_cd` column. Each names one fixed offset (EST all year is UTC−5), so a row's code settles
 * its hour even in the doubled one. Only codes with one meaning are here: SST, GST and their like stand for several zones of the world, and
 * a row that carries one is listed and not used.
 *
 * Source: IANA time zone database, abbreviations of the North American zones (checked against the running database in the tests).
 */
const HOURS: Readonly<Record<string, number>> = {
  UTC: 0,
  GMT: 0,
  AST: -4,
  ADT: -3,
  EST: -5,
  EDT: -4,
  CST: -6,
  CDT: -5,
  MST: -7,
  MDT: -6,
  PST: -8,
  PDT: -7,
  AKST: -9,
  AKDT: -8,
  HST: -10,
  HDT: -9,
};

/** The codes known, for messages and tests. */
export const ZONE_CODES: readonly string[] = Object.freeze(Object.keys(HOURS));

/** Offset from UTC in ms of a `tz_cd` code (case as written); NaN for a code not on the list. */
export function offsetOfZoneCode(code: string): number {
  return Object.hasOwn(HOURS, code) ? HOURS[code]! * 3_600_000 : NaN;
}
