import type { Aligned } from '../align/types.js';
import { againstFlat } from './againstFlat.js';
import { drawnFit, emptyFit } from './assembleFit.js';
import { gridProbability } from './drawPosterior.js';
import { gaugeIsConstant } from './fitStatus.js';
import { createGridProblem, type ProblemOptions } from './gridProblem.js';
import { gridSets } from './gridSets.js';
import type { RatingForms } from './formEvidence.js';
import { fitGrid } from './levelGrid.js';
import { levelOptions } from './levelOptions.js';
import { termEvidence } from './termEvidence.js';
import { chooseRatingForms } from './ratingForm.js';
import type { FitMode, FitStatus, LevelFit, Link } from './types.js';

export interface FitOptions {
  /** Hours before the sighting at which the last reading may be taken; default 0. */
  readonly leadHours?: number;
  /** Default 'probit'. */
  readonly link?: Link;
  /** Whole number; default 1. Same input, options and seed: same draws. */
  readonly seed?: number;
  /** Draws of each fit; default 1000. */
  readonly draws?: number;
  /** Multiplies every prior sd; default 1. For sensitivity. */
  readonly priorWidth?: number;
  /** ln prior of each grid point, storage-major (a logger's, see `loggerPrior`, or `travelTimePrior`); scaled to sum to 1. Default flat. */
  readonly gridPrior?: Float64Array;
  /** Ways to fit; default all three. With fewer, only the grid points of these are looked at, and `surface` is all 0. */
  readonly modes?: readonly FitMode[];
  /** Default true: draws allow for errors that visits share (`lastingErrors.ts`). False: each visit errs by itself, as refits take it. */
  readonly lasting?: boolean;
  /** Forms of the ratings, and whether classes may be grossly wrong, as another fit decided (`formsOf`); default by evidence. */
  readonly forms?: Partial<RatingForms> | undefined;
  readonly onProgress?: (progress: { readonly done: number; readonly total: number }) => void;
}

/** The three ways of reading one gauge, and the evidence over the whole grid. */
export interface LevelFits extends Readonly<Record<FitMode, LevelFit>> {
  readonly kind: 'level-fits';
  /** Joint posterior over all lags and storages (storage-major, sums to 1; all 0 where nothing was fitted). */
  readonly surface: Float64Array;
}

/** Fewer visits than this say nothing about any edge. */
export const MIN_VISITS = 3;

const MODES: readonly FitMode[] = ['one-reading', 'effective', 'any-lag'];
const NO_LIMB = { keep: false, logBayesFactor: 0 };

/**
 * Fit the level model of one run to one gauge: c = x(t - L) + γ·dx/dt + ε with x = ln of the effective reading; every sighting of a
 * visit shares c; lag L and storage k averaged over their grid by Laplace evidence, everything else drawn from the posterior.
 *
 * @param aligned n visits and m sightings on the grid, from `alignVisits`.
 * @returns one fit per mode (those not asked for come without draws), frozen. With fewer than 3 visits or a gauge that never
 *   moved, `status` says so, `statusSentence` puts it in words, and there are no draws.
 * @throws RangeError when no lag of the grid is at or beyond the lead, draws is not a positive whole number, or gridPrior is not one finite
 * number a grid point.
 * @example const { effective } = fitLevels(alignVisits({ creek, run, record, visits }), { seed: 7 });
 */
export function fitLevels(
  aligned: Aligned,
  {
    leadHours = 0,
    link = 'probit',
    seed = 1,
    draws = 1000,
    priorWidth = 1,
    gridPrior,
    modes = MODES,
    lasting = true,
    forms,
    onProgress,
  }: FitOptions = {},
): LevelFits {
  if (!Number.isInteger(draws) || !(draws > 0))
    throw new RangeError(`fitLevels: draws must be a positive whole number, got ${draws}`);
  if (!(priorWidth > 0)) throw new RangeError(`fitLevels: priorWidth must be above 0, got ${priorWidth}`);
  const sets = gridSets(aligned, leadHours);
  const context = { aligned, link, leadHours, seed, draws, lasting };
  const total = aligned.storagesHours.length * aligned.lagsHours.length;

  const hopeless: FitStatus | undefined =
    aligned.visitIds.length < MIN_VISITS
      ? 'too-few-rows'
      : gaugeIsConstant(aligned, sets['one-reading'])
        ? 'constant-gauge'
        : undefined;
  if (hopeless !== undefined) {
    const none = (mode: FitMode): LevelFit => emptyFit(context, mode, hopeless);
    return Object.freeze({
      kind: 'level-fits' as const,
      'one-reading': none('one-reading'),
      effective: none('effective'),
      'any-lag': none('any-lag'),
      surface: new Float64Array(total),
    });
  }

  const base = {
    ...levelOptions(aligned, { link, priorWidth, set: sets['one-reading'] }),
    ...(gridPrior !== undefined && { gridPrior: againstFlat(gridPrior, { points: total, caller: 'fitLevels' }) }),
  };
  const chosen = forms?.ratingForm === undefined ? chooseRatingForms(aligned, base, sets['one-reading']) : {};
  const options = { ...base, ...chosen, ...forms };
  const whole = MODES.every((mode) => modes.includes(mode));
  const asked = [...modes, ...(whole ? (['all'] as const) : [])];
  const gridOf = (of: ProblemOptions) =>
    fitGrid(
      createGridProblem(aligned, of),
      asked.map((set) => sets[set]),
      onProgress,
    );
  const plain = gridOf(options);
  const gross = options.grossClasses ?? termEvidence(plain, plain.sets[0], { grossClasses: true }).keep;
  const grid = gross ? gridOf({ ...options, grossClasses: true }) : plain;
  const setOf = (of: FitMode | 'all'): readonly number[] => grid.sets[asked.indexOf(of)];
  const limb = modes.includes('effective') ? termEvidence(grid, setOf('effective'), { limb: true }) : NO_LIMB;

  const fit = (mode: FitMode): LevelFit => {
    if (!modes.includes(mode)) return emptyFit(context, mode, 'converged');
    // Only the effective reading may carry a limb term: whoever reads the gauge once has no rate of change.
    const bent = mode === 'effective' && limb.keep;
    const on = bent
      ? fitGrid(createGridProblem(aligned, { ...grid.problem.options, limb: true }), [sets.effective])
      : grid;
    return drawnFit(context, {
      mode,
      grid: on,
      set: bent ? on.sets[0] : setOf(mode),
      points: sets[mode].length,
      limb: mode === 'effective' ? limb : NO_LIMB,
    });
  };
  const surface = new Float64Array(total);
  if (whole) for (const [g, p] of gridProbability(grid, setOf('all'))) surface[g] = p;
  return Object.freeze({
    kind: 'level-fits' as const,
    'one-reading': fit('one-reading'),
    effective: fit('effective'),
    'any-lag': fit('any-lag'),
    surface,
  });
}
