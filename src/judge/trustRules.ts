import { edgeRules } from './edgeRules.js';
import type { LoggedEvidence } from './evidence.js';
import { lagRules } from './lagRules.js';
import { seasonRules } from './seasonRules.js';
import { THRESHOLDS as T } from './thresholds.js';
import type { GradeInput, TrustRule } from './trustRule.js';
import type { Grade, Interval, Skill } from './types.js';
import { counted, share } from '../series/format.js';

export type { GradeInput, TrustRule } from './trustRule.js';

/** All checks of a relation, in the order they are shown: evidence, skill, then what keeps a usable relation from a better grade. */
export function trustRules(input: GradeInput): readonly TrustRule[] {
  return [...evidenceRules(input.evidence), ...skillRules(input), ...capRules(input)];
}

function evidenceRules({ verdicts, floods, spanDays, classCounts }: LoggedEvidence): readonly TrustRule[] {
  const contrast = classCounts.reduce((a, b) => a + b, 0) - Math.max(0, ...classCounts);
  return [
    {
      check: 'visits with a verdict',
      statistic: verdicts,
      operator: '>=',
      threshold: T.verdicts,
      unit: 'visits',
      comment: 'three for each edge of a five-class run and for the blur',
      cap: 'too thin',
      fails: `Only ${counted(verdicts, 'visit')} with a verdict; ${T.verdicts} are the least a chart can rest on.`,
    },
    {
      check: 'floods',
      statistic: floods,
      operator: '>=',
      threshold: T.floods,
      unit: 'floods',
      comment:
        'visits of one flood are not independent; 8 is the fewest of which all but one agreeing is no luck (sign test, 5 %)',
      cap: 'too thin',
      fails: `All verdicts come from ${counted(floods, 'flood')}; visits of one flood tell the same story, and ${T.floods} floods are the least.`,
    },
    {
      check: 'span',
      statistic: spanDays,
      operator: '>=',
      threshold: T.spanDays,
      unit: 'days',
      comment: 'a month holds more than one spell of weather',
      cap: 'too thin',
      fails: `The log covers ${counted(Math.round(spanDays), 'day')}; that is one spell of weather, not a creek.`,
    },
    {
      check: 'verdicts outside the commonest class',
      statistic: contrast,
      operator: '>=',
      threshold: T.contrast,
      unit: 'verdicts',
      comment: 'an edge needs both of its sides',
      cap: 'too thin',
      fails: `All but ${counted(contrast, 'verdict')} say the same class; an edge needs both of its sides. Log the days it did not go, too.`,
    },
  ];
}

function skillRules({ evidence, skill, againstSeason }: GradeInput): readonly TrustRule[] {
  const low = ([from]: Interval) => from;
  // An interval that holds both nothing and a useful skill says that the log is too small, not that the gauge is no use. In a log large enough
  // for a good guide a rough skill would have shown, so only a fair one stays open.
  const large = evidence.verdicts >= T.verdictsGood && evidence.floods >= T.floodsGood;
  const useful = large ? T.skillFair : T.skillRough;
  const open =
    skill !== null &&
    (skill.againstFrequencies.i80[1] ?? Infinity) >= useful &&
    (skill.againstMonth.i80[1] ?? Infinity) >= useful &&
    (againstSeason?.i90[1] ?? Infinity) >= useful;
  const cap: Grade = skill === null || open ? 'too thin' : 'no usable relation';
  const unclear = 'The log is too small to tell whether this gauge helps at all.';
  const notBetter =
    'On floods it had not seen, the gauge was not clearly better than knowing how often each class was logged.';
  const beatsFrequencies = skill !== null && (low(skill.againstFrequencies.i80) ?? -Infinity) > T.skillLow;
  return [
    {
      check: 'skill against the logged frequencies, low end of 80 %',
      statistic: skill === null ? null : low(skill.againstFrequencies.i80),
      operator: '>',
      threshold: T.skillLow,
      unit: '',
      comment: 'floods left out; above 0: 90 % sure that the gauge beats knowing how often each class was logged',
      cap,
      fails: skill === null ? 'No relation could be fitted.' : open ? unclear : notBetter,
    },
    {
      check: 'skill against the month, low end of 80 %',
      statistic: skill === null ? null : low(skill.againstMonth.i80),
      operator: '>',
      threshold: T.skillLow,
      unit: '',
      comment: 'two rivers can share the seasons and nothing else; the gauge must beat the calendar',
      cap,
      fails:
        skill === null
          ? 'There is nothing to compare with the calendar.'
          : open
            ? unclear
            : beatsFrequencies
              ? 'On floods it had not seen, the gauge was not clearly better than the calendar: the two rivers share seasons, not floods.'
              : 'Nor was it clearly better than the calendar.',
    },
    {
      check: 'skill against the logged frequencies',
      statistic: skill?.againstFrequencies.value ?? null,
      operator: '>=',
      threshold: T.skillRough,
      unit: '',
      comment: 'records that share only the seasons reach 0.13 (rank correlation 0.5)',
      cap,
      fails:
        skill === null
          ? 'There is no skill to judge.'
          : open
            ? unclear
            : !beatsFrequencies
              ? notBetter
              : `The gauge takes away only ${share(skill.againstFrequencies.value ?? NaN)} of the guesswork; rivers that share nothing but the seasons reach 13 %.`,
    },
    ...seasonRules(againstSeason, { cap, open }),
  ];
}

