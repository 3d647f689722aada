import type { Aligned } from '../align/types.js';
import { lagQuantile } from '../fit/centralReading.js';
import type { LevelFit } from '../fit/types.js';
import { paretoSmooth } from '../kernel/pareto.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { gaugeDoubt } from './gaugeDoubt.js';
import { gridPointOfDraws, visitX } from './gridPoint.js';
import { ELSEWHERE_PRIOR, sightingSlips, TIME_SLIPS, type Explanation, type SightingSlip } from './suspectSlips.js';
import { visitState, type ShiftRange } from './visitStates.js';

/**
 * A visit is suspect from odds of one in five that something is wrong with it. In simulation few sound visits get there: see
 * docs/judging.md.
 */
export const SUSPECT_BELOW = 0.8;
/** δ on steps of 0.1 up to ±5 ln units: any two readings of one gauge that a creek is paddled by. */
const STEP = 0.1;
const MOST_STEPS = 50;
const DRAWS = 50;
const HOUR = 3_600_000;
/** A slip of the clock counts as tried when the record tells its reading under at least this share of the draws. */
const LEAST_TOLD = 0.5;

/** A visit that fits the gauge badly, and what would explain it. It is shown, never removed. */
export interface Suspect {
  readonly visit: string;
  readonly timeMs: number;
  /** Lines in visits.csv, and who wrote them. */
  readonly rows: readonly number[];
  readonly observers: readonly string[];
  /** Probability that all is as written. */
  readonly sound: number;
  /**
   * Likelihood of its sightings at the reading written down, against that at readings of other visits: below 1, another day would fit
   * better.
   */
  readonly againstOtherDays: number;
  /** Everything that was tried, likeliest first; with `sound` the probabilities sum to 1. */
  readonly explanations: readonly (Explanation & { readonly probability: number })[];
}

/** Visits with odds of one in five or more that something is wrong. */
export interface Suspects {
  readonly kind: 'suspects';
  /** Least sound first. */
  readonly suspects: readonly Suspect[];
  /** Visits with a reading. */
  readonly judged: number;
  /** Slips of the clock that no visit could be tried for, because the lags aligned don't reach so far, hours. */
  readonly hoursNotTried: readonly number[];
}

/**
 * Looks for visits whose sightings contradict the gauge, and re-evaluates their likelihood under slips that people make: 12 hours or a
 * day off, an hour (clock
 * change), a word meant for another feature, a number in another unit, with its decimal mark or sign lost, or misread altogether, or a
 * visit that belongs to some other day.
 *
 *   P(slip) ∝ prior(slip) · Σ_d w_d L_i,d(slip), w_d ∝ 1/L_i,d: the draws as they would be without the visit (Pareto-smoothed).
 *
 * With the record at hand, a gauge whose readings around the visit are estimated, provisional or beside a gap is one explanation more:
 * then its reading says
 * nothing, and the sightings are as likely as on other days.
 *
 * A visit written down Δ hours before it took place reads the gauge at lag L - Δ, so its other readings lie on the grid of lags. The
 * shape of a time window is kept.
 *
 * @param fit draws of the level model.
 * @param aligned the visits that the fit was made from.
 * @param options.below visits that are less likely sound than this are listed; default SUSPECT_BELOW.
 * @param options.record the gauge's record; without it the gauge is not doubted.
 * @returns no suspects without draws.
 * @throws RangeError when fit and aligned hold different numbers of visits.
 */
