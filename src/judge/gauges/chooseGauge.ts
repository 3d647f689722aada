import { quantileSorted } from '../../kernel/quantile.js';
import { floodRatios, type Measured } from '../floodRatios.js';
import { expandedTail } from '../skill.js';
import { THRESHOLDS } from '../thresholds.js';
import { CLEARLY, drawnSums, probabilityBetter, type FloodDraws } from './compareScores.js';
import type { LeftOutScores } from './leftOutScores.js';

/** A candidate as the choice sees it. */
export interface Choosable {
  /** One official gauge, read as it is: nothing to work out from several or by a factor. */
  readonly plain: boolean;
  /** Gauges that somebody has to look at. */
  readonly gauges: number;
  readonly scores: Pick<LeftOutScores, 'scores' | 'without'>;
}

export interface Choice {
  /** Place among the candidates; -1: none of them, the logged frequencies. */
  readonly chosen: number;
  /** The best plain single gauge, which arithmetic is measured against; -1 where there is none. */
  readonly plain: number;
  /** What each candidate gains in skill over the plain one, on the same floods; null without a plain one and for it itself. */
  readonly gains: readonly (Measured | null)[];
  /** The same choice with each flood out of it (F). */
  readonly chosenWithout: Int32Array;
  /** Skill of what would have been chosen without each flood, on that flood. */
  readonly skill: Measured;
  /** Share of the floods without which the choice is the same; null without floods. */
  readonly sameChoice: number | null;
}

/**
 * Chooses a gauge, and says how good choosing like this is where it counts: on floods that had no part in the choice.
 *
 * The rule: the best plain single gauge, if it beats the logged frequencies in at least 4 of 5 draws of floods with replacement. What
 * takes arithmetic, with the fewest gauges first, takes its place only by a clear gain: at least `THRESHOLDS.clearGain` of skill, and the
 * gain's own 80 % interval above nothing. What is found is chosen only if the rule's skill, as below, is above 0 with its whole 80 %
 * interval.
 *
 * For the skill the rule is followed once for each flood f with the scores that neither f nor the flood scored had a part in (`without`),
 * and flood f is scored by what was chosen: the best score of many is a lucky one, this is not.
 *
 * @param candidates each with the scores of the same F floods.
 * @param options.base score of the logged frequencies (F).
 * @param options.draws floods drawn anew.
 * @param options.seed seed of the intervals.
 */
export function chooseGauge(
  candidates: readonly Choosable[],
  { base, draws, seed }: { base: Float64Array; draws: FloodDraws; seed: number },
): Choice {
  const F = base.length;
  const own = candidates.map((c) => c.scores.scores);
  const all = { candidates, base, draws };
  const best = simplestUnbeaten(own, { ...all, skip: -1 });
  const plain = lowest(plainOnes(candidates), own);
  const chosenWithout = new Int32Array(F);
  const gained = new Float64Array(F);
  for (let f = 0; f < F; f++) {
    const scores = candidates.map((c) => c.scores.without.subarray(f * F, (f + 1) * F));
    chosenWithout[f] = simplestUnbeaten(scores, {
      ...all,
      draws: { ...draws, times: withoutFlood(draws, f) },
      skip: f,
    });
    if (chosenWithout[f] >= 0) gained[f] = base[f] - own[chosenWithout[f]][f];
  }
  const ratio = (of: Float64Array): Measured => floodRatios([{ of, from: base }], { floods: F, seed })[0];
  const skill = ratio(gained);
  const same = chosenWithout.reduce((count, at) => count + (at === best ? 1 : 0), 0);
  // The best of eleven that know nothing looks better than nothing in four logs of five; on floods without a part in the choice it does
  // not.
  const worth = (skill.i80[0] ?? 0) > 0;
  return {
    chosen: worth ? best : -1,
    plain,
    gains: own.map((scores, c) => (plain < 0 || c === plain ? null : ratio(own[plain].map((s, f) => s - scores[f])))),
    chosenWithout,
    skill,
    sameChoice: F > 0 ? same / F : null,
  };
}

/** The rule itself; -1: the logged frequencies. */
function simplestUnbeaten(
  scores: readonly Float64Array[],
  {
    candidates,
    base,
    draws,
    skip,
  }: { candidates: readonly Choosable[]; base: Float64Array; draws: FloodDraws; skip: number },
): number {
  const kept = (values: Float64Array) => (skip < 0 ? values : values.with(skip, 0));
  const own = scores.map(kept);
  const sums = drawnSums([...own, kept(base)], draws);
  const none = sums[candidates.length];
  const beatsNothing = (c: number) => probabilityBetter(sums[c], none) >= CLEARLY;
  let best = lowest(plainOnes(candidates), own);
  if (best >= 0 && !beatsNothing(best)) best = -1;
  const worked = candidates.flatMap(({ plain, gauges }, at) => (plain ? [] : [{ at, gauges }]));
  for (const count of [...new Set(worked.map(({ gauges }) => gauges))].sort((a, b) => a - b)) {
    const at = lowest(
      worked.flatMap((one) => (one.gauges === count ? [one.at] : [])),
      own,
    );
    const gain = { of: own[at], over: best < 0 ? null : own[best], from: kept(base) };
    if (best < 0 ? beatsNothing(at) : gains(gain, { ours: sums[at], theirs: sums[best], none })) best = at;
  }
  return best;
}

/** Is the gain clear: large enough, and above nothing with its whole 80 % interval? */
function gains(
  { of, over, from }: { of: Float64Array; over: Float64Array | null; from: Float64Array },
  { ours, theirs, none }: { ours: Float64Array; theirs: Float64Array; none: Float64Array },
): boolean {
  const value = (total(over!) - total(of)) / total(from);
  if (!(value >= THRESHOLDS.clearGain) || from.length < 2) return false;
  const drawn = ours.map((sum, b) => (theirs[b] - sum) / none[b]).sort();
  return quantileSorted(drawn, expandedTail(from.length)) > 0;
}

function total(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0);
}

function plainOnes(candidates: readonly Choosable[]): readonly number[] {
  return candidates.flatMap(({ plain }, at) => (plain ? [at] : []));
}

/** The place with the lowest total, the first on a tie; -1 for none. */
function lowest(places: readonly number[], scores: readonly Float64Array[]): number {
  return places.reduce((best, at) => (best < 0 || total(scores[at]) < total(scores[best]) ? at : best), -1);
}

/** The draws with one flood taken out of each. */
function withoutFlood({ floods: F, count, times }: FloodDraws, flood: number): Int32Array {
  const out = times.slice();
  for (let b = 0; b < count; b++) out[b * F + flood] = 0;
  return out;
}
