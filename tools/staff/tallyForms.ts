import { gridSets } from '../../src/fit/gridSets.js';
import { levelOptions } from '../../src/fit/levelOptions.js';
import { chooseRatingForms } from '../../src/fit/ratingForm.js';
import type { RatingForm } from '../../src/fit/types.js';
import { staffWorld, type StaffTruth } from './staffWorld.js';

/** How many of some simulated logs (seeds 1, 2, …) took which form of the staff. */
export function tallyForms(
  truth: StaffTruth,
  { readings, logs }: { readonly readings: number; readonly logs: number },
): Readonly<Record<RatingForm, number>> {
  const taken: Record<RatingForm, number> = { line: 0, power: 0, growing: 0, segments: 0 };
  for (let seed = 1; seed <= logs; seed++) {
    const aligned = staffWorld({ truth, readings, seed });
    const set = gridSets(aligned, 0)['one-reading'];
    const options = levelOptions(aligned, { link: 'probit', priorWidth: 1, set });
    taken[chooseRatingForms(aligned, options, set).ratingForm.get(1)!]++;
  }
  return taken;
}
