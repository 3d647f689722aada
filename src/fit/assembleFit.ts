import type { Aligned } from '../align/types.js';
import { conditionNumber } from '../kernel/cholesky.js';
import { splitSeed } from '../kernel/random.js';
import { bestClimbed } from './bestClimbed.js';
import { centralReading } from './centralReading.js';
import { drawPosterior, gridProbability, type PosteriorDraws } from './drawPosterior.js';
import { describeStatus, isSeparated } from './fitStatus.js';
import { lastingDraws } from './lastingDraws.js';
import type { LevelGrid } from './levelGrid.js';
import { tidyDraws } from './tidyDraws.js';
import type { FitMode, FitStatus, LevelFit, Link } from './types.js';

/** What the fits of one call have in common. */
export interface FitContext {
  readonly aligned: Aligned;
  readonly link: Link;
  readonly leadHours: number;
  readonly seed: number;
  readonly draws: number;
  readonly lasting: boolean;
}

/** The fit of one mode from the modes on its grid: draws, status, diary. */
export function drawnFit(
  context: FitContext,
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
  const shown = gridOf(aligned, grid, { set, probability });
  const reading = centralReading(shown);
  // A chart is made for one instruction, so its edges and odds are those of that instruction. What looks back averages over all.
  const drawn = mode === 'any-lag' ? set : [pointOf(aligned, reading)];
  const seed = splitSeed(context.seed, `${aligned.run}/${aligned.gauge}/${mode}`);
  const alone = drawPosterior(grid, drawn, {
    // The any-lag fit only shows edges and a lag: half the draws do.
    count: mode === 'any-lag' ? Math.ceil(context.draws / 2) : context.draws,
    seed,
  });
  const { posterior, lasting } = context.lasting
    ? lastingDraws(grid, alone, {
        mode: mode === 'any-lag' ? best : grid.modes.get(drawn[0])!,
        seed: splitSeed(seed, 'lasting'),
      })
    : { posterior: alone };
  const status: FitStatus =
    best.status === 'iteration-limit' ? 'iteration-limit' : isSeparated(aligned, bestPoint) ? 'separated' : best.status;
  const free = grid.problem.plan.free.length;
  return finish(context, mode, {
    status,
    grid: shown,
    reading,
    ...tidyDraws(grid.problem, posterior),
    ...(lasting !== undefined && { lasting }),
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

/** Grid point of a lag and a storage that stand on the grid. */
function pointOf({ lagsHours, storagesHours }: Aligned, reading: LevelFit['reading']): number {
  return storagesHours.indexOf(reading.storageHours) * lagsHours.length + lagsHours.indexOf(reading.lagHours);
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
  | 'status'
  | 'grid'
  | 'reading'
  | 'features'
  | 'draws'
  | 'lasting'
  | 'logEvidence'
  | 'limbKept'
  | 'limbLogBayesFactor'
  | 'diagnostics'
>;

function finish({ aligned, link, leadHours }: FitContext, mode: FitMode, body: FitBody): LevelFit {
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
export function emptyFit(context: FitContext, mode: FitMode, status: FitStatus): LevelFit {
  const none = new Float64Array(0);
  return finish(context, mode, {
    status,
    grid: gridOf(context.aligned, undefined, { set: [], probability: new Map() }),
    reading: Object.freeze({ lagHours: 0, storageHours: 0 }),
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
