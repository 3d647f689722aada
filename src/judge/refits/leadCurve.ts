import { splitSeed } from '../../kernel/random.js';
import { hoursInWords, share, shareWithI80 } from '../../series/format.js';
import type { Measured } from '../floodRatios.js';
import type { JudgedLeadCurve } from '../judgement.js';
import { skillOf } from '../skill.js';
import { THRESHOLDS } from '../thresholds.js';
import { skillGain } from '../waysOfReading.js';
import type { JudgeContext, LeadResult } from './types.js';

const NONE: Measured = { value: null, i80: [null, null] };

/**
 * What deciding early costs: skill of the chart's way of reading against the logged frequencies, floods left out by weights, with only
 * readings that exist so many hours before, and what is lost of it against deciding at the chart's own lead. All leads are resampled with
 * the same floods.
 *
 * @param results of the leads beyond the chart's own, ascending.
 * @returns null without any skill; one point, at the chart's own lead, where no later lead fits the grid of lags.
 */
export function leadCurve(
  { relation, first, way, seed }: JudgeContext,
  results: readonly LeadResult[],
): JudgedLeadCurve | null {
  const floods = splitSeed(seed, 'floods');
  const now = first.left[way];
  const own = { leadHours: relation.fits.effective.leadHours, left: now };
  const points = [own, ...results].map(({ leadHours, left }, i) => ({
    leadHours,
    skill: (left && skillOf(left, { seed: floods })?.againstFrequencies) ?? NONE,
    ...(i > 0 && left !== null && now !== null && { loss: skillGain(now, { over: left, seed }) }),
  }));
  return points.every(({ skill }) => skill.value === null) ? null : { points, sentence: leadSentence(points) };
}

/**
 * What each later lead costs, in a sentence. "Costs nothing that matters" is said only where the loss's whole interval lies below what
 * arithmetic must gain; where it reaches from nothing to more than that, the log can't tell.
 */
export function leadSentence(points: JudgedLeadCurve['points']): string {
  const later = points.filter(({ loss }) => loss !== undefined && loss.value !== null);
  if (later.length === 0) return 'No earlier moment of deciding could be compared.';
  const when = points[0].leadHours === 0 ? 'on the spot' : `${hoursInWords(points[0].leadHours)} before`;
  // Below 0 the gauge is worse than guessing; for a paddler both are no help.
  const start = `Deciding ${when}, the gauge takes away ${share(Math.max(0, points[0].skill.value ?? 0))} of the guesswork.`;
  const free = later.filter(({ loss }) => (loss!.i80[1] ?? Infinity) < THRESHOLDS.clearGain);
  const costly = later.filter(({ loss }) => (loss!.i80[0] ?? -Infinity) > 0 && loss!.value! >= THRESHOLDS.clearGain);
  const until = later.findIndex((point) => !free.includes(point));
  const longest = (until < 0 ? later : later.slice(0, until)).at(-1);
  const sentences = [
    start,
    longest === undefined ? '' : `Deciding up to ${hoursInWords(longest.leadHours)} before costs nothing that matters.`,
    costly.length === 0
      ? ''
      : `Deciding ${hoursInWords(costly[0].leadHours)} before costs ${shareWithI80(costly[0].loss!)} of it.`,
    longest === undefined && costly.length === 0
      ? `The log can't tell yet what deciding ${hoursInWords(later[0].leadHours)} before costs: ` +
        `${shareWithI80(later[0].loss!)} of it. Verdicts on more floods would tell.`
      : '',
  ];
  return sentences.filter((sentence) => sentence !== '').join(' ');
}
