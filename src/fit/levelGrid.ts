import { carry, createScreen, type Prospect } from './screenGrid.js';
import { findMode, type Mode } from './findMode.js';
import { createGridProblem, type GridProblem } from './gridProblem.js';
import { moveSpread, observerSpreadGrid } from './observerSpread.js';

/** Grid points this far (ln likelihood) below the best of their set by the screen are given no weight. */
const SCREEN_MARGIN = 9;

/** Hours of lag between the points looked at, first to find a reference, then to choose points. */
const COARSE_HOURS = 2;
const FINE_HOURS = 1;

/** Times ω̂ is improved before the grid is fitted. */
const SPREAD_ROUNDS = 3;

/** Modes on the grid are sought to about 1e-3 of a ln unit (see findMode): importance weights feel nothing smaller. */
const GRID_TOLERANCE = 1e-3;

/** Points of a set that are fitted at most. */
const MAX_POINTS = 32;

/** Modes found so far on one problem's grid, and where more are worth finding. */
export interface LevelGrid {
  readonly problem: GridProblem;
  readonly modes: Map<number, Mode>;
  /** ln evidence of each point with a mode, the observers' spread averaged over. */
  readonly logEvidence: Map<number, number>;
  /** The points of each set asked for that carry its weight; same order as asked. */
  sets: readonly (readonly number[])[];
  iterations: number;
  /** The points of each set that were to be climbed at: an even lattice of them where they are very many. */
  lattices: readonly (readonly number[])[];
  /** Points that were climbed at; the others borrowed a mode. */
  climbed: ReadonlySet<number>;
}

/**
 * Find the modes at all grid points of each set that can carry weight: screen the sets with one reference mode, improve the reference at
 * the best point, screen again, and climb at every point within the margin of its set's best.
 *
 * @param sets grid indices; each set is judged by its own best point.
 */
export function fitGrid(
  asked: GridProblem,
  sets: readonly (readonly number[])[],
  onPoint?: (progress: { readonly done: number; readonly total: number }) => void,
): LevelGrid {
  let problem = asked;
  const all = [...new Set(sets.flat())].sort((a, b) => a - b);
  const first = referencePoint(problem, all);
  let reference = findMode(problem, first, problem.start(first), { tolerance: GRID_TOLERANCE });
  let prospects = screen(problem, all, reference, COARSE_HOURS);
  const best = bestOf(all, prospects);
  if (best !== first)
    reference = findMode(problem, best, carry(problem, reference.u, prospects.get(best)!), {
      tolerance: GRID_TOLERANCE,
    });
  for (let round = 0; round < SPREAD_ROUNDS; round++) {
    const omega = likeliestSpread(problem, reference);
    if (omega === problem.options.observerSd) break;
    problem = createGridProblem(problem.aligned, { ...problem.options, observerSd: omega });
    reference = findMode(problem, best, reference.u, { tolerance: GRID_TOLERANCE });
  }
  prospects = screen(problem, all, reference, FINE_HOURS);

  const grid: LevelGrid = {
    problem,
    modes: new Map(),
    logEvidence: new Map(),
    sets: [],
    lattices: [],
    iterations: 0,
    climbed: new Set(),
  };
  const keep = (mode: Mode): void => {
    grid.iterations += mode.iterations;
    grid.modes.set(mode.g, mode);
    grid.logEvidence.set(mode.g, spreadEvidence(problem, mode));
  };
  keep(reference);

  const nL = problem.aligned.lagsHours.length;
  const { gridPrior } = problem.options;
  // What the visits alone would hold likely is climbed at as well: a prior that they contradict must lose, and what they say without it is
  // asked for.
  const alone =
    gridPrior === undefined
      ? undefined
      : new Map([...prospects].map(([g, p]) => [g, { ...p, logLik: p.logLik - gridPrior[g] }]));
  const views = alone === undefined ? [prospects] : [prospects, alone];
  const chosen = sets.map((set) => views.map((view) => promisingPoints(set, view)));
  const promising = chosen.map(joined);
  grid.lattices = chosen.map((byView) =>
    joined(byView.map((points, v) => thinned(points, bestOf(points, views[v]), nL))),
  );
  const wanted = new Set(grid.lattices.flat());
  // From the best point outwards, so that every climb starts beside one that is done.
  const apart = (g: number): number => Math.abs(rowOf(g, nL) - rowOf(best, nL)) * nL + Math.abs((g % nL) - (best % nL));
  const order = [...wanted].filter((g) => !grid.modes.has(g)).sort((a, b) => apart(a) - apart(b) || a - b);
  let done = 0;
  for (const g of order) {
    keep(findMode(problem, g, nearestMode(grid.modes, g, nL).u, { tolerance: GRID_TOLERANCE }));
    onPoint?.({ done: ++done, total: order.length });
  }
  // The points left out take the mode of their nearest neighbour, at the height that the posterior has there at their own point. Importance
  // weights are worked out at each draw's own point, so this only has to be near.
  const climbed = new Map(grid.modes);
  for (const g of new Set(promising.flat())) {
    if (climbed.has(g)) continue;
    const near = nearestMode(climbed, g, nL);
    const rise = problem.freshLogPosterior(near.u, g) - problem.freshLogPosterior(near.u, near.g);
    if (!Number.isFinite(rise)) continue;
    grid.modes.set(g, { ...near, g, value: near.value + rise, logEvidence: near.logEvidence + rise });
    grid.logEvidence.set(g, grid.logEvidence.get(near.g)! + rise);
  }
  grid.climbed = new Set(climbed.keys());
  grid.sets = promising.map((points) => points.filter((g) => grid.modes.has(g)));
  return grid;
}

