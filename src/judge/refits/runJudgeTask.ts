import { alignVisits } from '../../align/alignVisits.js';
import { keepSightings, keepVisits } from '../../align/keepVisits.js';
import type { Aligned } from '../../align/types.js';
import { fitLevels } from '../../fit/fitLevels.js';
import { refitLevels, type RefitOptions } from '../../fit/refitLevels.js';
import type { Link } from '../../fit/types.js';
import { splitSeed } from '../../kernel/random.js';
import { scoredAtLag } from '../asItStands.js';
import { judgedSuspects } from '../judgedSuspects.js';
import { nextLook } from '../nextLook.js';
import { predictCase } from '../predictCase.js';
import { verdictCases } from '../verdictCases.js';
import {
  questionsOf,
  type EdgesResult,
  type FloodResult,
  type JudgeContext,
  type JudgeResult,
  type JudgeTask,
  type LeadResult,
  type Prepared,
} from './types.js';
import { verdictEdges } from './verdictEdges.js';

/** Fewer effective draws than this, and the edges are fitted from the start. */
const FEWEST_EFFECTIVE = 100;

/**
 * One fit of a relation's judgement. Pure: the same context, start and task give the same result on any core.
 * @returns a status and no numbers where the visits left are too few, or the fit found no maximum; never throws for what the visits hold.
 */
export function runJudgeTask(context: JudgeContext, prepared: Prepared, task: JudgeTask): JudgeResult {
  const { aligned, fits, record } = context.relation;
  switch (task.kind) {
    case 'suspects':
      return { ...task, suspects: judgedSuspects(fits[context.way], aligned, { record }) };
    case 'next-look':
      return { ...task, nextLook: nextLook(fits[context.way], aligned, { record }) };
    case 'flood':
      return floodResult(context, prepared, task);
    case 'lead':
      return leadResult(context, task);
    case 'observer':
      return edgesResult(context, prepared, {
        id: task.id,
        aligned: keepSightings(aligned, ({ observer }) => observer !== task.observer),
      });
    case 'visit':
      return edgesResult(context, prepared, {
        id: task.id,
        aligned: keepVisits(aligned, ({ index }) => index !== task.visit),
      });
    case 'variant':
      return variantResult(context, prepared, task);
    case 'span': {
      const { betweenMs } = context.first.shift!.step!;
      return freshEdges(context, {
        id: task.id,
        aligned: keepVisits(aligned, ({ timeMs }) =>
          task.span === 'before' ? timeMs <= betweenMs[0] : timeMs >= betweenMs[1],
        ),
      });
    }
  }
}

function floodResult(
  { relation }: JudgeContext,
  { floods: warm }: Prepared,
  { id, flood }: { id: string; flood: number },
): FloodResult {
  const { aligned } = relation;
  const cases = verdictCases(aligned);
  const K = cases.classes;
  const mine = Array.from(cases.flood.keys()).filter((c) => cases.flood[c] === flood);
  const left = keepVisits(aligned, (visit) => visit.flood !== flood);
  const refit = warm === null ? undefined : refitLevels(left, warm);
  const answers = questionsOf(relation).map((_, q) => {
    const answer = refit?.answers[q] ?? null;
    if (answer === null) return null;
    const all = new Float64Array(cases.visit.length * K);
    const fit = { features: answer.features, draws: answer.draws, link: refit!.link };
    const missing = mine.map((c) =>
      predictCase(all, { c, cases, weights: answer.weights, points: answer.points, fit, aligned }),
    );
    const available = answer.weights.reduce((count, w) => count + (w > 0 ? 1 : 0), 0);
    return {
      probability: all.slice(mine[0] * K, (mine[mine.length - 1] + 1) * K),
      missing: Float64Array.from(missing),
      paretoK: answer.paretoK,
      effective: answer.effective / available,
    };
  });
  return { kind: 'flood', id, status: refit?.status ?? 'singular', flood, answers };
}

/** Draws of a chart that is only scored. */
const LEAD_DRAWS = 300;

/** The chart for deciding so many hours before: at its own lag, or the first that the lead leaves. */
function leadResult(
  { relation: { aligned, fits }, way, seed }: JudgeContext,
  { id, leadHours }: { id: string; leadHours: number },
): LeadResult {
  const fit = fits[way];
  const lag = aligned.lagsHours.findIndex((hours) => hours >= Math.max(fit.reading.lagHours, leadHours));
  const at = { lag, way, leadHours, seed: splitSeed(seed, id), draws: LEAD_DRAWS };
  return { kind: 'lead', id, leadHours, left: scoredAtLag({ aligned, fit }, at) };
}

interface EdgesOf {
  readonly id: string;
  readonly aligned: Aligned;
  readonly refit?: RefitOptions;
}

/** The edges by a refit, and by a fit from the start where the draws could not be carried so far. */
function edgesResult(context: JudgeContext, { edges: warm }: Prepared, of: EdgesOf): EdgesResult {
  if (warm === null) return nothing(of, 'singular');
  const { status, answers } = refitLevels(of.aligned, warm, of.refit ?? {});
  if (status === 'too-few-rows' || status === 'constant-gauge') return nothing(of, status);
  const answer = answers[0] ?? null;
  if (answer === null || !(answer.effective >= FEWEST_EFFECTIVE)) return freshEdges(context, of);
  return {
    kind: 'edges',
    id: of.id,
    status,
    visits: of.aligned.visitIds.length,
    edges: verdictEdges({ ...answer, offset: of.aligned.offset }, answer.weights),
  };
}

function freshEdges({ relation, way, seed }: JudgeContext, { id, aligned, refit }: EdgesOf): EdgesResult {
  const { gridPrior } = relation;
  const { leadHours, link } = relation.fits.effective;
  const fits = fitLevels(aligned, {
    leadHours,
    link,
    seed: splitSeed(seed, id),
    modes: [way],
    ...(gridPrior !== undefined && { gridPrior }),
    ...refit,
  });
  const fit = fits[way];
  if (!(fit.draws.count > 0)) return nothing({ id, aligned }, fit.status);
  return { kind: 'edges', id, status: fit.status, visits: fit.visits, edges: verdictEdges(fit) };
}

function nothing({ id, aligned }: EdgesOf, status: EdgesResult['status']): EdgesResult {
  return { kind: 'edges', id, status, visits: aligned.visitIds.length, edges: [] };
}

/** The link that the chart was not made with. */
export function otherLink(link: Link): Link {
  return link === 'probit' ? 'logit' : 'probit';
}

function variantResult(
  context: JudgeContext,
  prepared: Prepared,
  { id, variant }: Extract<JudgeTask, { kind: 'variant' }>,
): EdgesResult {
  const { creek, run, record, visits, aligned, fits } = context.relation;
  switch (variant) {
    case 'priors-half':
      return edgesResult(context, prepared, { id, aligned, refit: { priorWidth: 0.5 } });
    case 'priors-double':
      return edgesResult(context, prepared, { id, aligned, refit: { priorWidth: 2 } });
    case 'other-link':
      return edgesResult(context, prepared, { id, aligned, refit: { link: otherLink(fits.effective.link) } });
    case 'other-interpolation':
      return edgesResult(context, prepared, {
        id,
        aligned: alignVisits(
          { creek, run, record, visits },
          {
            lagsHours: [...aligned.lagsHours],
            storagesHours: [...aligned.storagesHours],
            interpolation: 'previous',
          },
        ),
      });
  }
}
