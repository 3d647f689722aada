import { floodRatios, type Measured } from '../floodRatios.js';
import { CLEARLY, drawnSums, probabilityBetter, type FloodDraws } from './compareScores.js';
import type { LeftOutScores } from './leftOutScores.js';

/** A candidate as the choice sees it. */
export interface Choosable {
  /** Gauges that somebody has to look at. */
  readonly gauges: number;
  readonly scores: Pick<LeftOutScores, 'scores' | 'without'>;
}

export interface Choice {
  /** Place among the candidates; -1: none of them, the logged frequencies. */
  readonly chosen: number;
  /** The same with each flood out of the choice (F). */
  readonly chosenWithout: Int32Array;
  readonly skill: Measured;
  /** Share of the floods without which the choice is the same; null without floods. */
  readonly sameChoice: number | null;
}

/**
 * Chooses a gauge, and says how good choosing like this is where it counts: on floods that had no part in the choice.
 *
 * The rule: with the fewest gauges to look at, take the candidate with the lowest score, unless the best of all clearly beats it (better in at least 4 of 5 draws of floods with
 * replacement); then allow one gauge more. Looking at nothing, the logged frequencies, is a candidate with no gauge, and a combination has to earn its place. What is found is
 * chosen only if the rule's skill, as below, is above 0 with its whole 80 % interval.
 *
 * For the skill the rule is followed once for each flood f with the scores that neither f nor the flood scored had a part in (`without`), and flood f is
 * scored by what was chosen: the best score of many is a lucky one, this is not.
 *
 * @param candidates each with the scores of the same F floods. @param options.base score of the logged frequencies (F).
 * @param options.draws floods drawn anew. @param options.seed seed of the skill's interval.
 */
export function chooseGauge(
  candidates: readonly Choosable[],
  { base, draws, seed }: { base: Float64Array; draws: FloodDraws; seed: number },
): Choice {
  const F = base.length;
  const gauges = [...candidates.map((c) => c.gauges), 0];
  const pick = (scores: readonly Float64Array[], { on, skip }: { on: FloodDraws; skip: number }): number => {
    const at = simplestNotBeaten([...scores, base], { gauges, draws: on, skip });
    return at === candidates.length ? -1 : at;
  };
  const best = pick(
    candidates.map((c) => c.scores.scores),
    { on: draws, skip: -1 },
  );
  const chosenWithout = new Int32Array(F);
  const reached = new Float64Array(F);
  const gained = new Float64Array(F);
  for (let f = 0; f < F; f++) {
    const others: FloodDraws = { ...draws, times: withoutFlood(draws, f) };
    chosenWithout[f] = pick(
      candidates.map((c) => c.scores.without.subarray(f * F, (f + 1) * F)),
      { on: others, skip: f },
    );
    reached[f] = chosenWithout[f] < 0 ? base[f] : candidates[chosenWithout[f]].scores.scores[f];
    gained[f] = base[f] - reached[f];
  }
  const [skill] = floodRatios([{ of: gained, from: base }], { floods: F, seed });
  const same = chosenWithout.reduce((count, at) => count + (at === best ? 1 : 0), 0);
  // The best of eleven that know nothing looks better than nothing in four logs of five; on floods without a part in the choice it does not.
  const low = skill.i80[0];
  const worth = low !== null && low > 0;
  return { chosen: worth ? best : -1, chosenWithout, skill, sameChoice: F > 0 ? same / F : null };
}

/** The best candidate of the fewest gauges that the best of all does not clearly beat. */
function simplestNotBeaten(
  scores: readonly Float64Array[],
  { gauges, draws, skip }: { gauges: readonly number[]; draws: FloodDraws; skip: number },
): number {
  const totals = scores.map((own) => own.reduce((sum, s, f) => (f === skip ? sum : sum + s), 0));
  const better = (a: number, b: number): number => (totals[b] < totals[a] ? b : a);
  const all = scores.map((_, c) => c);
  const top = all.reduce(better);
  const sums = drawnSums(scores, draws);
  for (const count of [...new Set(gauges)].sort((a, b) => a - b)) {
    const best = all.filter((c) => gauges[c] === count).reduce(better);
    if (best === top || !(probabilityBetter(sums[top], sums[best]) >= CLEARLY)) return best;
  }
  return top;
}

/** The draws with one flood taken out of each. */
function withoutFlood({ floods: F, count, times }: FloodDraws, flood: number): Int32Array {
  const out = times.slice();
  for (let b = 0; b < count; b++) out[b * F + flood] = 0;
  return out;
}
