import { describe, expect, it } from 'vitest';
import { readFlaggedValue } from '../../src/read/rdbValue.js';
import { offsetOfZoneCode, ZONE_CODES } from '../../src/read/rdbZones.js';

describe('readFlaggedValue', () => {
  it.each([
    ['', 'A', NaN, 'A', false],
    ['Ice', 'P', NaN, 'P:Ice', false],
    ['Ice', 'P:Ice', NaN, 'P:Ice', false],
    ['Eqp', '', NaN, 'Eqp', false],
    ['***', 'P', NaN, 'P:***', false],
    ['--', '', NaN, '--', false],
    ['-999999', 'P Ice', NaN, 'P Ice', false],
    ['-999999.00', 'P', NaN, 'P', false],
    ['-123456E20', '', NaN, '', false],
    ['-150000', 'A', -150_000, 'A', false],
    ['350e', 'A', 350, 'A:e', false],
    ['350 e', 'A:e', 350, 'A:e', false],
    ['12.5_Eqp', 'P', 12.5, 'P:Eqp', false],
    ['<0.5', 'P', 0.5, 'P:<', false],
    ['> 1200', '', 1200, '>', false],
    ['1e3', 'A', 1000, 'A', false],
    ['12,5', 'A', NaN, 'A', true],
    ['12.5.1', 'A', NaN, 'A', true],
    ['unknown!', 'A', NaN, 'A', true],
    ['<', 'A', NaN, 'A', true],
  ])('%j with code %j', (cell, code, value, joined, unreadable) => {
    expect(readFlaggedValue(cell, code)).toEqual({ value, code: joined, unreadable });
  });
});

describe('zone codes', () => {
  // The IANA database as this platform prints it: a place and month in which the abbreviation is in force.
  const SHOWN: Readonly<Record<string, readonly [zone: string, month: number]>> = {
    UTC: ['UTC', 0],
    GMT: ['Europe/London', 0],
    EST: ['America/New_York', 0],
    EDT: ['America/New_York', 6],
    CST: ['America/Chicago', 0],
    CDT: ['America/Chicago', 6],
    MST: ['America/Denver', 0],
    MDT: ['America/Denver', 6],
    PST: ['America/Los_Angeles', 0],
    PDT: ['America/Los_Angeles', 6],
    AKST: ['America/Anchorage', 0],
    AKDT: ['America/Anchorage', 6],
    HST: ['Pacific/Honolulu', 0],
    HDT: ['America/Adak', 6],
    AST: ['America/Halifax', 0],
    ADT: ['America/Halifax', 6],
  };
  it('covers each code', () => {
    expect(Object.keys(SHOWN).sort()).toEqual([...ZONE_CODES].sort());
  });
  it.each(Object.entries(SHOWN))('%s is what the platform shows for %j', (code, [timeZone, month]) => {
    const at = Date.UTC(2024, month, 15, 12);
    const parts = (timeZoneName: 'short' | 'longOffset', locale: string) =>
      new Intl.DateTimeFormat(locale, { timeZone, timeZoneName })
        .formatToParts(at)
        .find(({ type }) => type === 'timeZoneName')!.value;
    // British English prints GMT, Canadian English the Atlantic names.
    const locale = code === 'GMT' ? 'en-GB' : code.startsWith('A') && !code.startsWith('AK') ? 'en-CA' : 'en-US';
    // The platform's name for the database's HDT has an A more.
    expect(parts('short', locale)).toBe(code === 'HDT' ? 'HADT' : code);
    const offset = parts('longOffset', 'en-US').replace(/^GMT$/, 'GMT+00:00').slice(3);
    expect(offsetOfZoneCode(code)).toBe(Date.UTC(2024, 0, 1) - Date.parse(`2024-01-01T00:00${offset}`));
  });
  it('does not guess at codes of several meanings, nor at property names', () => {
    for (const code of ['SST', 'GST', 'IST', 'est', '', 'constructor']) expect(offsetOfZoneCode(code), code).toBe(NaN);
  });
});
