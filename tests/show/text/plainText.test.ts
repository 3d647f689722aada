import { describe, expect, it } from 'vitest';
import { plainStrings, plainText } from '../../../src/show/text/plainText.js';

describe('plainText', () => {
  it.each([
    ['a colour sequence', 'Ada\u001b[31m red\u001b[0m', 'Ada red'],
    ['a title sequence that would rename the window', '\u001b]0;owned\u0007Ada', 'Ada'],
    ['a one-byte control sequence introducer', 'Ada\u009b2J', 'Ada'],
    ['a bell, a backspace and a delete', 'A\u0007d\u0008a\u007f', 'Ada'],
    ['line ends and tabs, which become one space', 'Ada\r\n\tBo', 'Ada Bo'],
    ['a right-to-left override that would swap digits', '1\u202e23', '123'],
    ['isolates and zero-width characters', '\u2066A\u200bda\u2069\ufeff', 'Ada'],
    ['a line separator', 'A\u2028B', 'A B'],
    ['nothing of an ordinary name', 'Größer Bach, 120 ft³/s', 'Größer Bach, 120 ft³/s'],
  ])('takes out %s', (_, text, expected) => {
    expect(plainText(text)).toBe(expected);
  });

  it('leaves no control character whatever the input', () => {
    const every = Array.from({ length: 0x3000 }, (_, code) => String.fromCharCode(code)).join('');
    expect(plainText(every)).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/);
  });
});

describe('plainStrings', () => {
  it('reaches every string and key and keeps numbers, nulls and shape', () => {
    const dirty = { 'a\u0007': ['x\u001b[1m', { b: 'y\n' }], n: [1, 2], none: null, flag: true, gone: undefined };
    expect(plainStrings(dirty)).toEqual({ a: ['x', { b: 'y' }], n: [1, 2], none: null, flag: true, gone: undefined });
  });
});
