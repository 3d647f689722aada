import { bestClimbed } from './bestClimbed.js';
import { findMode } from './findMode.js';
import { createGridProblem } from './gridProblem.js';
import { spreadEvidence, type LevelGrid } from './levelGrid.js';

/** The limb term stays when the data make it this much likelier (ln 20): below that it is noise that people would have to compute with. */
export const LIMB_LOG_BAYES_FACTOR = 3;

/**
 * Evidence for a term (that of the limb, or gross errors of classes) at the likeliest grid point of a set; both sides of the comparison are
 * climbed to.
 */
export function termEvidence(
  grid: LevelGrid,
  set: readonly number[],
  term: { readonly limb: true } | { readonly grossClasses: true },
): { keep: boolean; logBayesFactor: number } {
  const g = bestClimbed(grid, set);
  if (g === undefined) return { keep: false, logBayesFactor: 0 };
  const withTerm = createGridProblem(grid.problem.aligned, { ...grid.problem.options, ...term });
  const mode = findMode(withTerm, g, grid.modes.get(g)!.u, { tolerance: 1e-5 });
  const logBayesFactor = spreadEvidence(withTerm, mode) - grid.logEvidence.get(g)!;
  return { keep: mode.status === 'converged' && logBayesFactor > LIMB_LOG_BAYES_FACTOR, logBayesFactor };
}
