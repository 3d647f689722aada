import { describe, expect, it } from 'vitest';
import { createMemory } from '../../src/kernel/createMemory.js';

describe('createMemory', () => {
  it('works once for the same objects and word, anew for any other', () => {
    const memory = createMemory<string>();
    const [a, b] = [{}, {}];
    let worked = 0;
    const ask = (of: readonly object[], word: string): string => memory(of, word, () => `answer ${++worked}`);
    expect([ask([a, b], 'x'), ask([a, b], 'x')]).toEqual(['answer 1', 'answer 1']);
    expect([ask([a, b], 'y'), ask([b, a], 'x'), ask([a], 'x'), ask([a, { ...b }], 'x')]).toEqual([
      'answer 2',
      'answer 3',
      'answer 4',
      'answer 5',
    ]);
    expect(ask([a, b], 'x')).toBe('answer 1');
  });

  it('remembers that nothing came out', () => {
    const memory = createMemory<null>();
    const key = {};
    let worked = 0;
    const ask = () =>
      memory([key], '', () => {
        worked++;
        return null;
      });
    expect([ask(), ask(), worked]).toEqual([null, null, 1]);
  });
});
