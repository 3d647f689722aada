import { splitSeed } from '../../kernel/random.js';
import { firstScores } from '../firstScores.js';
import { DEPENDABLE_K } from '../leaveFloodOut.js';
import { verdictCases } from '../verdictCases.js';
import type { JudgedRelation, JudgeTask, PlanOptions, RelationPlan, Variant } from './types.js';
import { mediansWithout } from './visitWeights.js';

/** Hours before paddling at which the lead curve asks. */
export const LEADS_HOURS: readonly number[] = Object.freeze([0, 1, 2, 4, 8, 12]);

/** Visits looked at for each edge. */
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
 * @returns no tasks where nothing was fitted.
 * @throws RangeError for a lead that is not a finite number of hours, or a seed that is no whole number.
 * @example const refits = refitRelation(planRelation(relation, { seed: 1 }));
 */
export function planRelation(
  relation: JudgedRelation,
  { seed = 1, depth = 'edges', leads = LEADS_HOURS, first = firstScores(relation, { seed }) }: PlanOptions = {},
): RelationPlan {
  const { aligned, fits, run, record } = relation;
  const wrong = leads.find((hours) => !Number.isFinite(hours));
  if (wrong !== undefined) throw new RangeError(`planRelation: leads must be finite hours, got ${wrong}`);
  const way = first.chosen ?? 'effective';
  const { medians, paretoK } = ASKS_EDGES.includes(depth) ? mediansWithout(fits[way]) : NO_VISITS;
  const floods = first.chosen === null ? [] : floodsToFit(relation, { first, depth });
  const visits: JudgeTask[] = first.chosen === null || depth === 'doubtful-floods' ? [] : [...VISIT_TASKS];
  const edges: JudgeTask[] = medians.length === 0 ? [] : edgeTasks(relation, { first, depth, medians, paretoK });
  const { leadHours } = fits.effective;
  const largest = aligned.lagsHours[aligned.lagsHours.length - 1];
  const later = medians.length === 0 ? [] : [...new Set(leads)].filter((h) => h > leadHours && h <= largest);
  return {
    kind: 'relation-plan',
    context: {
      label: `${run.name} by ${record.name}`,
      relation,
      first,
      seed: splitSeed(seed, `${run.id}/${record.gauge}/refits`),
      way,
      depth,
      starts: { floods: floods.length > 0, edges: edges.length > 0 },
      influence: medians,
    },
    tasks: [
      ...visits,
      ...floods.map((flood) => ({ kind: 'flood' as const, id: `flood ${flood}`, flood })),
      ...later
        .sort((a, b) => a - b)
        .map((hours) => ({ kind: 'lead' as const, id: `${hours} h before`, leadHours: hours })),
      ...edges,
    ],
  };
}

const VISIT_TASKS: readonly JudgeTask[] = [
  { kind: 'suspects', id: 'visits that look wrong' },
  { kind: 'next-look', id: 'what to look for next' },
];

/** Depths that ask what would move the edges. */
export const ASKS_EDGES: readonly RelationPlan['context']['depth'][] = ['edges', 'thorough'];

const NO_VISITS: ReturnType<typeof mediansWithout> = { medians: [], paretoK: [] };

/** The floods that weights can't be relied on for; all where a fit of its own is asked for each. */
function floodsToFit(
  { aligned }: JudgedRelation,
  { first, depth }: Required<Pick<PlanOptions, 'first' | 'depth'>>,
): readonly number[] {
  const all = [...new Set(verdictCases(aligned).flood)];
  if (depth === 'visits') return [];
  if (depth === 'floods' || depth === 'thorough') return all;
  const lefts = [first.left.effective, first.left['one-reading']].flatMap((left) => left?.floods ?? []);
  return all.filter((flood) => lefts.some((one) => one.flood === flood && !(one.paretoK <= DEPENDABLE_K)));
}

function edgeTasks(
  { aligned }: JudgedRelation,
  {
    first: { shift },
    depth,
    medians,
    paretoK,
  }: Required<Pick<PlanOptions, 'first' | 'depth'>> & ReturnType<typeof mediansWithout>,
): JudgeTask[] {
  const observers = aligned.observers.length > 1 ? aligned.observers : [];
  const visits = candidates(medians).filter((i) => depth === 'thorough' || !(paretoK[i] <= DEPENDABLE_K));
  const spans = shift?.found === true && shift.step !== null ? (['before', 'after'] as const) : [];
  return [
    ...observers.map((observer) => ({ kind: 'observer' as const, id: `observer ${observer}`, observer })),
    ...visits.map((visit) => ({ kind: 'visit' as const, id: `visit ${visit}`, visit })),
    ...VARIANTS.map((variant) => ({ kind: 'variant' as const, id: variant, variant })),
    ...spans.map((span) => ({ kind: 'span' as const, id: span, span })),
  ];
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
