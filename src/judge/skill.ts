import { rankedProbabilityScore } from '../kernel/rps.js';
import { createRandom } from '../kernel/random.js';
import { quantileSorted } from '../kernel/quantile.js';
import { classFrequencies, seasonFrequencies } from './frequencies.js';
import type { LeftOut } from './leaveFloodOut.js';
import type { Interval, SkillEstimate } from './types.js';

/** Fewer floods than this can't be resampled into an interval. */
const FEWEST_FLOODS = 2;

/**
 * Ranked probability skill of the left-out odds: 1 - ΣRPS/ΣRPS_base over all cases, 1 perfect, 0 no better than the base, below 0 worse.
 * Bases: how often each class was logged in the other floods, and the same in the season (see `classFrequencies`,
 * `seasonFrequencies`). The 80 % interval comes from resampling whole floods with replacement (percentiles, quantile type 7).
 *
 * Scale: for normal errors the score is proportional to their standard deviation (the score's continuous form is σ/√π), so a
 * skill of 0.6 says: what is left of the guesswork is 40 %.
 *
 * @param left odds with floods left out.
 * @param options.seed seed of the resampling.
 * @param options.resamples default 2000.
 * @returns null without cases; intervals [null, null] with fewer than 2 floods.
 */
export function skillOf(
  left: LeftOut,
  { seed, resamples = 2000 }: { seed: number; resamples?: number },
): SkillEstimate | null {
  const scores = floodScores(left);
  if (scores.chart.length === 0) return null;
  const whole = Int32Array.from(scores.chart, (_, f) => f);
  const random = createRandom(seed);
  const freq = new Float64Array(resamples);
  const month = new Float64Array(resamples);
  const pick = new Int32Array(whole.length);
  for (let b = 0; b < resamples; b++) {
    for (let f = 0; f < pick.length; f++) pick[f] = random.integer(pick.length);
    freq[b] = skillAgainst(scores.chart, scores.frequencies, pick);
    month[b] = skillAgainst(scores.chart, scores.season, pick);
  }
  const enough = whole.length >= FEWEST_FLOODS;
  return Object.freeze({
    againstFrequencies: skillAgainst(scores.chart, scores.frequencies, whole),
    againstFrequencies80: enough ? middle80(freq) : [null, null],
    againstMonth: skillAgainst(scores.chart, scores.season, whole),
    againstMonth80: enough ? middle80(month) : [null, null],
  } as const);
}

/** Weighted sums of the ranked probability score per flood, for the chart and for the two bases (F each). */
export function floodScores(left: LeftOut): { chart: Float64Array; frequencies: Float64Array; season: Float64Array } {
  const { cases, probability, floods } = left;
  const K = cases.classes;
  const slot = new Map(floods.map((f, index) => [f.flood, index]));
  const chart = new Float64Array(floods.length);
  const frequencies = new Float64Array(floods.length);
  const season = new Float64Array(floods.length);
  if (floods.length === 0) return { chart, frequencies, season };
  for (let c = 0; c < cases.visit.length; c++) {
    const f = slot.get(cases.flood[c])!;
    const w = cases.weight[c];
    const seen = cases.classIndex[c];
    chart[f] += w * rankedProbabilityScore(probability.subarray(c * K, (c + 1) * K), seen);
    frequencies[f] += w * rankedProbabilityScore(classFrequencies(cases, { exceptFlood: cases.flood[c] }), seen);
    season[f] += w * rankedProbabilityScore(seasonFrequencies(cases, c), seen);
  }
  return { chart, frequencies, season };
}

function skillAgainst(scores: Float64Array, base: Float64Array, floods: Int32Array): number {
  let ours = 0;
  let theirs = 0;
  for (let i = 0; i < floods.length; i++) {
    ours += scores[floods[i]];
    theirs += base[floods[i]];
  }
  return 1 - ours / theirs;
}

function middle80(values: Float64Array): Interval {
  const sorted = values.slice().sort();
  return [quantileSorted(sorted, 0.1), quantileSorted(sorted, 0.9)];
}
