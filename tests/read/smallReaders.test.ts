import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { datePattern } from '../../src/read/datePattern.js';
import { declaredEncoding, decodeText, MOST_BYTES } from '../../src/read/decodeText.js';
import { issueLog } from '../../src/read/issueLog.js';
import { nearestWord } from '../../src/read/nearestWord.js';
import { pathProblem } from '../../src/read/pathInside.js';
import { readFlaggedValue } from '../../src/read/rdbValue.js';
import { offsetOfZoneCode, ZONE_CODES } from '../../src/read/rdbZones.js';
import { usualStepMs, widestGapMs } from '../../src/read/recordSpacing.js';
import { countLines, scanNumber, sharedStrings } from '../../src/read/scanText.js';
import { unitFromText, unitInBrackets } from '../../src/read/unitText.js';
import type { Issue } from '../../src/series/issue.js';

const number = (text: string, mark?: '.' | ',') => scanNumber(text, 0, text.length, mark);

describe('scanNumber', () => {
  it('reads exactly what Number() reads of decimals, to the last bit', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, min: -1e300, max: 1e300 }),
        fc.integer({ min: 0, max: 12 }),
        (value, digits) => {
          for (const text of [String(value), value.toFixed(Math.min(digits, 12)), value.toExponential(digits)])
            expect(number(text), text).toBe(Number(text));
        },
      ),
      { seed: 1, numRuns: 2000 },
    );
    fc.assert(
      fc.property(
        fc.integer({ min: -999_999_999_999_999, max: 999_999_999_999_999 }),
        fc.integer({ min: 0, max: 15 }),
        (digits, decimals) => {
          const plain = String(Math.abs(digits)).padStart(decimals + 1, '0');
          const text = `${digits < 0 ? '-' : ''}${plain.slice(0, plain.length - decimals)}.${plain.slice(plain.length - decimals)}`;
          expect(number(text), text).toBe(Number(text));
        },
      ),
      { seed: 2, numRuns: 2000 },
    );
  });

  it('allows blanks around, a sign, a bare point on either side', () => {
    expect([' 12.5 ', '+3', '-.5', '7.', '1e3', '1.5E-2'].map((text) => number(text))).toEqual([
      12.5, 3, -0.5, 7, 1000, 0.015,
    ]);
  });

  it.each([
    '',
    ' ',
    '.',
    '-',
    '1.2.3',
    '1,234.5',
    '12 5',
    '0x10',
    'NaN',
    'Infinity',
    '1e',
    '1e999',
    '12m',
    '١٢',
    '1_000',
  ])('does not read %j', (text) => {
    expect(number(text)).toBe(NaN);
  });

  it('reads a decimal comma only where it is asked for, and then no point', () => {
    expect(number('23,5', ',')).toBe(23.5);
    expect(number('23,5')).toBe(NaN);
    expect(['1.5', '1.234,5', '1.5e3', '1.2345678901234567'].map((text) => number(text, ','))).toEqual([
      NaN,
      NaN,
      NaN,
      NaN,
    ]);
    expect(number('1,2345678901234567', ',')).toBe(1.2345678901234567);
  });

  it('looks only at its own piece of the text', () => {
    expect(scanNumber('12345', 1, 3)).toBe(23);
    expect(scanNumber('-5', 1, 2)).toBe(5);
  });
});

describe('sharedStrings and countLines', () => {
  it('gives one string per distinct piece', () => {
    const share = sharedStrings();
    const text = 'A,P,A,G;WR';
    expect([share(text, 0, 1), share(text, 2, 3), share(text, 4, 5), share(text, 6, 10), share(text, 6, 6)]).toEqual([
      'A',
      'P',
      'A',
      'G;WR',
      '',
    ]);
  });
  it('is not fooled by a longer last piece', () => {
    const share = sharedStrings();
    expect(share('AP', 0, 2)).toBe('AP');
    expect(share('A', 0, 1)).toBe('A');
    expect(share('AP', 0, 1)).toBe('A');
  });
  it('counts a last line without a line break', () => {
    expect([countLines(''), countLines('a'), countLines('a\n'), countLines('a\nb')]).toEqual([1, 1, 2, 2]);
  });
});

