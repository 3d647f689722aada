import { describe, expect, it } from 'vitest';
import { datePattern } from '../../src/read/datePattern.js';

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
