import { share } from '../series/format.js';
import { skillSentence, trustRules, type GradeInput } from './trustRules.js';
import type { Grade, TrustCheck } from './types.js';

/** Lowest first. */
export const GRADES: readonly Grade[] = ['too thin', 'no usable relation', 'rough guide', 'fair guide', 'good guide'];

/** True for a grade that someone may plan with, cautions in hand. */
export function isUsableGrade(grade: Grade): boolean {
  return GRADES.indexOf(grade) >= GRADES.indexOf('rough guide');
}

export interface GradeOfRelation {
  readonly grade: Grade;
  readonly reasons: readonly string[];
  readonly checks: readonly TrustCheck[];
}

/**
 * How far to trust a gauge for a run, in words, from checks that are data. Each check caps the grade when it fails; the grade is the
 * lowest cap. Checks that cap at "rough guide" or below are essential.
 *
 * A skill that isn't clearly above 0 reads "no usable relation", unless its interval also holds a useful skill (fair in a log large enough
 * for a good guide, rough in a smaller one): then the log is too thin to say.
 *
 * @returns grade, reasons (plain sentences, the binding ones first) and all checks. A statistic that can't be worked out is null and
 *   fails, but for the lag's worth, which then is not asked.
 */
export function gradeRelation(input: GradeInput): GradeOfRelation {
  const rank = (grade: Grade) => GRADES.indexOf(grade);
  const rules = trustRules(input).map(({ asks, ...rule }) => {
    const [statistic, operator, threshold, unit] = asks;
    const pass = statistic !== null && PASSES[operator](statistic, threshold);
    return { ...rule, statistic, operator, threshold, unit, pass };
  });
  const failed = rules.filter(({ pass }) => !pass);
  const grade = failed.reduce<Grade>((worst, { cap }) => (rank(cap) < rank(worst) ? cap : worst), 'good guide');
  const binding = [...new Set(failed.filter(({ cap }) => cap === grade).map(({ fails }) => fails))];
  const skill = grade === 'too thin' || input.skill === null ? [] : [skillSentence(input.skill)];
  const silent =
    input.unmatchedShare > 0
      ? [`${share(input.unmatchedShare)} of the verdicts have no reading and were scored as guesses.`]
      : [];
  const reasons = [...skill, ...binding, ...silent];
  return {
    grade,
    reasons: reasons.length > 0 ? reasons : ['Every check is passed.'],
    checks: rules.map(({ cap, fails: _fails, ...check }) => ({
      ...check,
      essential: rank(cap) <= rank('rough guide'),
    })),
  };
}

const PASSES: Readonly<Record<TrustCheck['operator'], (statistic: number, threshold: number) => boolean>> = {
  '>=': (statistic, threshold) => statistic >= threshold,
  '<=': (statistic, threshold) => statistic <= threshold,
  '>': (statistic, threshold) => statistic > threshold,
  '<': (statistic, threshold) => statistic < threshold,
};