describe('datePattern', () => {
  const read = (pattern: string, text: string) => {
    const out = { localMs: NaN, offsetMs: 0, dateOnly: false };
    return datePattern(pattern)(text, 0, text.length, out)
      ? `${new Date(out.localMs).toISOString().slice(0, 19)}${out.dateOnly ? ' day' : ''}`
      : 'no';
  };
  it('reads day-first, month-first and joined forms as the pattern says', () => {
    expect(read('dd/MM/yyyy HH:mm:ss', '01/12/2012 23:45:10')).toBe('2012-12-01T23:45:10');
    expect(read('MM/dd/yyyy HH:mm', '01/12/2012 23:45')).toBe('2012-01-12T23:45:00');
    expect(read('yyyyMMddHHmm', '202402291430')).toBe('2024-02-29T14:30:00');
    expect(read('dd.MM.yyyy', '29.02.2024')).toBe('2024-02-29T00:00:00 day');
    expect(read('yyyy-MM-ddTHH:mm', '2024-02-29T14:30')).toBe('2024-02-29T14:30:00');
  });
  it('takes one digit where a separator follows, and not where digits run on', () => {
    expect(read('dd/MM/yyyy HH:mm', '1/5/2015 9:15')).toBe('2015-05-01T09:15:00');
    expect(read('yyyyMMdd', '2024021')).toBe('2024-02-01T00:00:00 day');
    expect(read('ddMMyyyy', '1022024')).toBe('no');
  });
  it('refuses what does not exist or does not fit to the end', () => {
    expect(read('dd/MM/yyyy', '31/04/2024')).toBe('no');
    expect(read('dd/MM/yyyy', '13/13/2024')).toBe('no');
    expect(read('dd/MM/yyyy', '01/04/24')).toBe('no');
    expect(read('dd/MM/yyyy', '01/04/2024 12:00')).toBe('no');
    expect(read('dd/MM/yyyy HH:mm', '01/04/2024')).toBe('no');
    expect(read('dd/MM/yyyy HH:mm', '01/04/2024 24:30')).toBe('no');
  });
  it.each([
    '',
    'dd/MM',
    'yyyy-MM',
    'dd/MM/yyyy mm:ss',
    'dd/MM/yyyy HH:ss',
    'yyyy-MM-dd yyyy',
    'DD/MM/YYYY',
    'dd/MM/yyyy hh:mm a',
  ])('does not take %j for a pattern', (pattern) => {
    expect(() => datePattern(pattern)).toThrow(
      `datePattern: '${pattern}' is no date pattern; make it of yyyy MM dd and, where there is a clock, HH mm ss, e.g. dd/MM/yyyy HH:mm`,
    );
  });
});

describe('nearestWord', () => {
  const classes = ['too low', 'low', 'good', 'high', 'too high'];
  it.each([
    ['hgih', 'high'],
    ['god', 'good'],
    ['too hihg', 'too high'],
    ['TOO LOW', 'too low'],
    ['lo', 'low'],
    ['toolow', 'too low'],
  ])('%j is near %j', (typed, meant) => {
    expect(nearestWord(typed, classes)).toBe(meant);
  });
  it.each(['', 'brown', 'xyz', 'medium'])('%j is near none', (typed) => {
    expect(nearestWord(typed, classes)).toBeUndefined();
  });
  it('does not explode on a long text', () => {
    expect(nearestWord('x'.repeat(100_000), classes)).toBeUndefined();
  });
});

describe('decodeText', () => {
  const file = (...bytes: number[]) => ({ name: 'a.csv', bytes: Uint8Array.from(bytes) });
  it('drops a byte-order mark in either encoding', () => {
    expect(decodeText(file(0xef, 0xbb, 0xbf, 0x61))).toEqual({ text: 'a' });
    expect(decodeText(file(0xef, 0xbb, 0xbf, 0x61), { encoding: 'latin1' })).toEqual({ text: 'a' });
  });
  it('reads Latin-1 only when told to', () => {
    expect(decodeText(file(0x6d, 0xb3), { encoding: 'latin1' })).toEqual({ text: 'm³' });
    expect(decodeText(file(0x6d, 0xb3))).toEqual({
      issue: {
        code: 'file-unreadable',
        severity: 'fatal',
        file: 'a.csv',
        found: 'bytes that are not UTF-8',
        expected: 'UTF-8 text',
        hint: "Save the file as UTF-8; for a delimited gauge file, set encoding to 'latin1' if that is what it is.",
      },
    });
  });
  it('says UTF-16 for UTF-16, with and without a mark', () => {
    for (const bytes of [file(0xff, 0xfe, 0x61, 0), file(0xfe, 0xff, 0, 0x61), file(0x61, 0, 0x62, 0)])
      expect(decodeText(bytes)).toMatchObject({ issue: { found: 'UTF-16 text' } });
  });
  it('refuses a file that would not fit', () => {
    const huge = { name: 'a.csv', bytes: { length: MOST_BYTES + 1 } as Uint8Array };
    expect(decodeText(huge)).toMatchObject({
      issue: { code: 'limit-exceeded', found: '400000001 bytes', expected: 'at most 400000000' },
    });
  });
  it('finds the encoding an XML file declares', () => {
    const of = (text: string) => declaredEncoding(new TextEncoder().encode(text));
    expect(of('<?xml version="1.0" encoding="ISO-8859-1"?><a/>')).toBe('latin1');
    expect(of("<?xml version='1.0' encoding='utf-8'?><a/>")).toBe('utf-8');
    expect(of('<a encoding="latin1"/>')).toBe('utf-8');
  });
});

