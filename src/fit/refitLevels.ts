import type { Aligned } from '../align/types.js';
import { MIN_VISITS } from './fitLevels.js';
import { gaugeIsConstant } from './fitStatus.js';
import { createGridProblem } from './gridProblem.js';
import { gridSets } from './gridSets.js';
import { levelOptions } from './levelOptions.js';
import { movedDraws, type RefitAnswer } from './movedDraws.js';
import { onListsOf } from './onListsOf.js';
import type { FitStatus, Link } from './types.js';
import { byFeature, type WarmStart } from './warmStart.js';

export interface RefitOptions {
  /** Default the warm start's. */
  readonly link?: Link;
  /** Multiplies every prior sd; default 1. */
  readonly priorWidth?: number;
}

/** A fit that began at the modes and draws of another. */
export interface Refit {
  readonly kind: 'refit';
  readonly status: FitStatus;
  readonly link: Link;
  readonly visits: number;
  /** One entry a question of the warm start; null where the grid has no point for it. Empty where nothing was fitted. */
  readonly answers: readonly (RefitAnswer | null)[];
}

/**
 * Fit the level model anew to nearly the same visits, cheaply. At the likeliest grid point of each question the new mode is climbed to from
 * the old one; the old posterior's draws are carried along, each by the move and the change of scale of its nearest such mode, and weighted
 * by the new posterior over the density that they have there. A prior over lags and storages (a logger's) goes on to the new fit. Lag,
 * storage and all parameters are free to move; weights that have to do too much show in k̂.
 *
 * @param aligned the visits to fit, on the grid of the warm start.
 * @param warm from `warmStarts` on the fuller log.
 * @returns status `too-few-rows`, `constant-gauge` or `singular` without answers; never throws for what the visits hold.
 * @throws RangeError where the grid is another one, or a feature or an observer is new.
 * @example refitLevels(keepVisits(aligned, (v) => v.flood !== 3), warm)
 */
export function refitLevels(
  aligned: Aligned,
  warm: WarmStart,
  { link = warm.link, priorWidth = 1 }: RefitOptions = {},
): Refit {
  if (!(priorWidth > 0)) throw new RangeError(`refitLevels: priorWidth must be above 0, got ${priorWidth}`);
  const points = aligned.lagsHours.length * aligned.storagesHours.length;
  const farthest = Math.max(-1, ...warm.families.flatMap((f) => [...f.points]));
  if (farthest >= points)
    throw new RangeError(
      `refitLevels: the warm start knows grid point ${farthest}, aligned has ${points}; use one grid`,
    );
  const visits = aligned.visitIds.length;
  const without = (status: FitStatus): Refit =>
    Object.freeze({ kind: 'refit' as const, status, link, visits, answers: [] });
  if (visits < MIN_VISITS) return without('too-few-rows');
  const single = gridSets(aligned, warm.leadHours)['one-reading'];
  if (gaugeIsConstant(aligned, single)) return without('constant-gauge');
  const onLists = onListsOf(aligned, warm);
  const options = {
    ...levelOptions(onLists, { link, priorWidth, set: single }),
    ratingForm: byFeature(warm.ratingForms),
    ratingBreak: byFeature(warm.ratingBreaks),
    grossClasses: warm.grossClasses,
    centre: warm.centre,
    ...(warm.gridPrior !== undefined && { gridPrior: warm.gridPrior }),
  };
  const answers = new Array<RefitAnswer | null>(warm.questions.length).fill(null);
  let status: FitStatus | undefined;
  warm.families.forEach((family, at) => {
    if (family.draws === null) return;
    const mine = warm.questions.map((_, i) => i).filter((i) => warm.questions[i].family === at);
    const problem = createGridProblem(onLists, { ...options, limb: family.limb, observerSd: family.observerSd });
    const moved = movedDraws(problem, family, { sets: mine.map((i) => warm.questions[i].points) });
    status ??= moved.status;
    moved.answers.forEach((answer, k) => (answers[mine[k]] = answer));
  });
  if (status === undefined || answers.every((answer) => answer === null)) return without('singular');
  return Object.freeze({ kind: 'refit' as const, status, link, visits, answers });
}
