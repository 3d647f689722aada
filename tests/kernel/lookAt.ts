import { createLevelLikelihood, type GaugeSide, type LevelData } from '../../src/kernel/levelLikelihood.js';

/** All that the kernel says at one place. */
export function look({ data, side }: { data: LevelData; side: GaugeSide }, natural: ArrayLike<number>) {
  const at = Float64Array.from(natural);
  const likelihood = createLevelLikelihood(data);
  const n = data.sightingStart.length - 1;
  const P = likelihood.layout.size;
  const gradient = new Float64Array(P);
  const hessian = new Float64Array(P * P);
  const visits = new Float64Array(n);
  const fresh = new Float64Array(n);
  likelihood.setNodes(at, side);
  const logLik = likelihood.derivatives(at, side, gradient, hessian, visits);
  const value = likelihood.value(at, side);
  const freshValue = likelihood.freshValue(at, side, fresh);
  return { likelihood, P, gradient, hessian, visits, fresh, logLik, value, freshValue };
}

/** Largest differences from central differences of the value and of the gradient, nodes held. */
export function numericDifferences(
  { side, likelihood, P, gradient, hessian }: ReturnType<typeof look> & { side: GaugeSide },
  natural: Float64Array,
): { gradient: number; hessian: number } {
  const step = 1e-5;
  const up = new Float64Array(P);
  const down = new Float64Array(P);
  const unused = new Float64Array(P * P);
  const worst = { gradient: 0, hessian: 0 };
  for (let r = 0; r < P; r++) {
    const moved = (by: number) => natural.map((v, q) => (q === r ? v + by : v));
    const slope = (likelihood.value(moved(step), side) - likelihood.value(moved(-step), side)) / (2 * step);
    worst.gradient = Math.max(worst.gradient, Math.abs(slope - gradient[r]) / (1 + Math.abs(slope)));
    likelihood.derivatives(moved(step), side, up, unused);
    likelihood.derivatives(moved(-step), side, down, unused);
    for (let q = 0; q < P; q++) {
      const bend = (up[q] - down[q]) / (2 * step);
      worst.hessian = Math.max(worst.hessian, Math.abs(bend - hessian[r * P + q]) / (1 + Math.abs(bend)));
    }
  }
  return worst;
}
