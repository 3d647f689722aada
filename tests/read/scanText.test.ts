import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scanNumber, sharedStrings } from '../../src/read/scanText.js';

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

describe('sharedStrings', () => {
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
});
