import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unseenEscaped, withoutUnseen } from '../../src/series/unseen.js';

describe('characters that show nothing and act', () => {
  it('go: controls, marks that reorder, zero-width, fillers, tags, separators', () => {
    const all =
      '\u0000\u0008\u001b\u007f\u009b\u00ad\u034f\u061c\u115f\u180e\u200b\u200d\u200f\u2028\u202e\u2060\u2069\u3164\ufeff\ufffb\u{e0041}';
    expect(withoutUnseen(`a${[...all].join('b')}c`)).toBe(`a${'b'.repeat([...all].length - 1)}c`);
  });
  it('leave letters of every script, accents, pictures, blanks, tabs and line ends', () => {
    for (const text of ['Größer Bach 120 ft³/s', '谷川 水', 'नदी', 'نهر', 'e\u0301', '🌊', 'a\tb\r\nc', '\u00a0'])
      expect(withoutUnseen(text)).toBe(text);
  });
  it('are written as escapes in JSON, which gives every text back', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const written = unseenEscaped(JSON.stringify(text));
        return withoutUnseen(written) === written && JSON.parse(written) === text;
      }),
    );
  });
});
