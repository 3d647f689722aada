import { countedShare, type Counted } from './floodRatios.js';
import type { RuleDay, RuleDays } from './ruleDays.js';

/** Go when the gauge reads at least A and at most B, in its unit. */
export interface Rule {
  readonly atLeast: number;
  readonly atMost: number;
}

/** What a rule would have cost on the days of the log. People log when it runs, so a day drawn from the calendar is drier. */
export interface RuleCost {
  /**
   * Logged days with a verdict and a reading, those the rule goes on, and those that were good (visits; verdicts of one visit share it).
   */
  readonly days: number;
  readonly goDays: number;
  readonly goodDays: number;
  /** Of the days gone: found below the good range; found in the class that counts as too high. */
  readonly wasted: Counted;
  readonly tooHigh: Counted;
  /** Of the good days: not gone. */
  readonly missed: Counted;
}

/**
 * The cost of one rule on the logged days.
 *
 * @throws RangeError for a rule whose lower end is above its upper end, or NaN.
 */
export function ruleCost(days: RuleDays, rule: Rule): RuleCost {
  if (!(rule.atLeast <= rule.atMost))
    throw new RangeError(`ruleCost: atLeast must not be above atMost, got ${rule.atLeast} and ${rule.atMost}`);
  return costWhere(days, (day) => goes(rule, day));
}

/** Does the rule go on that day? */
export function goes({ atLeast, atMost }: Rule, { reading }: Pick<RuleDay, 'reading'>): boolean {
  return reading >= atLeast && reading <= atMost;
}

/** `ruleCost` for any way to decide. */
export function costWhere({ days, floods }: RuleDays, go: (day: RuleDay) => boolean): RuleCost {
  const sums = (value: (day: RuleDay) => number): Float64Array => {
    const out = new Float64Array(floods);
    for (const day of days) out[day.floodSlot] += day.weight * value(day);
    return out;
  };
  const gone = new Set(days.filter(go));
  const went = sums((d) => Number(gone.has(d)));
  const wasted = countedShare({ of: sums((d) => (gone.has(d) ? d.wasBelow : 0)), from: went });
  const tooHigh = countedShare({ of: sums((d) => (gone.has(d) ? d.wasTooHigh : 0)), from: went });
  const missed = countedShare({ of: sums((d) => (gone.has(d) ? 0 : d.wasGood)), from: sums((d) => d.wasGood) });
  const all = days.reduce((total, { weight }) => total + weight, 0);
  return { days: all, goDays: wasted.days, goodDays: missed.days, wasted, tooHigh, missed };
}
