import type { Aligned } from '../align/types.js';
import { findMode, type Mode } from './findMode.js';
import { createGridProblem, type ProblemOptions } from './gridProblem.js';
import { spreadEvidence } from './levelGrid.js';
import type { RatingForm } from './types.js';

/** Why a numeric feature's form was taken: differences of ln evidence. */
export interface RatingEvidence {
  readonly readings: number;
  /** ln evidence of the power law (with the noise that was taken) over the straight line; NaN where too few readings left only the line. */
  readonly powerOverLine: number;
  /** ln evidence of growing noise over the better form with constant noise; NaN where it was not tried. */
  readonly growingOverConstant: number;
}

/** Readings of a numeric feature below which a curve is not even tried. */
export const MIN_READINGS_FOR_POWER = 8;

/** Noise that grows is taken when the data make it this much likelier (ln 20), as a limb term is: below that, the simpler one. */
export const GROWING_LOG_BAYES_FACTOR = 3;

/**
 * Form of each numeric feature by evidence, all features together, at the single reading nearest to lag 0: the power law with offset or the straight line, whichever has
 * more (a line is what is left where the data can't carry the offset); then the power law whose noise grows with the height above the offset, where it
 * is 20 times likelier than the better of those.
 */
export function chooseRatingForms(
  aligned: Aligned,
  options: ProblemOptions,
  set: readonly number[],
): { ratingForm: ReadonlyMap<number, RatingForm>; ratingEvidence: ReadonlyMap<number, RatingEvidence> } {
  const forms = new Map<number, RatingForm>();
  const known = new Map<number, RatingEvidence>();
  const open: number[] = [];
  aligned.features.forEach((feature, f) => {
    if (feature.classes.length > 0) return;
    const readings = aligned.sightingFeature.reduce((count, other) => count + (other === f ? 1 : 0), 0);
    forms.set(f, readings >= MIN_READINGS_FOR_POWER ? 'power' : 'line');
    known.set(f, Object.freeze({ readings, powerOverLine: NaN, growingOverConstant: NaN }));
    if (readings >= MIN_READINGS_FOR_POWER) open.push(f);
  });
  const { lagsHours } = aligned;
  const g = set.reduce((a, b) =>
    Math.abs(lagsHours[b % lagsHours.length]) < Math.abs(lagsHours[a % lagsHours.length]) ? b : a,
  );
  const tried = (f: number, form: RatingForm, from?: Mode): { mode: Mode; evidence: number } => {
    forms.set(f, form);
    const problem = createGridProblem(aligned, { ...options, ratingForm: forms });
    const mode = findMode(problem, g, from?.u ?? problem.start(g), { tolerance: 1e-5 });
    return { mode, evidence: spreadEvidence(problem, mode) };
  };
  for (const f of open) {
    const power = tried(f, 'power');
    const line = tried(f, 'line');
    // The same parameters, so the other mode is near.
    const growing = tried(f, 'growing', power.mode);
    const simpler = line.evidence > power.evidence ? line : power;
    const growingOverConstant = growing.evidence - simpler.evidence;
    const taken = growingOverConstant > GROWING_LOG_BAYES_FACTOR ? 'growing' : simpler === line ? 'line' : 'power';
    forms.set(f, taken);
    known.set(
      f,
      Object.freeze({
        ...known.get(f)!,
        powerOverLine: (taken === 'growing' ? growing : power).evidence - line.evidence,
        growingOverConstant,
      }),
    );
  }
  return { ratingForm: forms, ratingEvidence: known };
}
