import { splitSeed } from '../../kernel/random.js';
import type { Measured } from '../floodRatios.js';
import type { JudgedLeadCurve } from '../judgement.js';
import { skillOf } from '../skill.js';
import { gatherLeftOut } from './gatherLeftOut.js';
import type { FloodResult, JudgeContext } from './types.js';
import { hoursInWords } from '../../series/format.js';

/** A loss of skill below this is not worth a word, as between the two ways of reading. */
const WORTH_A_WORD = 0.03;

const NONE: Measured = Object.freeze({ value: null, i80: Object.freeze([null, null] as const) });

/**
 * What deciding early costs: skill against the logged frequencies, floods left out by fits of their own, with only readings that exist so many hours before.
 * All leads and both ways are resampled with the same floods.
 *
 * @returns null without any skill; one point, at the chart's own lead, where no later lead fits the grid of lags.
 */
export function leadCurve(context: JudgeContext, results: readonly FloodResult[]): JudgedLeadCurve | null {
  const seed = splitSeed(context.seed, 'floods');
  const skill = (question: number): Measured => {
    const left = gatherLeftOut(context, results, { question });
    return (left === null ? null : skillOf(left, { seed }))?.againstFrequencies ?? NONE;
  };
  const leads = [...new Set(context.questions.map(({ leadHours }) => leadHours))];
  const points = leads.map((leadHours) => {
    const at = (way: string): Measured =>
      skill(context.questions.findIndex((q) => q.way === way && q.leadHours === leadHours));
    return { leadHours, effective: at('effective'), 'one-reading': at('one-reading') };
  });
  if (points.every((point) => point.effective.value === null && point['one-reading'].value === null)) return null;
  return Object.freeze({ points: Object.freeze(points), sentence: leadSentence(points, context.way) });
}

/** The longest lead that costs nothing worth a word, and what the longest costs. */
export function leadSentence(points: JudgedLeadCurve['points'], way: JudgeContext['way']): string {
  const known = points.flatMap(({ leadHours, [way]: { value } }) => {
    // Below 0 the gauge is worse than guessing; for a paddler both are no help.
    return value === null ? [] : [{ leadHours, share: Math.max(0, value) }];
  });
  if (known.length < 2) return 'No later moment of deciding could be compared.';
  const [first] = known;
  const last = known[known.length - 1];
  const start = `Deciding ${whenWords(first.leadHours)}, the gauge takes away ${percentOf(first.share)} of the guesswork`;
  const loss = known.findIndex(({ share }) => first.share - share >= WORTH_A_WORD);
  if (loss < 0) return `${start}; deciding up to ${hoursInWords(last.leadHours)} before costs nothing that matters.`;
  const free =
    loss === 1 ? '' : ` Deciding up to ${hoursInWords(known[loss - 1].leadHours)} before costs nothing that matters.`;
  const left = known[loss] === last ? [last] : [known[loss], last];
  const words = left.map(({ leadHours, share }) => `${hoursInWords(leadHours)} before ${percentOf(share)}`);
  return `${start}.${free} Decided earlier it takes away less: ${words.join(', ')}.`;
}

function whenWords(leadHours: number): string {
  return leadHours === 0 ? 'on the spot' : `${hoursInWords(leadHours)} before`;
}

function percentOf(share: number): string {
  return `${Math.round(share * 100)} %`;
}
