import type { Question } from '../../fit/warmStart.js';
import { splitSeed } from '../../kernel/random.js';
import { verdictCases } from '../verdictCases.js';
import type { JudgedRelation, JudgeTask, PlanOptions, RelationPlan, Variant } from './types.js';
import { mediansWithout } from './visitWeights.js';

/** Hours before paddling at which the lead curve asks. */
export const LEADS_HOURS: readonly number[] = Object.freeze([0, 1, 2, 4, 8, 12]);

/** Visits a fit of their own is made without, for each edge. */
const CANDIDATES = 3;

export const VARIANTS: readonly Variant[] = Object.freeze([
  'priors-half',
  'priors-double',
  'other-link',
  'other-interpolation',
]);

/**
 * Everything of a relation's judgement that needs a fit of its own, as small tasks for any number of cores.
 *
 * @returns no tasks where nothing was fitted; the floods only with depth 'floods'.
 * @throws RangeError for a lead that is not a finite number of hours, or a seed that is no whole number.
 * @example const plan = planRelation(relation, { seed: 1 });
 * const refits = finishRelation(plan, runJudgeTasks([plan])[0]);
 */
export function planRelation(
  relation: JudgedRelation,
  { seed = 1, way = 'effective', depth = 'full', leads = LEADS_HOURS }: PlanOptions = {},
): RelationPlan {
  const { aligned, fits, run, record, shift } = relation;
  const wrong = leads.find((hours) => !Number.isFinite(hours));
  if (wrong !== undefined) throw new RangeError(`planRelation: leads must be finite hours, got ${wrong}`);
  const fit = fits[way];
  const fitted = fits.effective.draws.count > 0 || fits['one-reading'].draws.count > 0;
  const full = depth === 'full' && fit.draws.count > 0;
  const { leadHours } = fits.effective;
  const influence = full ? mediansWithout(fit) : [];
  const tasks: JudgeTask[] = [];
  if (fitted)
    for (const flood of new Set(verdictCases(aligned).flood))
      tasks.push({ kind: 'flood', id: `flood ${flood}`, flood });
  if (full) {
    if (aligned.observers.length > 1)
      for (const observer of aligned.observers) tasks.push({ kind: 'observer', id: `observer ${observer}`, observer });
    for (const visit of candidates(influence)) tasks.push({ kind: 'visit', id: `visit ${visit}`, visit });
    for (const variant of VARIANTS) tasks.push({ kind: 'variant', id: variant, variant });
    if (shift?.found === true && shift.step !== null)
      for (const span of ['before', 'after'] as const) tasks.push({ kind: 'span', id: span, span });
  }
  return Object.freeze({
    kind: 'relation-plan' as const,
    context: Object.freeze({
      relation,
      label: `${run.name} by ${record.name}`,
      seed: splitSeed(seed, `${run.id}/${record.gauge}/refits`),
      way,
      depth,
      questions: questionsOf(leads, { leadHours, largest: aligned.lagsHours[aligned.lagsHours.length - 1], depth }),
      influence,
    }),
    tasks: Object.freeze(tasks),
  });
}

/** Both ways at the chart's own lead, the gauge as it stands, then both ways at each later lead. */
function questionsOf(
  leads: readonly number[],
  { leadHours, largest, depth }: { leadHours: number; largest: number; depth: 'full' | 'floods' },
): readonly Question[] {
  const both = (hours: number): Question[] => [
    { way: 'effective', leadHours: hours },
    { way: 'one-reading', leadHours: hours },
  ];
  const later =
    depth === 'full'
      ? [...new Set(leads)].filter((hours) => hours > leadHours && hours <= largest).sort((a, b) => a - b)
      : [];
  return [...both(leadHours), { way: 'as-it-stands', leadHours }, ...later.flatMap(both)];
}

/** The visits that move each edge most by weights, without repetition. */
function candidates(influence: readonly (readonly number[])[]): readonly number[] {
  const chosen = new Set<number>();
  for (const medians of influence) {
    const middle = [...medians].sort((a, b) => a - b)[medians.length >> 1];
    const far = (i: number): number => Math.abs(medians[i] - middle);
    medians
      .map((_, i) => i)
      .filter((i) => Number.isFinite(medians[i]))
      .sort((a, b) => far(b) - far(a) || a - b)
      .slice(0, CANDIDATES)
      .forEach((i) => chosen.add(i));
  }
  return [...chosen].sort((a, b) => a - b);
}
