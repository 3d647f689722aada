import { describe, expect, it } from 'vitest';
import { declaredEncoding, decodeText } from '../../src/read/decodeText.js';
import { LIMITS } from '../../src/read/limits.js';

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
    const huge = { name: 'a.csv', bytes: { length: LIMITS.gaugeBytes + 1 } as Uint8Array };
    expect(decodeText(huge)).toMatchObject({
      issue: { code: 'limit-exceeded', found: '400,000,001 bytes', expected: 'at most 400,000,000' },
    });
  });
  it('finds the encoding an XML file declares', () => {
    const of = (text: string) => declaredEncoding(new TextEncoder().encode(text));
    expect(of('<?xml version="1.0" encoding="ISO-8859-1"?><a/>')).toBe('latin1');
    expect(of("<?xml version='1.0' encoding='utf-8'?><a/>")).toBe('utf-8');
    expect(of('<a encoding="latin1"/>')).toBe('utf-8');
  });
});
