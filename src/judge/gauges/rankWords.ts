import { counted, hoursInWords, odds, plain, range } from '../../series/format.js';
import type { Measured } from '../floodRatios.js';
import { CLEARLY } from './compareScores.js';
import type { GaugeChoice, RankedGauge } from './types.js';

/** Skill or a gain in it, with its 80 % interval: `0.62 (0.50 to 0.71)`. */
function skillWords({ value, i80 }: Measured): string {
  const show = (number: number) => plain(number, 2);
  if (value === null) return 'unknown';
  return i80[0] === null || i80[1] === null ? show(value) : `${show(value)} (${range(i80, show)})`;
}

function noSkill({ value }: Measured): boolean {
  return !((value ?? 0) > 0);
}

function maybeLuck({ i80: [low] }: Measured): boolean {
  return !(low !== null && low > 0);
}

/**
 * What a rank among the gauges that warn rests on. @param options.first name of the first; options.plain of the best plain single gauge.
 */
export function rankReason(
  gauge: Pick<RankedGauge, 'skill' | 'beatsFirst' | 'creekLeads' | 'moreAfterwards' | 'kind' | 'gain'>,
  { first, plain: single }: { first: string; plain: string | null },
): string {
  const skill = gauge.skill.againstFrequencies;
  const sentences: string[] = [];
  if (gauge.beatsFirst === null) sentences.push('Scores best on floods left out.');
  else if (1 - gauge.beatsFirst >= CLEARLY)
    sentences.push(`${first} scores better in ${odds(1 - gauge.beatsFirst)} of the draws of floods.`);
  else
    sentences.push(
      `The log can't tell it from ${first}, which scores better in only ${odds(1 - gauge.beatsFirst)} of the draws of floods.`,
    );
  if (gauge.kind !== 'single' && gauge.gain !== null && single !== null)
    sentences.push(`Its skill differs from that of ${single} alone by ${skillWords(gauge.gain)}.`);
  if (noSkill(skill)) sentences.push('It says no more than how often each class was logged.');
  else if (maybeLuck(skill)) sentences.push('Its skill could be luck: the interval reaches 0.');
  else if (gauge.moreAfterwards) sentences.push('The creek leads it: read afterwards it says clearly more.');
  else if (gauge.creekLeads !== null && gauge.creekLeads > 0.5)
    sentences.push('The creek leads its single reading; what it says before going comes from its rise or fall.');
  return sentences.join(' ');
}

/** Why a gauge is ranked apart: the creek leads it. */
export function confirmReason(
  { creekLeads, lagHours, skill, atLead }: Pick<RankedGauge, 'creekLeads' | 'lagHours' | 'skill' | 'atLead'>,
  { leadHours }: { leadHours: number },
): string {
  const own = skill.againstFrequencies;
  const when =
    leadHours === 0
      ? 'What it says at the moment of looking has'
      : `Read ${hoursInWords(leadHours)} before going it has`;
  const now = atLead === null ? '' : ` ${when} a skill of ${skillWords(atLead.againstFrequencies)}.`;
  const leads = `The creek leads it by about ${hoursInWords(Math.max(0, -lagHours))} (probability ${odds(creekLeads)})`;
  if (noSkill(own)) return `${leads}, and afterwards too it says no more than how often each class was logged.${now}`;
  const luck = maybeLuck(own) ? ' Its skill could be luck: the interval reaches 0.' : '';
  return `${leads}: it only confirms afterwards, so don't plan by it.${luck}${now}`;
}

/** The choice in a sentence, and what it is worth. */
export function choiceSentence(
  { name, why, plain: single, gain, skill, sameChoice }: Omit<GaugeChoice, 'sentence'>,
  { candidates }: { candidates: number },
): string {
  const among = counted(candidates, 'candidate');
  const value = `a skill of ${skillWords(skill)} on floods that had no part in the choice`;
  const same = `The choice stays the same in ${odds(sameChoice)} of the cases when one flood is left out.`;
  switch (why) {
    case 'no-gauge':
      return 'There is no gauge to choose from.';
    case 'none-reliable':
      return `Rely on none of ${among}: following the best of them has ${value}.`;
    case 'only-one':
      return `Read ${name}: no other gauge could be compared. It has a skill of ${skillWords(skill)} on floods left out.`;
    case 'best-single':
      return `Read ${name}: nothing that takes arithmetic is clearly better. Choosing among ${among} like this has ${value}. ${same}`;
    case 'clear-gain':
      return `Read ${name}: ${
        single === null
          ? 'no single gauge can be read'
          : `it gains ${skillWords(gain!)} of skill over ${single.name} alone`
      }. Choosing among ${among} like this has ${value}. ${same}`;
  }
}
