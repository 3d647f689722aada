import { skillSentence, trustRules } from './trustRules.js';
import type { GradeInput, TrustRule } from './trustRules.js';
import type { Grade, TrustCheck } from './types.js';
import { share } from '../series/format.js';

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
 * How far to trust a gauge for a run, in words, from checks that are data. Each check caps the grade when it fails; the grade is the lowest
 * cap. Checks that cap at "rough guide" or below are essential.
 *
 * A skill that isn't clearly above 0 reads "no usable relation", unless its interval also holds a useful skill (fair in a log large enough for a good
 * guide, rough in a smaller one): then the log is too thin to say.
 *
 * @returns grade, reasons (plain sentences, the binding ones first) and all checks. A statistic that can't be worked out is null and fails,
 *   but for the lag's worth, which then is not asked.
 */
export function gradeRelation(input: GradeInput): GradeOfRelation {
  const rules = trustRules(input);
  const failed = rules.filter((rule) => !passes(rule));
  const rank = (grade: Grade) => GRADES.indexOf(grade);
  const grade = failed.reduce<Grade>((worst, r) => (rank(r.cap) < rank(worst) ? r.cap : worst), 'good guide');
  const binding = [...new Set(failed.filter((r) => r.cap === grade).map((r) => r.fails))];
  const reasons =
    grade === 'too thin' ? binding : [...(input.skill === null ? [] : [skillSentence(input.skill)]), ...binding];
  if (input.unmatchedShare > 0)
    reasons.push(`${share(input.unmatchedShare)} of the verdicts have no reading and were scored as guesses.`);
  return {
    grade,
    reasons: reasons.length > 0 ? reasons : ['Every check is passed.'],
    checks: rules.map((rule) => ({
      check: rule.check,
      statistic: rule.statistic,
      operator: rule.operator,
      threshold: rule.threshold,
      unit: rule.unit,
      pass: passes(rule),
      essential: rank(rule.cap) <= rank('rough guide'),
      comment: rule.comment,
    })),
  };
}

function passes({ statistic, operator, threshold }: Pick<TrustRule, 'statistic' | 'operator' | 'threshold'>): boolean {
  if (statistic === null) return false;
  switch (operator) {
    case '>=':
      return statistic >= threshold;
    case '<=':
      return statistic <= threshold;
    case '>':
      return statistic > threshold;
    case '<':
      return statistic < threshold;
  }
}
