import type { Aligned } from '../align/types.js';
import { LINE, parametersOf, SEGMENTS } from '../kernel/levelLikelihood.js';
import { findMode } from './findMode.js';
import { createGridProblem, type GridProblem, type ProblemOptions } from './gridProblem.js';
import { spreadEvidence } from './levelGrid.js';
import type { RatingForm } from './types.js';

/** Forms of the numeric features, and the states at which those in the form `segments` break. */
export interface RatingForms {
  readonly ratingForm: ReadonlyMap<number, RatingForm>;
  readonly ratingBreak: ReadonlyMap<number, number>;
  /** Whether classes may be grossly wrong; default asked of the evidence. */
  readonly grossClasses?: boolean;
}

/** A mode under some forms of the ratings, and its evidence. */
export interface FormMode {
  readonly problem: GridProblem;
  readonly u: Float64Array;
  readonly evidence: number;
}

/**
 * Evidence of some forms of the ratings at one grid point. A richer form starts at the mode of a plainer one that it holds as a special
 * case: from the middle of its prior a staff without noise may not be climbed to, and the plainer form would win or lose by that.
 *
 * @param options.from where to start; default the middle of the priors.
 */
export function formEvidence(
  aligned: Aligned,
  forms: RatingForms,
  { options, g, from }: { options: ProblemOptions; g: number; from?: FormMode },
): FormMode {
  const problem = createGridProblem(aligned, { ...options, ...forms });
  const start = problem.start(g);
  if (from !== undefined) carryForms(from, problem, start);
  const mode = findMode(problem, g, start, { tolerance: 1e-5 });
  return { problem, u: mode.u, evidence: spreadEvidence(problem, mode) };
}

/** Writes the parameters of a mode into those of other forms: value, slope and noise of a rating keep their meaning. */
function carryForms({ problem: { plan: old }, u }: FormMode, { plan }: GridProblem, out: Float64Array): void {
  plan.featureKind.forEach((kind, f) => {
    const to = plan.featureStart[f];
    const at = old.featureStart[f];
    const was = old.featureKind[f];
    const shared = kind > 0 ? kind : Math.min(parametersOf(kind), parametersOf(was)) - 1;
    for (let r = 0; r < shared; r++) out[to + r] = u[at + r];
    if (kind > 0) return;
    // From one power law the second begins as the first goes on.
    if (kind === SEGMENTS && was !== SEGMENTS && was !== LINE) out[to + 4] = u[at + 2];
    out[to + parametersOf(kind) - 1] = u[at + parametersOf(was) - 1];
  });
  for (let r = 0; r < plan.size - plan.lnSigma; r++) out[plan.lnSigma + r] = u[old.lnSigma + r];
}
