import type { Aligned, AlignedFeature } from '../align/types.js';
import { splitSeed } from '../kernel/random.js';
import { againstFlat } from './againstFlat.js';
import { bestClimbed } from './bestClimbed.js';
import { gridProbability } from './drawPosterior.js';
import type { LevelFits } from './fitLevels.js';
import type { RatingForms } from './formEvidence.js';
import { createGridProblem } from './gridProblem.js';
import { gridSets } from './gridSets.js';
import { fitGrid, nearestMode, type LevelGrid } from './levelGrid.js';
import { levelOptions } from './levelOptions.js';
import { ratingFormOf } from './ratingAt.js';
import type { LevelFit, Link, RatingForm, Way } from './types.js';
import { drawWarm, type WarmDraws } from './warmDraws.js';

/** A way of reading the gauge at a lead. */
export interface Question {
  readonly way: Way;
  readonly leadHours: number;
}

/** A question and how many draws it can count on. */
export interface WantedQuestion extends Question {
  readonly draws: number;
}

/**
 * What fits of nearly the same visits can start from: modes and draws of the full fit at the grid points that carry weight for each
 * question, and what was decided on the way there. Plain data that can go to another core.
 */
export interface WarmStart {
  readonly kind: 'warm-start';
  readonly link: Link;
  readonly leadHours: number;
  readonly features: readonly AlignedFeature[];
  readonly observers: readonly string[];
  /** Form of each feature's rating; null for classes. */
  readonly ratingForms: readonly (RatingForm | null)[];
  /** State at which two power laws meet; null where there is one. */
  readonly ratingBreaks: readonly (number | null)[];
  readonly grossClasses: boolean;
  /** y0 of the numeric features. */
  readonly centre: number;
  /** ln prior of each grid point against a flat one (G, storage-major), which every refit carries on; absent where it is flat. */
  readonly gridPrior?: Float64Array;
  /** Without the limb term, and with it where the fit kept one. */
  readonly families: readonly WarmFamily[];
  readonly questions: readonly WarmQuestion[];
}

export interface WarmFamily {
  readonly limb: boolean;
  readonly observerSd: number;
  /** Climbed grid points that some question gives weight to (P), ascending. */
  readonly points: Int32Array;
  /** All parameters at each mode: u[p·U + r]. */
  readonly u: Float64Array;
  /** Places of the points that a refit climbs at (A): the likeliest of each question. */
  readonly anchors: Int32Array;
  /** The anchor nearest to each point (P). */
  readonly anchorOf: Int32Array;
  /** Cholesky factor of the precision at each anchor: factors[a·F·F + …]. */
  readonly factors: Float64Array;
  /** Null where no question has a point. */
  readonly draws: WarmDraws | null;
}

export interface WarmQuestion extends Question {
  /** Which family answers it. */
  readonly family: number;
  /** The grid point that is read; empty where the grid has none for this question. */
  readonly points: Int32Array;
}

/** The forms of the ratings that a fit decided on. */
export function formsOf({ features }: Pick<LevelFit, 'features'>): RatingForms {
  return {
    ratingForm: byFeature(features.map(({ rating }) => (rating === undefined ? null : ratingFormOf(rating)))),
    ratingBreak: byFeature(features.map(({ rating }) => rating?.upper?.breakAt ?? null)),
    grossClasses: features.some(({ gross = 0 }) => gross > 0),
  };
}

/** By feature index, those that have one. */
export function byFeature<T>(list: readonly (T | null)[]): ReadonlyMap<number, T> {
  return new Map(list.flatMap((value, f) => (value === null ? [] : [[f, value] as const])));
}

/**
 * Climb once at all grid points that matter to any question, with what the full fit decided (link, rating forms, limb term), and draw.
 *
 * @param aligned the visits that `fits` was made from.
 * @param fits the full fit.
 * @param options.wanted one warm start each; questions that the grid has no lag for get no points.
 * @param options.seed whole number. @param options.gridPrior as `fits` was made with.
 * @returns none where the fit has no draws: there is nothing to start from.
 * @throws RangeError where gridPrior is not one finite number a grid point.
 * @example warmStarts(aligned, fits, { wanted: [[{ way: 'effective', leadHours: 0, draws: 600 }]], seed: 1 })
 */
