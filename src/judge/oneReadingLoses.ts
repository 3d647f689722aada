import { THRESHOLDS } from './thresholds.js';
import type { SkillEstimate } from './types.js';

/** A difference in skill below this is not worth the trouble of a second way of reading. */
const WORTH_A_WORD = 0.03;

/**
 * One sentence: what reading the gauge once costs against the effective reading, by skill on floods left out.
 *
 * @param skill both skills, of the same visits; null where that way could not be fitted.
 * @returns always a sentence that ends in a full stop.
 * @example oneReadingLoses({ oneReading: null, effective: null }) // 'Neither way of reading the gauge could be judged.'
 */
export function oneReadingLoses({
  oneReading,
  effective,
}: {
  readonly oneReading: SkillEstimate | null;
  readonly effective: SkillEstimate | null;
}): string {
  if (oneReading === null && effective === null) return 'Neither way of reading the gauge could be judged.';
  if (oneReading === null) return 'The single reading could not be judged.';
  if (effective === null) return 'The effective reading could not be judged.';
  // Below 0 the gauge is worse than guessing; for a paddler both are no help.
  const one = Math.max(0, oneReading.againstFrequencies);
  const both = Math.max(0, effective.againstFrequencies);
  const share = (value: number) => `${Math.round(value * 100)} %`;
  if (Math.max(one, both) < THRESHOLDS.skillRough)
    return `Neither way of reading takes away a useful part of the guesswork (one reading ${share(one)}, the effective reading ${share(both)}).`;
  if (both - one >= WORTH_A_WORD)
    return `One reading takes away ${share(one)} of the guesswork, the effective reading ${share(both)}: looking only once costs ${Math.round(both * 100) - Math.round(one * 100)} points.`;
  if (one - both >= WORTH_A_WORD)
    return `One reading did better (${share(one)} of the guesswork gone) than the effective reading (${share(both)}): take the single reading.`;
  return `One reading loses nothing that matters: it takes away ${share(one)} of the guesswork, the effective reading ${share(both)}.`;
}