function capRules(input: GradeInput): readonly TrustRule[] {
  const { evidence, skill, undependableShare, unmatchedShare } = input;
  const s = skill;
  return [
    ...edgeRules(evidence),
    ...lagRules(input),
    {
      check: 'span for a fair guide',
      statistic: evidence.spanDays,
      operator: '>=',
      threshold: T.spanFairDays,
      unit: 'days',
      comment: 'the window of the month base is 90 days; a shorter log cannot tell gauge and season apart',
      cap: 'rough guide',
      fails: `The log covers ${counted(Math.round(evidence.spanDays), 'day')}: too short to tell the gauge from the season.`,
    },
    {
      check: 'verdicts whose left-out odds rest on undependable weights',
      statistic: undependableShare,
      operator: '<=',
      threshold: T.undependable,
      unit: 'share',
      comment: 'Pareto k above 0.7 when their flood is divided out of the fit',
      cap: 'rough guide',
      fails: `For ${share(undependableShare)} of the verdicts a single flood steers the fit so much that the test by leaving it out is not dependable.`,
    },
    skillRule(
      'skill for a fair guide',
      s?.againstFrequencies.value ?? null,
      T.skillFair,
      'rough guide',
      'two fifths of the guesswork gone',
    ),
    skillRule(
      'skill for a fair guide, low end of 80 %',
      s?.againstFrequencies.i80[0] ?? null,
      T.skillFairLow,
      'rough guide',
      'and surely more than a trace',
    ),
    skillRule(
      'skill for a good guide',
      s?.againstFrequencies.value ?? null,
      T.skillGood,
      'fair guide',
      'three fifths of the guesswork gone',
    ),
    skillRule(
      'skill for a good guide, low end of 80 %',
      s?.againstFrequencies.i80[0] ?? null,
      T.skillGoodLow,
      'fair guide',
      'and surely as much as a fair guide',
    ),
    {
      check: 'visits with a verdict for a good guide',
      statistic: evidence.verdicts,
      operator: '>=',
      threshold: T.verdictsGood,
      unit: 'visits',
      comment: 'fewer leave the skill itself too vague',
      cap: 'fair guide',
      fails: `${counted(evidence.verdicts, 'visit')} with a verdict; a good guide asks for ${T.verdictsGood}.`,
    },
    {
      check: 'floods for a good guide',
      statistic: evidence.floods,
      operator: '>=',
      threshold: T.floodsGood,
      unit: 'floods',
      comment: 'fewer leave the skill itself too vague',
      cap: 'fair guide',
      fails: `${counted(evidence.floods, 'flood')}; a good guide asks for ${T.floodsGood}.`,
    },
    {
      check: 'verdicts without a reading',
      statistic: unmatchedShare,
      operator: '<=',
      threshold: T.unmatched,
      unit: 'share',
      comment: 'a gauge that is silent when it is needed is no good guide',
      cap: 'fair guide',
      fails: `The gauge is silent for ${share(unmatchedShare)} of the verdicts.`,
    },
  ];
}

function skillRule(check: string, statistic: number | null, threshold: number, cap: Grade, comment: string): TrustRule {
  const is = statistic === null ? 'unknown' : share(statistic);
  const what = check.endsWith('80 %')
    ? 'The low end of that range is'
    : 'The share of the guesswork that the gauge takes away is';
  const better = cap === 'rough guide' ? 'a fair guide' : 'a good guide';
  return {
    check,
    statistic,
    operator: '>=',
    threshold,
    unit: '',
    comment,
    cap,
    fails: `${what} ${is}; ${better} asks for ${share(threshold)}.`,
  };
}

/** The skill in a paddler's words. */
export function skillSentence({ againstFrequencies: { value, i80 }, againstMonth }: Skill): string {
  const [from, to] = i80;
  const range = from === null || to === null ? '' : ` (80 % sure: ${share(from)} to ${share(to)})`;
  const calendar = `against the calendar ${share(againstMonth.value)}`;
  const taken = share(value);
  return (value ?? 0) < 0
    ? `On floods it had not seen, the gauge did worse than guessing by how often each class was logged: ${taken}${range}; ${calendar}.`
    : `On floods it had not seen, the gauge took away ${taken} of the guesswork${range}; ${calendar}.`;
}