export function warmStarts(
  aligned: Aligned,
  fits: LevelFits,
  {
    wanted,
    seed,
    gridPrior,
  }: {
    readonly wanted: readonly (readonly WantedQuestion[])[];
    readonly seed: number;
    readonly gridPrior?: Float64Array | undefined;
  },
): readonly WarmStart[] {
  const made = [fits.effective, fits['one-reading']].find((fit) => fit.draws.count > 0);
  if (made === undefined) return [];
  const points = aligned.lagsHours.length * aligned.storagesHours.length;
  const prior = gridPrior === undefined ? {} : { gridPrior: againstFlat(gridPrior, { points, caller: 'warmStarts' }) };
  const forms = formsOf(made);
  const ratingForms = made.features.map((_, f) => forms.ratingForm.get(f) ?? null);
  const ratingBreaks = made.features.map((_, f) => forms.ratingBreak.get(f) ?? null);
  const options = {
    ...levelOptions(aligned, { link: made.link, priorWidth: 1, set: gridSets(aligned, made.leadHours)['one-reading'] }),
    ...forms,
    ...prior,
  };
  const plain = createGridProblem(aligned, options);
  const all = wanted.flat();
  const familyOf = (question: Question): number => (fits.effective.limbKept && question.way === 'effective' ? 1 : 0);
  const sets = all.map((question) => pointsOf(aligned, question, fits));
  const pointsOfEach = new Array<Int32Array>(all.length).fill(new Int32Array(0));
  const grids = (fits.effective.limbKept ? [false, true] : [false]).map((limb, family) => {
    const asked = all.map((_, i) => i).filter((i) => sets[i].length > 0 && familyOf(all[i]) === family);
    const problem = limb ? createGridProblem(aligned, { ...options, limb }) : plain;
    if (asked.length === 0) return undefined;
    const grid = fitGrid(
      problem,
      asked.map((i) => sets[i]),
    );
    asked.forEach((i, at) => (pointsOfEach[i] = likeliest(grid, grid.lattices[at])));
    return grid;
  });
  let from = 0;
  return wanted.map((own, w) => {
    const questions = own.map((question, k) =>
      Object.freeze({
        way: question.way,
        leadHours: question.leadHours,
        family: familyOf(question),
        points: pointsOfEach[from + k],
      }),
    );
    from += own.length;
    return Object.freeze({
      kind: 'warm-start' as const,
      link: made.link,
      leadHours: made.leadHours,
      features: aligned.features,
      observers: aligned.observers,
      ratingForms,
      ratingBreaks,
      grossClasses: forms.grossClasses === true,
      centre: plain.centre,
      ...prior,
      families: grids.map((grid, family) =>
        familyFrom(grid, {
          asked: questions.flatMap(({ points: set, family: at }, k) =>
            at === family && set.length > 0 ? [{ set, draws: own[k].draws }] : [],
          ),
          seed: splitSeed(seed, `warm ${w} ${family}`),
          limb: family === 1,
        }),
      ),
      questions,
    });
  });
}

/** Grid points that a question may use: at the fit's own lead the one that its chart is made for. */
function pointsOf(aligned: Aligned, { way, leadHours }: Question, fits: LevelFits): readonly number[] {
  const { lagsHours, storagesHours } = aligned;
  const nL = lagsHours.length;
  if (way !== 'as-it-stands' && leadHours === fits[way].leadHours && fits[way].draws.count > 0) {
    const { reading } = fits[way];
    return [storagesHours.indexOf(reading.storageHours) * nL + lagsHours.indexOf(reading.lagHours)];
  }
  if (way === 'as-it-stands') {
    const lag = lagsHours.findIndex((l) => Math.abs(l - leadHours) < 1e-9);
    return lag < 0 ? [] : [storagesHours.indexOf(0) * nL + lag];
  }
  if (!(leadHours <= lagsHours[nL - 1])) return [];
  const sets = gridSets(aligned, leadHours);
  return sets[way];
}

/** The likeliest of the climbed points: what a chart for that question would tell people to read. */
function likeliest(grid: LevelGrid, lattice: readonly number[]): Int32Array {
  const best = bestClimbed(grid, lattice);
  return Int32Array.from(best === undefined ? [] : [best]);
}

function familyFrom(
  grid: LevelGrid | undefined,
  { asked, seed, limb }: { asked: readonly { set: Int32Array; draws: number }[]; seed: number; limb: boolean },
): WarmFamily {
  const none = { int: new Int32Array(0), float: new Float64Array(0) };
  if (grid === undefined || asked.length === 0)
    return {
      limb,
      observerSd: NaN,
      points: none.int,
      u: none.float,
      anchors: none.int,
      anchorOf: none.int,
      factors: none.float,
      draws: null,
    };
  const { problem } = grid;
  const F = problem.plan.free.length;
  const U = problem.plan.size;
  const points = Int32Array.from(new Set(asked.flatMap(({ set }) => [...set]))).sort();
  const u = new Float64Array(points.length * U);
  points.forEach((g, p) => u.set(grid.modes.get(g)!.u, p * U));
  const anchorPoints = [...new Set(asked.map(({ set }) => set[0]))];
  const anchors = Int32Array.from(anchorPoints, (g) => points.indexOf(g));
  const anchorModes = new Map(anchorPoints.map((g) => [g, grid.modes.get(g)!]));
  const factors = new Float64Array(anchors.length * F * F);
  anchorPoints.forEach((g, a) => factors.set(grid.modes.get(g)!.factor!, a * F * F));
  const nL = problem.aligned.lagsHours.length;
  // A point is drawn as often as the question asks that needs it most.
  const most = new Map<number, number>();
  for (const { set, draws } of asked)
    for (const [g, p] of gridProbability(grid, [...set])) most.set(g, Math.max(draws * p, most.get(g) ?? 0));
  const total = [...most.values()].reduce((sum, p) => sum + p, 0);
  return {
    limb,
    observerSd: problem.options.observerSd,
    points,
    u,
    anchors,
    anchorOf: points.map((g) => anchorPoints.indexOf(nearestMode(anchorModes, g, nL).g)),
    factors,
    draws: drawWarm(grid, {
      share: new Map([...most].map(([g, p]) => [g, p / total])),
      points,
      count: Math.ceil(total),
      seed,
    }),
  };
}
