import type { Aligned } from '../align/types.js';
import { conditionNumber } from '../kernel/cholesky.js';
import { splitSeed } from '../kernel/random.js';
import { drawPosterior, gridProbability, type PosteriorDraws } from './drawPosterior.js';
import { findMode } from './findMode.js';
import { describeStatus, gaugeIsConstant, isSeparated } from './fitStatus.js';
import { createGridProblem, type ProblemOptions } from './gridProblem.js';
import { fitGrid, spreadEvidence, type LevelGrid } from './levelGrid.js';
import { WEAK_PRIORS } from './priors.js';
import { chooseRatingForms } from './ratingForm.js';
import { tidyDraws } from './tidyDraws.js';
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
  /** Ways to fit; default all three. */
  readonly modes?: readonly FitMode[];
  readonly onProgress?: (progress: { readonly done: number; readonly total: number }) => void;
}

/** The three ways of reading one gauge, and the evidence over the whole grid. */
export interface LevelFits {
  readonly kind: 'level-fits';
  /** Storage 0, lags from the lead on. */
  readonly oneReading: LevelFit;
  /** Storage averaged over, lags from the lead on. */
  readonly effective: LevelFit;
  /** Storage 0, lags of both signs: confirms afterwards, not for planning. */
  readonly anyLag: LevelFit;
  /** Joint posterior over all lags and storages (storage-major, sums to 1; all 0 where nothing was fitted). */
  readonly surface: Float64Array;
}

/** Fewer visits than this say nothing about any edge. */
const MIN_VISITS = 3;

/** The limb term stays when the data make it this much likelier (ln 20): below that it is noise that people would have to compute with. */
export const LIMB_LOG_BAYES_FACTOR = 3;

const MODES: readonly FitMode[] = ['one-reading', 'effective', 'any-lag'];

/**
 * Fit the level model of one run to one gauge: c = x(t - L) + γ·dx/dt + ε with x = ln of the effective reading; every sighting of a
 * visit shares c; lag L and storage k averaged over their grid by Laplace evidence, everything else drawn from the posterior.
 *
 * @param aligned n visits and m sightings on the grid, from `alignVisits`.
 * @returns one fit per mode (those not asked for come without draws), frozen. With fewer than 3 visits or a gauge that never
 *   moved, `status` says so, `statusSentence` puts it in words, and there are no draws.
 * @throws RangeError when no lag of the grid is at or beyond the lead, or draws is not a positive whole number.
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
    modes = MODES,
    onProgress,
  }: FitOptions = {},
): LevelFits {
  if (!Number.isInteger(draws) || !(draws > 0))
    throw new RangeError(`fitLevels: draws must be a positive whole number, got ${draws}`);
  if (!(priorWidth > 0)) throw new RangeError(`fitLevels: priorWidth must be above 0, got ${priorWidth}`);
  const sets = gridSets(aligned, leadHours);
  const context = { aligned, link, leadHours, seed, draws };
  const total = aligned.storagesHours.length * aligned.lagsHours.length;

  const hopeless: FitStatus | undefined =
    aligned.visitIds.length < MIN_VISITS
      ? 'too-few-rows'
      : gaugeIsConstant(aligned, sets.oneReading)
        ? 'constant-gauge'
        : undefined;
  if (hopeless !== undefined) {
    const none = (mode: FitMode): LevelFit => emptyFit(context, mode, hopeless);
    return Object.freeze({
      kind: 'level-fits' as const,
      oneReading: none('one-reading'),
      effective: none('effective'),
      anyLag: none('any-lag'),
      surface: new Float64Array(total),
    });
  }

  const scale = unitScale(aligned, sets.oneReading);
  const base: ProblemOptions = {
    link: link === 'logit' ? 1 : 0,
    priors: 'weak',
    priorWidth,
    mismatch: true,
    bias: true,
    limb: false,
    ratingForm: new Map(),
    scale,
    observerSd: WEAK_PRIORS.observerSd.median * scale,
  };
  const options = { ...base, ratingForm: chooseRatingForms(aligned, base, sets.oneReading) };
  const grid = fitGrid(
    createGridProblem(aligned, options),
    [sets.oneReading, sets.effective, sets.anyLag, sets.all],
    onProgress,
  );
  const [oneReading, effective, anyLag, all] = grid.sets;
  const limb = limbEvidence(grid, effective);
  // Only the effective reading may carry a limb term: whoever reads the gauge once has no rate of change.
  const effectiveGrid = limb.keep
    ? fitGrid(createGridProblem(aligned, { ...grid.problem.options, limb: true }), [sets.effective])
    : grid;

  const fit = (
    mode: FitMode,
    on: LevelGrid,
    { set, points }: { set: readonly number[]; points: readonly number[] },
  ): LevelFit =>
    modes.includes(mode)
      ? drawnFit(context, {
          mode,
          grid: on,
          set,
          points: points.length,
          limb: mode === 'effective' ? limb : { keep: false, logBayesFactor: 0 },
        })
      : emptyFit(context, mode, 'converged');
  const surface = new Float64Array(total);
  for (const [g, p] of gridProbability(grid, all)) surface[g] = p;
  return Object.freeze({
    kind: 'level-fits' as const,
    oneReading: fit('one-reading', grid, { set: oneReading, points: sets.oneReading }),
    effective: fit('effective', effectiveGrid, {
      set: limb.keep ? effectiveGrid.sets[0] : effective,
      points: sets.effective,
    }),
    anyLag: fit('any-lag', grid, { set: anyLag, points: sets.anyLag }),
    surface,
  });
}

interface Context {
  readonly aligned: Aligned;
  readonly link: Link;
  readonly leadHours: number;
  readonly seed: number;
  readonly draws: number;
}

/** Grid indices of each mode. */
function gridSets(
  aligned: Aligned,
  leadHours: number,
): Record<'oneReading' | 'effective' | 'anyLag' | 'all', number[]> {
  const { lagsHours, storagesHours } = aligned;
  const nL = lagsHours.length;
  const all = Array.from({ length: nL * storagesHours.length }, (_, g) => g);
  const early = (g: number): boolean => lagsHours[g % nL] >= leadHours;
  const single = (g: number): boolean => storagesHours[Math.floor(g / nL)] === 0;
  const effective = all.filter(early);
  if (effective.length === 0)
    throw new RangeError(
      `fitLevels: a lead of ${leadHours} h is longer than the largest lag of the grid, ${lagsHours[nL - 1]} h`,
    );
  return { all, effective, oneReading: effective.filter(single), anyLag: all.filter(single) };
}

