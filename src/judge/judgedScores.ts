import { finiteOrNull } from '../kernel/estimate.js';
import { counted, fixed, share, shareWithI80 } from '../series/format.js';
import { FLOOD_MAX_DAYS, FLOOD_RISE_SD } from '../align/floods.js';
import { splitSeed } from '../kernel/random.js';

import { confusionOf, type Confusion } from './confusion.js';
import { floodRatios, floodSlots, sumByFlood } from './floodRatios.js';
import type { LeftOut } from './leaveFloodOut.js';
import { logScoreOf } from './logScore.js';
import type { JudgedScores, Way, WayScore } from './judgement.js';
import { reliabilityOf, type Reliability } from './reliability.js';
import { sharpnessOf } from './sharpness.js';
import { floodScores, skillOf } from './skill.js';
import { chosenWay, floodSeed, type WaysOfReading } from './waysOfReading.js';

/** How visits are grouped into floods, for people. */
export const FLOOD_RULE =
  `A flood is a rise of the gauge by more than ${FLOOD_RISE_SD} standard deviations of the ` +
  'logarithm of its readings, and what follows until the next such rise; on long flat water a new ' +
  `one begins after ${FLOOD_MAX_DAYS} days. Whole floods are left out, because visits of one flood ` +
  'tell one story.';

/**
 * How well each way of reading did on floods it had not seen; reliability, sharpness and confusion of the chosen one.
 *
 * @param ways both ways, scored. @param options.stands odds of the gauge as it stands, null where there is no such lag.
 * @param options.problems what could not be fitted. @param options.seed seed of the relation's judging.
 * @returns null where nothing could be fitted.
 */
export function judgedScores(
  ways: WaysOfReading,
  { stands, problems = [], seed }: { stands: LeftOut | null; problems?: readonly string[]; seed: number },
): JudgedScores | null {
  const chosen = chosenWay(ways);
  if (chosen === null) return null;
  const { left } = chosen;
  const rows: [Way, LeftOut | null][] = [
    ['effective', ways.effective?.left ?? null],
    ['one-reading', ways['one-reading']?.left ?? null],
    ['as-it-stands', stands],
  ];
  const reliability = reliabilityOf(left, { seed: splitSeed(seed, 'reliability') });
  const confusion = confusionOf(left);
  const { meanTop, sure, sureRight, entropyBits, loggedEntropyBits } = sharpnessOf(left, { seed: floodSeed(seed) });
  return {
    floodRule: FLOOD_RULE,
    method: methodOf(left),
    methodSentence: [methodSentence(left), ...problems].join(' '),
    ways: rows.flatMap(([way, odds]) => (odds === null ? [] : [wayScore(way, { left: odds, stands: stands, seed })])),
    gain: ways.gain,
    reliability: {
      bins: reliability.bins,
      gap: reliability.gap,
      gapIfRight: reliability.gapIfRight,
      gapTail: reliability.gapTail,
      sentence: reliabilitySentence(reliability),
    },
    sharpness: { meanTop, sure, sureRight, entropyBits, loggedEntropyBits },
    confusion: {
      table: tableOf(confusion),
      right: confusion.right,
      withinOne: confusion.withinOne,
      seenHigher: confusion.seenHigher,
      seenLower: confusion.seenLower,
    },
    sentence: wrongSentence(confusion),
    floods: floodRows(left),
  };
}

function wayScore(way: Way, { left, stands, seed }: { left: LeftOut; stands: LeftOut | null; seed: number }): WayScore {
  const skill = skillOf(left, { seed: floodSeed(seed) })!;
  const { chart } = floodScores(left);
  const floods = left.floods.length;
  const weight = sumByFlood((c) => left.cases.weight[c], { slots: floodSlots(left), floods });
  const base = stands === null || way === 'as-it-stands' ? null : floodScores(stands).chart;
  const ratios = floodRatios(
    [
      { of: chart, from: weight },
      ...(base === null || base.length !== floods ? [] : [{ of: base.map((b, f) => b - chart[f]), from: base }]),
    ],
    { floods, seed: floodSeed(seed) },
  );
  const log = logScoreOf(left, { seed: floodSeed(seed) });
  return {
    way,
    rps: ratios[0],
    skill: {
      ...skill,
      againstNoLag: ratios[1] ?? null,
    },
    logScore: log.chart,
    logGain: log.gainOnFrequencies,
  };
}

/** `refits` where a fit of its own left out every flood. */
function methodOf({ refitted = 0, floods }: LeftOut): JudgedScores['method'] {
  return refitted > 0 && refitted === floods.length ? 'refits' : 'weights';
}

/** How dependable the leaving out itself is. */
function methodSentence(left: LeftOut): string {
  const { worstParetoK, undependableShare, refitted = 0, floods } = left;
  if (methodOf(left) === 'refits') return 'Every flood was left out by a fit of its own that never saw it.';
  if (refitted > 0)
    return (
      `Of ${counted(floods.length, 'flood')}, ${refitted} that would steer such weights (k̂ above 0.7) ` +
      'were left out by fits of their own, the others by weighting the draws of one fit.'
    );
  const k = Number.isFinite(worstParetoK)
    ? `the worst k̂ is ${fixed(worstParetoK, 2)}`
    : 'one flood alone steers the fit';
  const rough =
    undependableShare > 0
      ? `${share(undependableShare)} of the verdicts lie in floods above 0.7, where such weights are not dependable`
      : 'below 0.7 such weights are dependable';
  return `Floods were left out by weighting the draws of one fit, not by fitting anew: ${k}; ${rough}.`;
}

function reliabilitySentence({ gap, gapIfRight, gapTail }: Reliability): string {
  if (gap === null || gapIfRight === null || gapTail === null) return 'There is nothing to hold the stated odds to.';
  const points = (share: number) => `${fixed(100 * share, 1)} points`;
  const off = `What was stated and what was seen differ by ${points(gap)} on average`;
  const chance = `right odds would differ by ${points(gapIfRight)} by chance`;
  return gapTail < 0.05
    ? `The stated odds are off: ${off.charAt(0).toLowerCase()}${off.slice(1)}; ${chance}.`
    : `${off}; ${chance}. Nothing speaks against the stated odds.`;
}

/** How often the chart is wrong and in which direction. */
function wrongSentence({ right, withinOne, seenHigher, seenLower }: Confusion): string {
  return (
    `On floods it had not seen, the chart named the right class in ${shareWithI80(right)} of the visits` +
    `, off by one at most in ${withinOne.value === null ? 'unknown' : share(withinOne.value)};` +
    ` the creek was higher than said in ${shareWithI80(seenHigher)}, lower in ${shareWithI80(seenLower)}.`
  );
}

function tableOf({ table, classes }: Confusion): readonly (readonly number[])[] {
  return Array.from({ length: classes }, (_, said) => Array.from(table.subarray(said * classes, (said + 1) * classes)));
}

/** One row a flood; scores are means over its verdicts. */
function floodRows(left: LeftOut): JudgedScores['floods'] {
  const { cases, floods } = left;
  const slots = floodSlots(left);
  const weight = sumByFlood((c) => cases.weight[c], { slots, floods: floods.length });
  const { chart, frequencies } = floodScores(left);
  return floods.map(({ paretoK }, f) => {
    const times = Array.from(cases.timeMs).filter((_, c) => slots[c] === f);
    return {
      firstMs: Math.min(...times),
      lastMs: Math.max(...times),
      verdicts: weight[f],
      rps: chart[f] / weight[f],
      rpsFrequencies: frequencies[f] / weight[f],
      paretoK: finiteOrNull(paretoK),
    };
  });
}