export function suspectsOf(
  fit: LevelFit,
  aligned: Aligned,
  { below = SUSPECT_BELOW, record }: { below?: number; record?: GaugeRecord | undefined } = {},
): Suspects {
  const n = aligned.visitIds.length;
  const D = fit.draws.count;
  if (D > 0 && fit.draws.visitLogLik.length !== D * n)
    throw new RangeError(
      `suspectsOf: aligned holds ${n} visits, the fit another number; give the visits the fit was made from`,
    );
  const take = Math.min(DRAWS, D);
  const chosen = Array.from({ length: take }, (_, k) => Math.floor(((k + 0.5) * D) / take));
  const points = gridPointOfDraws(aligned, fit.draws);
  const readings = new Map(
    chosen.map((draw) => [
      draw,
      Float64Array.from({ length: n }, (_, visit) => stateX({ fit, aligned }, { draw, point: points[draw], visit })),
    ]),
  );
  const tried = new Set<number>();
  const suspects: Suspect[] = [];
  let judged = 0;
  for (let visit = 0; visit < n; visit++) {
    const others = sightingSlips(aligned, visit);
    const terms = visitTerms({ fit, aligned, visit }, { chosen, points, readings, others });
    if (terms === null) continue;
    judged++;
    for (const { hours } of terms.clock) tried.add(hours!);
    const doubt = record === undefined ? null : gaugeDoubt(record, readFrom({ fit, aligned, visit }));
    const gauge = doubt === null ? [] : [{ ...doubt, likelihood: terms.elsewhere }];
    const { sound, explanations } = weighed({ ...terms, slips: [...terms.clock, ...terms.changed, ...gauge] });
    if (!(sound < below)) continue;
    const rows = Array.from(
      { length: aligned.sightingStart[visit + 1] - aligned.sightingStart[visit] },
      (_, k) => aligned.sightingStart[visit] + k,
    );
    suspects.push({
      visit: aligned.visitIds[visit],
      timeMs: aligned.visitTimesMs[visit],
      rows: rows.map((j) => aligned.sightingRow[j]),
      observers: [...new Set(rows.map((j) => aligned.observers[aligned.sightingObserver[j]]))],
      sound,
      againstOtherDays: terms.sound / terms.elsewhere,
      explanations: explanations,
    });
  }
  suspects.sort((a, b) => a.sound - b.sound);
  return {
    kind: 'suspects',
    suspects: suspects,
    judged,
    hoursNotTried: TIME_SLIPS.map(({ hours }) => hours!).filter((h) => judged > 0 && !tried.has(h)),
  };
}

/** The stretch of the record that a visit is read from: its time less the 80 % interval of the lag. */
function readFrom({ fit, aligned, visit }: { fit: LevelFit; aligned: Aligned; visit: number }): {
  fromMs: number;
  toMs: number;
} {
  const timeMs = aligned.visitTimesMs[visit];
  return {
    fromMs: timeMs - lagQuantile(fit.grid, 0.9) * HOUR,
    toMs: timeMs - lagQuantile(fit.grid, 0.1) * HOUR,
  };
}

type Weighed = Explanation & { readonly likelihood: number };

interface Terms {
  readonly sound: number;
  readonly elsewhere: number;
  /** Slips of the clock that the record tells a reading for. */
  readonly clock: readonly Weighed[];
  /** Sightings read another way. */
  readonly changed: readonly Weighed[];
}

/** x of a visit at a grid point with the draw's limb term; NaN without a reading. */
function stateX(
  { fit, aligned }: { fit: LevelFit; aligned: Aligned },
  { draw, point, visit }: { draw: number; point: number; visit: number },
): number {
  const slope = aligned.slope[point * aligned.visitIds.length + visit];
  return visitX(aligned, { visit, point }) + (slope === slope ? fit.draws.limb[draw] * slope : 0);
}