/**
 * How much ln units of this gauge move per ln unit of discharge: 1 for discharge; for stage the spread of the visits' x, at most 1, since over
 * visits ln discharge typically spreads by about 1. A stage counted from far below (metres above the sea) spreads by less than a thousandth.
 */
function unitScale(aligned: Aligned, set: readonly number[]): number {
  if (aligned.parameter === 'discharge') return 1;
  const N = aligned.nodeWeight.length;
  const x = Array.from(aligned.x.subarray(set[0] * N, (set[0] + 1) * N)).filter((v) => v === v);
  const mean = x.reduce((a, b) => a + b, 0) / x.length;
  const sd = Math.sqrt(x.reduce((a, b) => a + (b - mean) ** 2, 0) / Math.max(1, x.length - 1));
  return Math.min(1, Math.max(1e-6, sd || 1));
}

/** The likeliest point of a set at which a mode was climbed to; undefined where none has an evidence. */
function bestClimbed(grid: LevelGrid, set: readonly number[]): number | undefined {
  const climbed = [...gridProbability(grid, set)].filter(([g]) => grid.climbed.has(g));
  return climbed.sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0];
}

/** Evidence for the limb term at the likeliest grid point of a set; both sides of the comparison are climbed to. */
function limbEvidence(grid: LevelGrid, set: readonly number[]): { keep: boolean; logBayesFactor: number } {
  const g = bestClimbed(grid, set);
  if (g === undefined) return { keep: false, logBayesFactor: 0 };
  const withLimb = createGridProblem(grid.problem.aligned, { ...grid.problem.options, limb: true });
  const mode = findMode(withLimb, g, grid.modes.get(g)!.u, { tolerance: 1e-5 });
  const logBayesFactor = spreadEvidence(withLimb, mode) - grid.logEvidence.get(g)!;
  return { keep: mode.status === 'converged' && logBayesFactor > LIMB_LOG_BAYES_FACTOR, logBayesFactor };
}

