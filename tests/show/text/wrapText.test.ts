import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { padText, textWidth, wrapText } from '../../../src/show/text/wrapText.js';

describe('wrapText', () => {
  it('breaks at spaces and indents the lines after the first', () => {
    expect(wrapText('a long line', { width: 8, first: '- ' })).toEqual(['- a long', '  line']);
  });

  it('cuts a word that is longer than a line', () => {
    expect(wrapText('abcdefghijkl', { width: 8 })).toEqual(['abcdefgh', 'ijkl']);
  });

  it('counts wide characters as two columns', () => {
    expect(textWidth('谷川')).toBe(4);
    expect(padText('谷', 4)).toBe('谷  ');
    expect(padText('7', 3, { left: true })).toBe('  7');
  });

  it('gives one line for an empty text', () => {
    expect(wrapText('', { width: 20, first: '- ' })).toEqual(['-']);
  });

  it('never makes a line wider than asked and loses no word', () => {
    fc.assert(
      fc.property(fc.array(fc.stringMatching(/^[a-z]{1,30}$/)), fc.integer({ min: 20, max: 100 }), (words, width) => {
        const lines = wrapText(words.join(' '), { width, first: '   ' });
        expect(Math.max(...lines.map(textWidth))).toBeLessThanOrEqual(width);
        expect(lines.join('').replace(/ /g, '')).toBe(words.join(''));
      }),
    );
  });
});
