import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { gridPoint, gridPointOfDraws, visitX } from './gridPoint.js';
import { pettitt, type PettittTest } from './pettitt.js';
import { floodLogLik, floodSpans, type FloodSpan } from './shiftFloods.js';
import { summariseStep, type StepSummary } from './shiftSummary.js';
import { visitState, type ShiftGrid } from './visitStates.js';

/** A step is called found from this posterior probability on. Simulated stable creeks reach it in well under 5 %: see docs/judging.md. */
export const SHIFT_FOUND = 0.9;
/** Prior sd of the step's size, ln units of discharge: two thirds of prior steps are smaller than a factor of 1.65. */
export const STEP_PRIOR_SD = 0.5;
/** Largest step looked for, ln units of discharge, and the grid's step. */
const LARGEST = 1.5;
const GRID_STEP = 0.05;
/** Floods on either side without which nothing can be said about a lasting change. */
export const FEWEST_FLOODS_ASIDE = 3;
/** Shares of σ² that the visits of one flood have in common, averaged over with what the visits say of each. */
export const FLOOD_SHARES: readonly number[] = [0, 0.35, 0.7];
/**
 * Draws looked at, evenly thinned: four times as many move ln of the evidence ratio by 0.05 without a step, by up to 0.7 where it is 4.
 */
const DRAWS = 40;

/** One lasting step in how the creek stands to its gauge, against none. */
export interface ShiftFinding {
  readonly kind: 'shift';
  /** `too-few`: fewer than 6 floods with a reading, or no draws; then everything else is null or empty. */
  readonly status: 'judged' | 'too-few';
  /** Posterior probability of one lasting step against none. */
  readonly probability: number | null;
  readonly found: boolean;
  /** ln of the evidence for a step over that for none. */
  readonly logBayesFactor: number | null;
  /** Date and size, given that there is one. */
  readonly step: StepSummary | null;
  /** Pettitt's test of the floods' mean residuals; t counts floods. */
  readonly pettitt: PettittTest | null;
  /**
   * State minus gauge of each visit in ln units, given its sightings and pulled towards 0 where they say little (n); NaN without a
   * reading.
   */
  readonly residuals: Float64Array;
}

/**
 * Did the relation move for good? Compares "one step of size Δ after flood τ" with "no step" for the visits' states.
 *
 *   P(step)/P(none) = prior odds · Σ_{τ,Δ} π(τ) π(Δ) E_draws[Π_f L_f(a + Δ·[f > τ])/Π_i L_i] / E_draws[Π_f L_f(0)/Π_i L_i]
 *
 * L_i is the fit's likelihood of visit i, L_f that of a flood whose visits share a part of the mismatch (0, 0.35 or 0.7 of σ², averaged
 * over), so that six visits of one odd flood are no six witnesses. a = -Δ·(share of visits after τ) lets the edges settle between the two
 * states: the edges' place has a prior that is flat over such distances, so moving them along with Δ changes nothing in the integral and
 * keeps every draw useful. A visit may be wrong altogether (2 %), which keeps one mistaken date from making a step. π(τ): every gap
 * between floods with at least 3 floods on both sides alike; π(Δ): N(0, 0.5²) in ln units up to ±1.5 (for a stage gauge times the spread
 * of its x, at most 1).
 *
 * A change of observer together with the step hides part of it: the biases take it up.
 *
 * @param fit draws of the level model.
 * @param aligned the visits that the fit was made from.
 * @param options.prior probability of a step before looking; default 0.5.
 * @param options.draws draws to use at most; default 40.
 * @throws RangeError when fit and aligned hold different numbers of visits, or for a prior outside (0, 1).
 */
export function shiftOf(
  fit: LevelFit,
  aligned: Aligned,
  { prior = 0.5, draws = DRAWS }: { prior?: number; draws?: number } = {},
): ShiftFinding {
  const n = aligned.visitIds.length;
  if (!(prior > 0 && prior < 1)) throw new RangeError(`shiftOf: prior must be between 0 and 1, got ${prior}`);
  if (fit.draws.count > 0 && fit.draws.visitLogLik.length !== fit.draws.count * n)
    throw new RangeError(
      `shiftOf: aligned holds ${n} visits, the fit another number; give the visits the fit was made from`,
    );
  const residuals = new Float64Array(n).fill(NaN);
  const chosen = thinned(fit.draws.count, draws);
  const points = gridPointOfDraws(aligned, fit.draws);
  const spans = fit.draws.count === 0 ? [] : floodSpans(aligned, points);
  if (spans.length < 2 * FEWEST_FLOODS_ASIDE) return tooFew(residuals);

  const unit = unitOf(fit, aligned);
  const grid: ShiftGrid = { half: Math.round(LARGEST / GRID_STEP), step: GRID_STEP * unit };
  const range = { below: grid.half, above: grid.half, step: grid.step };
  const totals = emptyTotals(spans.length, grid);
  const sums = new Float64Array(n);
  const counts = new Float64Array(n);
  const sizePrior = sizePriorOf(grid, STEP_PRIOR_SD * unit);
  for (const draw of chosen) {
    const sigmaShares = FLOOD_SHARES.map((share) => Math.sqrt(1 - share));
    const states = spans.flatMap(({ visits }) =>
      visits.map((visit) => {
        const state = visitState({ fit, aligned, visit, draw, point: points[draw] }, { range, sigmaShares });
        if (state.residual === state.residual) {
          sums[visit] += state.residual;
          counts[visit]++;
        }
        return state.logLik;
      }),
    );
    const perShare = floodLogLik(states, { spans, grid, sigma: fit.draws.mismatch[draw], shares: FLOOD_SHARES });
    let reference = 0;
    for (const { visits } of spans) for (const visit of visits) reference += fit.draws.visitLogLik[draw * n + visit];
    for (const logLik of perShare) addDraw(totals, { logLik, spans, grid, sizePrior, reference });
  }
  for (let i = 0; i < n; i++) if (counts[i] > 0) residuals[i] = sums[i] / counts[i];

  const logBayesFactor = totals.step.log() - totals.none.log();
  const odds = Math.exp(logBayesFactor) * (prior / (1 - prior));
  const probability = odds === Infinity ? 1 : odds / (1 + odds);
  return {
    kind: 'shift',
    status: 'judged',
    probability,
    found: probability >= SHIFT_FOUND,
    logBayesFactor,
    step: summariseStep(
      totals.cells.map((cell) => cell.log()),
      { spans, grid, timesMs: aligned.visitTimesMs },
    ),
    pettitt: pettitt(Float64Array.from(spans, ({ visits }) => meanOf(visits, residuals)).filter((v) => v === v)),
    residuals,
  };
}