function drawnFit(
  context: Context,
  {
    mode,
    grid,
    set,
    points,
    limb,
  }: {
    mode: FitMode;
    grid: LevelGrid;
    /** Points that carry weight, and how many this mode could have taken. */
    set: readonly number[];
    points: number;
    limb: { keep: boolean; logBayesFactor: number };
  },
): LevelFit {
  const { aligned } = context;
  const probability = gridProbability(grid, set);
  const bestPoint = bestClimbed(grid, set);
  if (bestPoint === undefined) return emptyFit(context, mode, 'singular');
  const best = grid.modes.get(bestPoint)!;
  const posterior = drawPosterior(grid, set, {
    // The any-lag fit only shows edges and a lag: half the draws do.
    count: mode === 'any-lag' ? Math.ceil(context.draws / 2) : context.draws,
    seed: splitSeed(context.seed, `${aligned.run}/${aligned.gauge}/${mode}`),
  });
  const status: FitStatus =
    best.status === 'iteration-limit' ? 'iteration-limit' : isSeparated(aligned, bestPoint) ? 'separated' : best.status;
  const free = grid.problem.plan.free.length;
  return finish(context, mode, {
    status,
    grid: gridOf(aligned, grid, { set, probability }),
    ...tidyDraws(grid.problem, posterior),
    logEvidence: averageEvidence(grid, { set, points }),
    limbKept: limb.keep,
    limbLogBayesFactor: limb.logBayesFactor,
    diagnostics: diary(grid, posterior, {
      set,
      points,
      gradient: best.gradient,
      condition: conditionNumber(
        best.hessian.map((h) => -h),
        free,
      ),
    }),
  });
}

function diary(
  grid: LevelGrid,
  posterior: PosteriorDraws,
  { set, points, gradient, condition }: { set: readonly number[]; points: number; gradient: number; condition: number },
): LevelFit['diagnostics'] {
  return Object.freeze({
    gridPoints: points,
    gridPointsFitted: set.filter((g) => grid.climbed.has(g)).length,
    iterations: grid.iterations,
    gradient,
    condition,
    paretoK: posterior.paretoK,
    effectiveDraws: posterior.effective,
  });
}

/** ln of the evidence averaged over all points of a mode under even weights; those outside `set` have next to none. */
function averageEvidence(grid: LevelGrid, { set, points }: { set: readonly number[]; points: number }): number {
  const terms = set.flatMap((g) => grid.logEvidence.get(g) ?? []);
  const top = Math.max(...terms);
  return top + Math.log(terms.reduce((sum, t) => sum + Math.exp(t - top), 0) / points);
}

function gridOf(
  aligned: Aligned,
  grid: LevelGrid | undefined,
  { set, probability }: { set: readonly number[]; probability: ReadonlyMap<number, number> },
): LevelFit['grid'] {
  const total = aligned.lagsHours.length * aligned.storagesHours.length;
  const logEvidence = new Float64Array(total).fill(NaN);
  const share = new Float64Array(total);
  for (const g of set) logEvidence[g] = grid?.logEvidence.get(g) ?? NaN;
  for (const [g, p] of probability) share[g] = p;
  return Object.freeze({
    lagsHours: aligned.lagsHours,
    storagesHours: aligned.storagesHours,
    logEvidence,
    probability: share,
  });
}

type FitBody = Pick<
  LevelFit,
  'status' | 'grid' | 'features' | 'draws' | 'logEvidence' | 'limbKept' | 'limbLogBayesFactor' | 'diagnostics'
>;

function finish({ aligned, link, leadHours }: Context, mode: FitMode, body: FitBody): LevelFit {
  return Object.freeze({
    kind: 'level-fit' as const,
    run: aligned.run,
    gauge: aligned.gauge,
    gaugeName: aligned.gaugeName,
    parameter: aligned.parameter,
    unit: aligned.unit,
    offset: aligned.offset,
    mode,
    link,
    leadHours,
    statusSentence: describeStatus(body.status, aligned, body.diagnostics),
    visits: aligned.visitIds.length,
    sightings: aligned.sightingClass.length,
    floods: aligned.flood.length === 0 ? 0 : aligned.flood[aligned.flood.length - 1] + 1,
    observers: aligned.observers,
    ...body,
  });
}

/** A fit that says why there is none. */
function emptyFit(context: Context, mode: FitMode, status: FitStatus): LevelFit {
  const none = new Float64Array(0);
  return finish(context, mode, {
    status,
    grid: gridOf(context.aligned, undefined, { set: [], probability: new Map() }),
    features: [],
    draws: Object.freeze({
      count: 0,
      lagHours: none,
      storageHours: none,
      mismatch: none,
      observerSd: none,
      bias: none,
      limb: none,
      visitLogLik: none,
    }),
    logEvidence: NaN,
    limbKept: false,
    limbLogBayesFactor: 0,
    diagnostics: Object.freeze({
      gridPoints: 0,
      gridPointsFitted: 0,
      iterations: 0,
      gradient: NaN,
      condition: NaN,
      paretoK: NaN,
      effectiveDraws: 0,
    }),
  });
}