/** The point of the single reading nearest to lag 0 within the sets. */
function referencePoint(problem: GridProblem, all: readonly number[]): number {
  const { lagsHours, storagesHours } = problem.aligned;
  const nL = lagsHours.length;
  let best = all[0];
  let bestScore = Infinity;
  for (const g of all) {
    const score = Math.abs(lagsHours[g % nL]) + 10 * Math.abs(storagesHours[Math.floor(g / nL)]);
    if (score < bestScore) {
      best = g;
      bestScore = score;
    }
  }
  return best;
}

/**
 * Prospects of all points; only lags about `hours` apart are looked at, and the ones between take the better neighbour's: the evidence is
 * smooth in the lag over an hour or two.
 */
function screen(problem: GridProblem, all: readonly number[], reference: Mode, hours: number): Map<number, Prospect> {
  const look = createScreen(problem, reference);
  const out = new Map<number, Prospect>();
  const { lagsHours } = problem.aligned;
  const nL = lagsHours.length;
  const stride = nL > 1 ? Math.max(1, Math.floor((hours * (nL - 1)) / (lagsHours[nL - 1] - lagsHours[0]) + 1e-9)) : 1;
  let previous: { row: number; prospect: Prospect } | undefined;
  const skipped: number[] = [];
  for (const g of all) {
    const row = Math.floor(g / nL);
    const fresh = previous?.row !== row;
    if (!fresh && (g % nL) % stride !== 0) {
      skipped.push(g);
      continue;
    }
    const prospect = look(g, !fresh && Number.isFinite(previous!.prospect.logLik) ? previous!.prospect : undefined);
    // The first of a row starts cold: give it the rounds that its neighbours inherit.
    out.set(g, fresh && Number.isFinite(prospect.logLik) ? look(g, prospect) : prospect);
    previous = { row, prospect };
  }
  for (const g of skipped) {
    let best: Prospect | undefined;
    for (let d = 1; d < stride; d++)
      for (const other of [g - d, g + d]) {
        const p = Math.floor(other / nL) === Math.floor(g / nL) ? out.get(other) : undefined;
        if (p !== undefined && !(p.logLik <= (best?.logLik ?? -Infinity))) best = p;
      }
    out.set(g, best ?? look(g));
  }
  const { gridPrior } = problem.options;
  if (gridPrior !== undefined) for (const [g, p] of out) out.set(g, { ...p, logLik: p.logLik + gridPrior[g] });
  return out;
}

/** The points of a set within the margin of its best. */
function promisingPoints(set: readonly number[], prospects: ReadonlyMap<number, Prospect>): number[] {
  const best = bestOf(set, prospects);
  const enough = prospects.get(best)!.logLik - SCREEN_MARGIN;
  return set.filter((g) => g === best || prospects.get(g)!.logLik > enough);
}

/**
 * Of very many points (a gauge that says little prefers no lag) a lattice around the best: every second, fourth, … lag, then every second
 * storage, until few enough are left to climb at. The others borrow from their neighbours.
 */
function thinned(points: readonly number[], best: number, lags: number): number[] {
  let lagStride = 1;
  let rowStride = 1;
  const kept = (): number[] =>
    points.filter(
      (g) => ((g % lags) - (best % lags)) % lagStride === 0 && (rowOf(g, lags) - rowOf(best, lags)) % rowStride === 0,
    );
  while (kept().length > MAX_POINTS && lagStride < lags) {
    if (lagStride > 4 * rowStride) rowStride *= 2;
    else lagStride *= 2;
  }
  return kept();
}

function bestOf(set: readonly number[], prospects: ReadonlyMap<number, Prospect>): number {
  let best = set[0];
  for (const g of set) if (prospects.get(g)!.logLik > prospects.get(best)!.logLik) best = g;
  return best;
}

/** The points of all lists, ascending; a single list as it is. */
function joined(lists: readonly (readonly number[])[]): readonly number[] {
  return lists.length === 1 ? lists[0] : [...new Set(lists.flat())].sort((a, b) => a - b);
}

function rowOf(g: number, nL: number): number {
  return Math.floor(g / nL);
}

/** The fitted mode nearest on the grid: a step in storage counts as much as six in lag, about what they do to x. */
export function nearestMode(modes: ReadonlyMap<number, Mode>, g: number, nL: number): Mode {
  let best: Mode | undefined;
  let least = Infinity;
  for (const [other, mode] of modes) {
    const far = 6 * Math.abs(rowOf(other, nL) - rowOf(g, nL)) + Math.abs((other % nL) - (g % nL));
    if (far < least && mode.status === 'converged') {
      least = far;
      best = mode;
    }
  }
  return best ?? modes.values().next().value!;
}

/** The ω of the spread grid with the highest evidence at a mode. */
function likeliestSpread(problem: GridProblem, mode: Mode): number {
  const { omega, logPrior } = observerSpreadGrid(problem);
  let best = problem.options.observerSd;
  let top = -Infinity;
  omega.forEach((w, j) => {
    const moved = mode.factor === undefined ? undefined : moveSpread(problem, mode, w);
    if (moved !== undefined && moved.logEvidence + logPrior[j] > top) {
      top = moved.logEvidence + logPrior[j];
      best = w;
    }
  });
  return best;
}

/** ln evidence at a mode with ω averaged over its grid; -Infinity where the mode is no proper maximum. */
export function spreadEvidence(problem: GridProblem, mode: Mode): number {
  if (mode.factor === undefined) return -Infinity;
  const { omega, logPrior } = observerSpreadGrid(problem);
  const terms: number[] = [];
  omega.forEach((w, j) => {
    const moved = moveSpread(problem, mode, w);
    if (moved !== undefined) terms.push(moved.logEvidence + logPrior[j]);
  });
  const top = Math.max(...terms);
  return top + Math.log(terms.reduce((sum, t) => sum + Math.exp(t - top), 0));
}
