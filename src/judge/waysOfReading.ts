import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { createMemory } from '../kernel/createMemory.js';
import { splitSeed } from '../kernel/random.js';
import { leaveFloodOut, type LeftOut } from './leaveFloodOut.js';
import { skillOf } from './skill.js';
import type { SkillEstimate } from './types.js';

/** One way of reading the gauge with its odds for floods left out. */
export interface WayOfReading {
  readonly fit: LevelFit;
  readonly left: LeftOut;
  readonly skill: SkillEstimate;
}

/** Both ways, and the better one by skill against the logged frequencies (the effective one on a tie); null where nothing was fitted. */
export interface WaysOfReading {
  readonly effective: WayOfReading | null;
  readonly oneReading: WayOfReading | null;
  readonly best: 'effective' | 'one-reading' | null;
}

/** A relation is scored for its first chart and again where it is judged. */
const leftByWeights = createMemory<LeftOut>();

/** Seed of the resampling of floods: one for all ways, so that a difference between them is not drawn by lot. */
export function floodSeed(seed: number): number {
  return splitSeed(seed, 'floods');
}

/**
 * Scores both ways of reading a gauge on floods left out.
 *
 * @param aligned the visits that both fits were made from.
 * @param options.effective, options.oneReading the fits; leave out one that was not made. One without draws counts as not made.
 * @param options.left odds with floods left out from fits of their own; default by importance weights.
 * @param options.better the way that counts as the better one, where that was decided before; default by skill.
 * @param options.seed seed of the resampling of floods.
 */
export function waysOfReading(
  aligned: Aligned,
  {
    effective,
    oneReading,
    left = {},
    better,
    seed,
  }: {
    effective?: LevelFit | undefined;
    oneReading?: LevelFit | undefined;
    left?: { readonly effective?: LeftOut | undefined; readonly oneReading?: LeftOut | undefined };
    better?: 'effective' | 'one-reading' | undefined;
    seed: number;
  },
): WaysOfReading {
  const judged = (fit: LevelFit | undefined, given: LeftOut | undefined): WayOfReading | null => {
    if (fit === undefined || !(fit.draws.count > 0)) return null;
    const odds = given ?? leftByWeights([fit, aligned], '', () => leaveFloodOut(fit, aligned));
    const skill = skillOf(odds, { seed: floodSeed(seed) });
    return skill === null ? null : { fit, left: odds, skill };
  };
  const e = judged(effective, left.effective);
  const o = judged(oneReading, left.oneReading);
  const decided = (better === 'effective' && e !== null) || (better === 'one-reading' && o !== null);
  const best = decided ? better : betterWay({ effective: e?.skill, oneReading: o?.skill });
  return { effective: e, oneReading: o, best };
}

/** The better way by skill against the logged frequencies; the effective one on a tie, null where neither could be scored. */
export function betterWay({
  effective = null,
  oneReading = null,
}: {
  readonly effective?: SkillEstimate | null | undefined;
  readonly oneReading?: SkillEstimate | null | undefined;
}): WaysOfReading['best'] {
  if (effective === null || oneReading === null)
    return effective === null ? (oneReading === null ? null : 'one-reading') : 'effective';
  return effective.againstFrequencies >= oneReading.againstFrequencies ? 'effective' : 'one-reading';
}

/** The better way itself. */
export function bestWay({ effective, oneReading, best }: WaysOfReading): WayOfReading | null {
  return best === null ? null : best === 'effective' ? effective : oneReading;
}
