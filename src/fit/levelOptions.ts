import type { Aligned } from '../align/types.js';
import type { ProblemOptions } from './gridProblem.js';
import { WEAK_PRIORS } from './priors.js';
import type { Link } from './types.js';
import { unitScale } from './unitScale.js';

/**
 * What the level model of a run and gauge is fitted with, before rating forms and the limb term are decided.
 * @param options.set grid points of the single reading: the gauge's scale is seen there.
 */
export function levelOptions(
  aligned: Aligned,
  { link, priorWidth, set }: { link: Link; priorWidth: number; set: readonly number[] },
): ProblemOptions {
  const scale = unitScale(aligned, set);
  return {
    link: link === 'logit' ? 1 : 0,
    priors: 'weak',
    priorWidth,
    mismatch: true,
    bias: true,
    limb: false,
    ratingForm: new Map(),
    scale,
    observerSd: WEAK_PRIORS.observerSd.median * scale,
  };
}
