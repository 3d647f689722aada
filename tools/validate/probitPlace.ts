import { maximise } from '../../src/kernel/newton.js';
import { logNormalCdf } from '../../src/kernel/normal.js';

/** A moment: the reading, whether the creek stood at the edge or above, and how much it counts. */
export interface Moment {
  readonly x: number;
  readonly above: boolean;
  readonly weight: number;
}

/**
 * Where the creek is as often above as below: the place of a probit line through weighted moments, by maximum likelihood.
 * @param start a first guess of the place. @returns NaN where all moments lie on one side.
 */
export function probitPlace(moments: readonly Moment[], start: number): number {
  if (!moments.some(({ above }) => above) || !moments.some(({ above }) => !above)) return NaN;
  const { point } = maximise(
    ([place, lnSd], gradient, hessian) => {
      gradient?.fill(0);
      hessian?.fill(0);
      let total = 0;
      for (const { x, above, weight } of moments) {
        const sign = above ? 1 : -1;
        const sd = Math.exp(lnSd!);
        const z = (sign * (x - place!)) / sd;
        total += weight * logNormalCdf(z);
        if (gradient === undefined || hessian === undefined) continue;
        const ratio = Math.exp(-0.5 * z * z - logNormalCdf(z)) / SQRT_2PI;
        const curvature = -ratio * (z + ratio);
        const [a, b] = [-sign / sd, -z];
        gradient[0]! += weight * ratio * a;
        gradient[1]! += weight * ratio * b;
        hessian[0]! += weight * curvature * a * a;
        hessian[1]! += weight * (curvature * a * b - ratio * a);
        hessian[3]! += weight * (curvature * b * b - ratio * b);
      }
      if (hessian !== undefined) hessian[2] = hessian[1]!;
      return total;
    },
    Float64Array.of(start, Math.log(0.5)),
    { maxStep: 0.5, riseTolerance: 1e-9 },
  );
  return point[0]!;
}

const SQRT_2PI = Math.sqrt(2 * Math.PI);
