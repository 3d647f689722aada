import { alignVisits } from '../../../src/align/alignVisits.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import type { JudgedRelation } from '../../../src/judge/refits/types.js';
import { makeWorld, type WorldOptions } from '../../fit/world.js';

/** An invented creek on a small grid, fitted and ready to be judged. The ledge and three observers come with it. */
export function smallRelation({ seed = 1, visits = 24, ...world }: WorldOptions = {}): JudgedRelation {
  const made = makeWorld({ seed, visits, days: 120, ledge: true, ...world });
  const aligned = alignVisits(made, { lagsHours: [0, 1, 2, 3, 4, 5, 6], storagesHours: [-5, 0, 5] });
  return { ...made, aligned, fits: fitLevels(aligned, { seed, draws: 400 }) };
}