/** Likelihoods of a visit as written, on other days, and with every slip; null without a reading. */
function visitTerms(
  { fit, aligned, visit }: { fit: LevelFit; aligned: Aligned; visit: number },
  {
    chosen,
    points,
    readings,
    others,
  }: {
    chosen: readonly number[];
    points: Int32Array;
    /** x of every visit under each of the draws. */
    readings: ReadonlyMap<number, Float64Array>;
    others: readonly SightingSlip[];
  },
): Terms | null {
  const draws = chosen.filter((draw) => readings.get(draw)![visit] === readings.get(draw)![visit]);
  if (draws.length === 0) return null;
  const nLag = aligned.lagsHours.length;
  // How far the reading would lie from the one written down: on the days of the other visits, and with each slip of the clock.
  const elsewhereBy = draws.map((draw) => {
    const x = readings.get(draw)!;
    return x.map((other) => other - x[visit]).filter((moved, i) => i !== visit && moved === moved);
  });
  const clockBy = draws.map((draw) =>
    TIME_SLIPS.map(({ hours }) => {
      const point = points[draw];
      const lag = aligned.lagsHours[point % nLag] - hours!;
      const place = aligned.lagsHours.findIndex((l) => Math.abs(l - lag) < 1e-9);
      if (place < 0) return NaN;
      const there = { draw, point: point - (point % nLag) + place, visit };
      return stateX({ fit, aligned }, there) - readings.get(draw)![visit];
    }),
  );
  const states = draws.map((draw, at) => {
    const range = rangeOver([...elsewhereBy[at], ...clockBy[at]]);
    const state = visitState(
      { fit, aligned, visit, draw, point: points[draw] },
      {
        range,
        sigmaShares: [1],
        changes: others.map(({ sighting, changed }) => ({ sighting, aligned: changed })),
        gross: false,
      },
    );
    return { range, ...state };
  });
  const here = states.map(({ logLik, range }) => logLik[range.below]);
  const n = aligned.visitIds.length;
  // A draw under which the visit is impossible would weigh without end: the smoothing needs a finite number.
  const fitted = Float64Array.from(draws, (draw) => -Math.max(fit.draws.visitLogLik[draw * n + visit], -700));
  const weights = Array.from(paretoSmooth(fitted).logWeights, Math.exp);
  const clock = TIME_SLIPS.flatMap((slip, s): Weighed[] => {
    let likelihood = 0;
    let told = 0;
    clockBy.forEach((moved, at) => {
      if (!(moved[s] === moved[s])) return;
      likelihood += weights[at] * Math.exp(readAt(states[at], moved[s]));
      told += weights[at];
    });
    return told >= LEAST_TOLD ? [{ ...slip, likelihood: likelihood / told }] : [];
  });
  return {
    sound: here.reduce((sum, v, at) => sum + weights[at] * Math.exp(v), 0),
    elsewhere: elsewhereBy.reduce((sum, moved, at) => {
      const all = moved.reduce((total, by) => total + Math.exp(readAt(states[at], by)), 0);
      return sum + (moved.length > 0 ? (weights[at] * all) / moved.length : 0);
    }, 0),
    clock,
    changed: others.map(({ slip, lnScale }, i) => ({
      ...slip,
      likelihood: weights.reduce((sum, w, at) => sum + w * Math.exp(states[at].changed[i] + lnScale), 0),
    })),
  };
}

/** The steps of δ that hold 0 and all of these distances, as far as there are any. */
function rangeOver(moved: readonly number[]): ShiftRange {
  let low = 0;
  let high = 0;
  for (const by of moved) {
    if (by < low) low = by;
    if (by > high) high = by;
  }
  const steps = (distance: number): number => Math.min(MOST_STEPS, Math.ceil(distance / STEP));
  return { below: steps(-low), above: steps(high), step: STEP };
}

/** Posterior of "as written", every slip, and another day. */
function weighed({ sound, elsewhere, slips }: { sound: number; elsewhere: number; slips: readonly Weighed[] }): {
  sound: number;
  explanations: (Explanation & { probability: number })[];
} {
  const all: Weighed[] = [
    ...slips,
    {
      kind: 'another-day',
      sentence: 'Belongs to some other day, or to another run.',
      prior: ELSEWHERE_PRIOR,
      likelihood: elsewhere,
    },
  ];
  const right = (1 - all.reduce((sum, { prior }) => sum + prior, 0)) * sound;
  const total = right + all.reduce((sum, { prior, likelihood }) => sum + prior * likelihood, 0);
  return {
    sound: right / total,
    explanations: all
      .map(({ likelihood, ...slip }) => ({ ...slip, probability: (slip.prior * likelihood) / total }))
      .sort((a, b) => b.probability - a.probability),
  };
}

/** ln L at δ between the grid's points by a straight line, beyond them its end value. */
function readAt({ logLik, range }: { logLik: Float64Array; range: ShiftRange }, delta: number): number {
  const last = logLik.length - 1;
  const position = Math.min(last, Math.max(0, delta / range.step + range.below));
  const low = Math.floor(position);
  const part = position - low;
  if (part === 0) return logLik[low];
  return (1 - part) * logLik[low] + part * logLik[low + 1];
}
