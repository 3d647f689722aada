/** Gives what `work` gave before for the same objects and the same word, or lets it work. */
export type Memory<R> = (of: readonly object[], word: string, work: () => R) => R;

/**
 * A memory for the results of a pure function of frozen objects (compared by identity) and a few plain arguments, which the caller writes
 * as a word. It holds nothing alive: what is remembered of an object goes with it.
 * @example const memory = createMemory<number>(); memory([fit, aligned], 'seed 1', () => slow(fit, aligned, 1))
 */
export function createMemory<R>(): Memory<R> {
  interface Place {
    readonly next: WeakMap<object, Place>;
    readonly results: Map<string, R>;
  }
  const empty = (): Place => ({ next: new WeakMap(), results: new Map() });
  const root = empty();
  return (of, word, work) => {
    let place = root;
    for (const object of of) {
      const known = place.next.get(object) ?? empty();
      place.next.set(object, known);
      place = known;
    }
    if (!place.results.has(word)) place.results.set(word, work());
    return place.results.get(word)!;
  };
}
