import { describe, expect, it } from 'vitest';
import { nearestWord } from '../../src/read/nearestWord.js';

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
