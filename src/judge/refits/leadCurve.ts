import type { ReadingWay } from '../../fit/types.js';
import { splitSeed } from '../../kernel/random.js';
import type { Measured } from '../floodRatios.js';
import type { JudgedLeadCurve } from '../judgement.js';
import type { LeftOut } from '../leaveFloodOut.js';
import { hoursInWords, percent } from '../numbers.js';
import { skillOf } from '../skill.js';
import type { JudgeContext, LeadResult } from './types.js';

/** A loss of skill below this is not worth a word, as between the two ways of reading. */
const WORTH_A_WORD = 0.03;

const NONE: Measured = { value: null, i80: [null, null] };

/**
 * What deciding early costs: skill against the logged frequencies, floods left out by weights, with only readings that exist so many hours before.
 * All leads and both ways are resampled with the same floods.
 *
 * @param results of the leads beyond the chart's own, ascending.
 * @returns null without any skill; one point, at the chart's own lead, where no later lead fits the grid of lags.
 */
export function leadCurve(
  { relation, first, way, seed }: JudgeContext,
  results: readonly LeadResult[],
): JudgedLeadCurve | null {
  const floods = splitSeed(seed, 'floods');
  const skill = (left: LeftOut | null): Measured =>
    (left === null ? null : skillOf(left, { seed: floods }))?.againstFrequencies ?? NONE;
  const own = { leadHours: relation.fits.effective.leadHours, left: first.left };
  const points = [own, ...results].map(({ leadHours, left }) => ({
    leadHours,
    effective: skill(left.effective),
    'one-reading': skill(left['one-reading']),
  }));
  if (points.every((point) => point.effective.value === null && point['one-reading'].value === null)) return null;
  return { points, sentence: leadSentence(points, way) };
}

/** The longest lead that costs nothing worth a word, and what the longest costs. */
export function leadSentence(points: JudgedLeadCurve['points'], way: ReadingWay): string {
  const known = points.flatMap(({ leadHours, [way]: { value } }) => {
    // Below 0 the gauge is worse than guessing; for a paddler both are no help.
    return value === null ? [] : [{ leadHours, share: Math.max(0, value) }];
  });
  if (known.length < 2) return 'No later moment of deciding could be compared.';
  const [first] = known;
  const last = known[known.length - 1];
  const when = first.leadHours === 0 ? 'on the spot' : `${hoursInWords(first.leadHours)} before`;
  const start = `Deciding ${when}, the gauge takes away ${percent(first.share)} of the guesswork`;
  const loss = known.findIndex(({ share }) => first.share - share >= WORTH_A_WORD);
  if (loss < 0) return `${start}; deciding up to ${hoursInWords(last.leadHours)} before costs nothing that matters.`;
  const free =
    loss === 1 ? '' : ` Deciding up to ${hoursInWords(known[loss - 1].leadHours)} before costs nothing that matters.`;
  const left = known[loss] === last ? [last] : [known[loss], last];
  const words = left.map(({ leadHours, share }) => `${hoursInWords(leadHours)} before ${percent(share)}`);
  return `${start}.${free} Decided earlier it takes away less: ${words.join(', ')}.`;
}
