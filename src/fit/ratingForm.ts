import type { Aligned } from '../align/types.js';
import { findMode } from './findMode.js';
import { createGridProblem, type ProblemOptions } from './gridProblem.js';
import { spreadEvidence } from './levelGrid.js';

/** Readings of a numeric feature below which a curve is not even tried. */
const MIN_READINGS_FOR_POWER = 8;

/**
 * Power law with offset or straight line for each numeric feature: the form with the higher evidence, all features together, at the
 * single reading nearest to lag 0. A line is what is left where the data can't carry the offset.
 */
export function chooseRatingForms(
  aligned: Aligned,
  options: ProblemOptions,
  set: readonly number[],
): ReadonlyMap<number, 'power' | 'line'> {
  const forms = new Map<number, 'power' | 'line'>();
  const open: number[] = [];
  aligned.features.forEach((feature, f) => {
    if (feature.classes.length > 0) return;
    const readings = aligned.sightingFeature.reduce((count, other) => count + (other === f ? 1 : 0), 0);
    forms.set(f, readings >= MIN_READINGS_FOR_POWER ? 'power' : 'line');
    if (readings >= MIN_READINGS_FOR_POWER) open.push(f);
  });
  const { lagsHours } = aligned;
  const g = set.reduce((a, b) =>
    Math.abs(lagsHours[b % lagsHours.length]) < Math.abs(lagsHours[a % lagsHours.length]) ? b : a,
  );
  const evidence = (): number => {
    const problem = createGridProblem(aligned, { ...options, ratingForm: forms });
    return spreadEvidence(problem, findMode(problem, g, problem.start(g), { tolerance: 1e-5 }));
  };
  for (const f of open) {
    const power = evidence();
    forms.set(f, 'line');
    if (!(evidence() > power)) forms.set(f, 'power');
  }
  return forms;
}
