import type { Aligned } from '../align/types.js';
import type { WarmStart } from './warmStart.js';

/**
 * The same visits with the features and observers of a fuller log: what nobody is left of keeps its parameters, which then follow their
 * priors alone and leave the others as they would be without it. So all fits of one relation have the same parameters.
 *
 * @throws RangeError for a feature or an observer that the fuller log does not have.
 */
export function onListsOf(
  aligned: Aligned,
  { features, observers }: Pick<WarmStart, 'features' | 'observers'>,
): Aligned {
  const place = (list: readonly string[], name: string, what: string): number => {
    const at = list.indexOf(name);
    if (at < 0)
      throw new RangeError(`refitLevels: the warm start does not know ${what} '${name}'; use one of the same log`);
    return at;
  };
  const ids = features.map(({ id }) => id);
  const featureAt = aligned.features.map(({ id }) => place(ids, id, 'feature'));
  const observerAt = aligned.observers.map((name) => place(observers, name, 'observer'));
  return Object.freeze({
    ...aligned,
    features,
    observers,
    sightingFeature: aligned.sightingFeature.map((f) => featureAt[f]),
    sightingObserver: aligned.sightingObserver.map((o) => observerAt[o]),
  });
}
