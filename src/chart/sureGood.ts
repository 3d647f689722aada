import { goodClasses } from '../judge/goodClasses.js';
import { ruleOf } from '../judge/judgedRules.js';
import type { Rule } from '../judge/rule.js';
import type { LevelChart } from './types.js';

/**
 * The sure range of good as a rule, as the chart shows it to people (rounded where it is). Of two good classes: from the lower one's sure
 * range to the upper one's, because between them good as a whole is sure, too.
 *
 * @returns null where no reading makes good sure.
 */
export function sureGood(level: LevelChart | undefined): Rule | null {
  if (level === undefined) return null;
  const [low, high] = goodClasses(level.odds.classes);
  const ranges = level.sureRanges.slice(low, high + 1).filter(({ empty }) => !empty);
  const first = ranges[0];
  const last = ranges[ranges.length - 1];
  if (first === undefined || last === undefined) return null;
  return ruleOf(first.roundedFrom ?? first.from, last.roundedTo ?? last.to) ?? ruleOf(first.from, last.to);
}
