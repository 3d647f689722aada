import { counted } from '../judgeWords.js';
import { hoursInWords, percent } from '../numbers.js';
import type { Skill } from '../types.js';
import { CLEARLY } from './compareScores.js';
import type { GaugeChoice, RankedGauge } from './types.js';

/** Skill with its 80 % interval: `0.62 (0.50 to 0.71)`. */
export function skillWords({ againstFrequencies }: Skill): string {
  const { value, i80 } = againstFrequencies;
  const [from, to] = i80;
  const range = from === null || to === null ? '' : ` (${from.toFixed(2)} to ${to.toFixed(2)})`;
  return value === null ? 'unknown' : `${value.toFixed(2)}${range}`;
}

/** What a rank among the gauges that warn rests on. */
export function rankReason(
  gauge: Pick<RankedGauge, 'name' | 'skill' | 'beatsFirst' | 'creekLeads'>,
  {
    first,
    moreAfterwards = false,
    bestPart,
  }: {
    first: string;
    /** The creek leads it, and it says clearly more when it is read afterwards. */ moreAfterwards?: boolean;
    /** A combined gauge: its best part and how often it beats it. */ bestPart?: { name: string; beats: number };
  },
): string {
  const sentences: string[] = [];
  if (gauge.beatsFirst === null) sentences.push('Scores best on floods left out.');
  else {
    const lost = 1 - gauge.beatsFirst;
    sentences.push(
      lost >= CLEARLY
        ? `${first} scores better in ${percent(lost)} of the draws of floods.`
        : `Not to be told from ${first}, which scores better in only ${percent(lost)} of the draws of floods.`,
    );
  }
  if (bestPart !== undefined)
    sentences.push(
      bestPart.beats >= CLEARLY
        ? `Better than ${bestPart.name} alone in ${percent(bestPart.beats)}.`
        : `Adds nothing sure to ${bestPart.name} alone: better in ${percent(bestPart.beats)}.`,
    );
  const [low] = gauge.skill.againstFrequencies.i80;
  if (!((gauge.skill.againstFrequencies.value ?? 0) > 0))
    sentences.push('It says no more than how often each class was logged.');
  else if (low === null || low <= 0) sentences.push('Its skill could be luck: the interval holds 0.');
  else if (moreAfterwards) sentences.push('The creek leads it: read afterwards it says clearly more.');
  else if (gauge.creekLeads !== null && gauge.creekLeads > 0.5)
    sentences.push('The creek leads its single reading; what it says before going comes from its rise or fall.');
  return sentences.join(' ');
}

/** Why a gauge is ranked apart: the creek leads it. */
export function confirmReason(
  { creekLeads, lagHours, skill }: { creekLeads: number; lagHours: number; skill: Skill },
  { leadHours, atLead }: { leadHours: number; atLead: Skill | null },
): string {
  const now =
    atLead === null
      ? ''
      : leadHours === 0
        ? ` What it says at the moment of looking has a skill of ${skillWords(atLead)}.`
        : ` Read ${hoursInWords(leadHours)} before going it has a skill of ${skillWords(atLead)}.`;
  const leads = `The creek leads it by about ${hoursInWords(Math.max(0, -lagHours))} (probability ${percent(creekLeads)})`;
  const [low] = skill.againstFrequencies.i80;
  if (!((skill.againstFrequencies.value ?? 0) > 0))
    return `${leads}, and afterwards too it says no more than how often each class was logged.${now}`;
  const luck = low === null || low <= 0 ? ' Its skill could be luck: the interval holds 0.' : '';
  return `${leads}: it confirms afterwards and is nothing to plan with.${luck}${now}`;
}

/** The choice in a sentence, and what it is worth. */
export function choiceSentence(
  { name, skill, sameChoice }: Pick<GaugeChoice, 'name' | 'skill' | 'sameChoice'>,
  { candidates }: { candidates: number },
): string {
  if (candidates === 0) return 'There is no gauge to choose from.';
  const [from, to] = skill.i80;
  const range = from === null || to === null ? '' : ` (${from.toFixed(2)} to ${to.toFixed(2)})`;
  const value = skill.value === null ? 'unknown' : `${skill.value.toFixed(2)}${range}`;
  if (name === null || sameChoice === null)
    return `None of ${counted(candidates, 'candidate')} is to be relied on: following the best of them has a skill of ${value} on floods that had no part in the choice.`;
  if (candidates === 1)
    return `Read ${name}: no other gauge could be compared. It has a skill of ${value} on floods left out.`;
  return `Read ${name}: the simplest of those that nothing clearly beats. Choosing among ${counted(candidates, 'candidate')} like this has a skill of ${value} on floods that had no part in the choice; without one flood or another the same is chosen in ${percent(sameChoice)}.`;
}