function tooFew(residuals: Float64Array): ShiftFinding {
  return {
    kind: 'shift',
    status: 'too-few',
    probability: null,
    found: false,
    logBayesFactor: null,
    step: null,
    pettitt: null,
    residuals,
  };
}

function thinned(count: number, most: number): number[] {
  const take = Math.min(most, count);
  return Array.from({ length: take }, (_, k) => Math.floor(((k + 0.5) * count) / take));
}

/** ln units of this gauge per ln unit of discharge: 1, and for a stage gauge the spread of the visits' x where that is smaller. */
function unitOf(fit: LevelFit, aligned: Aligned): number {
  if (aligned.parameter === 'discharge') return 1;
  const point = gridPoint(aligned, { lagHours: fit.draws.lagHours[0], storageHours: fit.draws.storageHours[0] });
  const x = aligned.visitIds.map((_, visit) => visitX(aligned, { visit, point })).filter((v) => v === v);
  const mean = x.reduce((a, b) => a + b, 0) / x.length;
  const sd = Math.sqrt(x.reduce((a, b) => a + (b - mean) ** 2, 0) / Math.max(1, x.length - 1));
  return Math.min(1, Math.max(0.005, sd || 1));
}

/** ln π(Δ_k) on the grid. */
function sizePriorOf({ half, step }: ShiftGrid, sd: number): Float64Array {
  const raw = Float64Array.from({ length: 2 * half + 1 }, (_, k) => -0.5 * (((k - half) * step) / sd) ** 2);
  const total = raw.reduce((sum, v) => sum + Math.exp(v), 0);
  return raw.map((v) => v - Math.log(total));
}

/** A sum of exponentials kept as a logarithm. */
class LogSum {
  #top = -Infinity;
  #sum = 0;
  add(value: number): void {
    if (value === -Infinity) return;
    if (value <= this.#top) this.#sum += Math.exp(value - this.#top);
    else {
      this.#sum = this.#sum * Math.exp(this.#top - value) + 1;
      this.#top = value;
    }
  }
  log(): number {
    return this.#top + Math.log(this.#sum);
  }
}

interface Totals {
  readonly none: LogSum;
  readonly step: LogSum;
  /** cells[gap·size + k]: a step of Δ_k in the gap after flood `gap`. */
  readonly cells: LogSum[];
}

function emptyTotals(floods: number, { half }: ShiftGrid): Totals {
  return {
    none: new LogSum(),
    step: new LogSum(),
    cells: Array.from({ length: (floods - 1) * (2 * half + 1) }, () => new LogSum()),
  };
}

/** Adds one draw under one flood share. F floods, logLik F × size. */
function addDraw(
  totals: Totals,
  {
    logLik,
    spans,
    grid: { half },
    sizePrior,
    reference,
  }: { logLik: Float64Array; spans: readonly FloodSpan[]; grid: ShiftGrid; sizePrior: Float64Array; reference: number },
): void {
  const size = 2 * half + 1;
  const F = spans.length;
  // up[f·size + k]: the first f floods at δ_k.
  const up = new Float64Array((F + 1) * size);
  for (let f = 0; f < F; f++)
    for (let k = 0; k < size; k++) up[(f + 1) * size + k] = up[f * size + k] + logLik[f * size + k];
  totals.none.add(up[F * size + half] - reference);
  const visits = spans.reduce((sum, span) => sum + span.visits.length, 0);
  const gaps = F - 2 * FEWEST_FLOODS_ASIDE + 1;
  let before = 0;
  for (let f = 0; f < F - 1; f++) {
    before += spans[f].visits.length;
    if (f + 1 < FEWEST_FLOODS_ASIDE || F - 1 - f < FEWEST_FLOODS_ASIDE) continue;
    for (let k = 0; k < size; k++) {
      const a = half - Math.round(((visits - before) / visits) * (k - half));
      const later = a + k - half;
      const value =
        up[(f + 1) * size + a] +
        up[F * size + later] -
        up[(f + 1) * size + later] +
        sizePrior[k] -
        Math.log(gaps) -
        reference;
      totals.step.add(value);
      totals.cells[f * size + k].add(value);
    }
  }
}

function meanOf(visits: readonly number[], values: Float64Array): number {
  const known = visits.map((i) => values[i]).filter((v) => v === v);
  return known.reduce((a, b) => a + b, 0) / known.length;
}
