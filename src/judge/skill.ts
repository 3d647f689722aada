import { finiteOrNull } from '../kernel/estimate.js';
import { rankedProbabilityScore } from '../kernel/rps.js';
import { normalCdf } from '../kernel/normal.js';
import { createRandom } from '../kernel/random.js';
import { quantileSorted } from '../kernel/quantile.js';
import { classFrequencies, seasonFrequencies } from './frequencies.js';
import type { Measured } from './floodRatios.js';
import type { LeftOut } from './leaveFloodOut.js';
import type { Interval } from '../kernel/estimate.js';
import type { Skill } from './types.js';

/** Fewer floods than this can't be resampled into an interval. */
const FEWEST_FLOODS = 2;

const UNKNOWN: Interval = [null, null] as const;

/**
 * Ranked probability skill of the left-out odds: 1 - ΣRPS/ΣRPS_base over all cases, 1 perfect, 0 no better than the base, below 0 worse.
 * Bases: how often each class was logged in the other floods, and the same in the season (see `classFrequencies`,
 * `seasonFrequencies`). The 80 % interval comes from resampling whole floods with replacement (quantile type 7), its
 * percentiles moved outward for few floods (`expandedTail`).
 *
 * Scale: for normal errors the score is proportional to their standard deviation (the score's continuous form is σ/√π), so a
 * skill of 0.6 says: what is left of the guesswork is 40 %.
 *
 * @param left odds with floods left out.
 * @param options.seed seed of the resampling.
 * @param options.resamples default 2000.
 * @returns null without cases; intervals [null, null] with fewer than 2 floods.
 */
export function skillOf(left: LeftOut, { seed, resamples = 2000 }: { seed: number; resamples?: number }): Skill | null {
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
  const measured = (base: Float64Array, resampled: Float64Array): Measured => ({
    value: finiteOrNull(skillAgainst(scores.chart, base, whole)),
    i80: enough ? interval80(resampled, whole.length) : UNKNOWN,
  });
  return { againstFrequencies: measured(scores.frequencies, freq), againstMonth: measured(scores.season, month) };
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

function interval80(values: Float64Array, floods: number): Interval {
  const sorted = values.slice().sort();
  const tail = expandedTail(floods);
  return [quantileSorted(sorted, tail), quantileSorted(sorted, 1 - tail)] as const;
}

/** 0.9 quantile of the standard normal distribution. */
const Z90 = 1.2815515655446004;

/**
 * Tail share whose percentiles make an 80 % interval of n resampled units: Φ(-√(n/(n-1))·t), t the 0.9 quantile of Student's distribution
 * with n - 1 degrees of freedom. Plain percentiles are too narrow for few units, as a normal interval for a mean is. Source: T.
 * Hesterberg, "What teachers should know about the bootstrap", Amer. Statist. 69 (2015) 371-386; t by the expansion 26.7.5 of Abramowitz &
 * Stegun; both from memory.
 *
 * @param n at least 2. @returns 0.1 for large n, 0.065 for 8, 0.000014 for 2.
 */
export function expandedTail(n: number): number {
  const v = n - 1;
  const z = Z90;
  const z3 = z ** 3;
  const z5 = z ** 5;
  const z7 = z ** 7;
  const t =
    z +
    (z3 + z) / (4 * v) +
    (5 * z5 + 16 * z3 + 3 * z) / (96 * v ** 2) +
    (3 * z7 + 19 * z5 + 17 * z3 - 15 * z) / (384 * v ** 3);
  return normalCdf(-Math.sqrt(n / v) * t);
}