describe('issueLog', () => {
  const issue = (row: number | undefined, found = 'no value', code: Issue['code'] = 'value-missing'): Issue => ({
    code,
    severity: 'warning',
    file: 'a.csv',
    ...(row !== undefined && { row }),
    found,
  });
  const folded = (...issues: Issue[]) => {
    const log = issueLog();
    issues.forEach(log.add);
    return log.issues().map(({ row, found, count }) => [row, found, count ?? 1]);
  };
  it('folds equal neighbours, and only those', () => {
    expect(folded(issue(5), issue(6), issue(7), issue(9), issue(10, 'x'), issue(11))).toEqual([
      [5, 'no value', 3],
      [9, 'no value', 1],
      [10, 'x', 1],
      [11, 'no value', 1],
    ]);
  });
  it('folds through issues of another code in between', () => {
    expect(folded(issue(5), issue(5, 'y', 'not-positive'), issue(6), issue(6, 'y', 'not-positive'))).toEqual([
      [5, 'no value', 2],
      [5, 'y', 2],
    ]);
  });
  it('folds issues without a row by their words, and adds counts', () => {
    expect(folded({ ...issue(undefined), count: 3 }, { ...issue(undefined), count: 2 })).toEqual([
      [undefined, 'no value', 5],
    ]);
  });
  it('stays small on a file that is broken throughout, and still counts every row', () => {
    const log = issueLog();
    for (let row = 1; row <= 20_000; row += 2) log.add(issue(row, `'${row}'`));
    expect(log.issues().length).toBe(2000);
    expect(log.issues().reduce((sum, one) => sum + (one.count ?? 1), 0)).toBe(10_000);
    expect(log.issues().at(-1)!.hint).toBe('This row and further ones with other causes, too many to list one by one.');
  });
});

describe('pathProblem', () => {
  it.each(['a.csv', 'gauges/a.csv', 'gauges/2024/a b.csv', 'gauges/..a', 'gauges/a..b.csv', 'Zürich.csv'])(
    'allows %j',
    (path) => {
      expect(pathProblem(path)).toBeUndefined();
    },
  );
  it.each([
    ['/etc/passwd', 'which is absolute'],
    ['C:/a.csv', 'which is absolute'],
    ['c:a.csv', 'which is absolute'],
    ['../a.csv', "which climbs out with '..'"],
    ['gauges/../../a.csv', "which climbs out with '..'"],
    ['gauges/..', "which climbs out with '..'"],
    ['..\\a.csv', 'which holds a backslash'],
    ['gauges\\a.csv', 'which holds a backslash'],
    ['\\\\server\\a.csv', 'which holds a backslash'],
    ['~/a.csv', 'which starts in a home folder'],
    ['./a.csv', "which has an empty or '.' part"],
    ['gauges//a.csv', "which has an empty or '.' part"],
    ['gauges/', "which has an empty or '.' part"],
    ['a\0.csv', 'which holds a control character'],
    ['gauges/.. /a.csv', 'which has a part that ends with a blank or a point'],
    ['gauges/a.', 'which has a part that ends with a blank or a point'],
  ])('refuses %j', (path, why) => {
    expect(pathProblem(path)).toBe(why);
  });
});

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

describe('units in files', () => {
  it.each([
    ['ft3/s', 'ft3/s'],
    ['ft³/s', 'ft3/s'],
    ['ft&#179;/s', 'ft3/s'],
    ['ft&amp;#179;/s', 'ft3/s'],
    ['ft^3/s', 'ft3/s'],
    ['CFS', 'ft3/s'],
    ['cubic feet per second', 'ft3/s'],
    ['m³/s', 'm3/s'],
    ['m3 s-1', 'm3/s'],
    ['cubic metres per second', 'm3/s'],
    ['l/s', 'L/s'],
    ['feet', 'ft'],
    ['m', 'm'],
    ['cm', 'cm'],
  ])('%j is %s', (text, unit) => {
    expect(unitFromText(text)).toBe(unit);
  });
  it.each(['', 'deg C', 'mm', 'km', 'mg/L', 'uS/cm @25C', 'ft3', 'constructor'])('%j is none of ours', (text) => {
    expect(unitFromText(text)).toBeUndefined();
  });
  it('finds a unit in the brackets of a column name, and no other bracket', () => {
    expect(unitInBrackets('Value[m³/s]')).toBe('m³/s');
    expect(unitInBrackets('Flow (cfs)')).toBe('cfs');
    expect(unitInBrackets('Value[mAOD]')).toBeUndefined();
    expect(unitInBrackets('value')).toBeUndefined();
  });
});

describe('spacing of a record', () => {
  const HOUR = 3_600_000;
  it('takes the median step, unmoved by a gap', () => {
    expect(usualStepMs(Float64Array.of(0, 900, 1800, 2700, 90_000))).toBe(900);
    expect(usualStepMs(Float64Array.of(0, 10, 30))).toBe(15);
    expect(usualStepMs(Float64Array.of(5))).toBe(NaN);
    expect(usualStepMs(new Float64Array())).toBe(NaN);
  });
  it('bridges 3 steps, at least 2 h and at most 6 h; 3 steps of a daily record; what creek.json says', () => {
    expect([0.25, 0.5, 1, 1.5, 3, 6].map((hours) => widestGapMs(hours * HOUR) / HOUR)).toEqual([2, 2, 3, 4.5, 6, 6]);
    expect(widestGapMs(24 * HOUR) / HOUR).toBe(72);
    expect(widestGapMs(NaN) / HOUR).toBe(2);
    expect(widestGapMs(24 * HOUR, 5) / HOUR).toBe(5);
  });
});
