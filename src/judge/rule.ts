import { splitSeed } from '../kernel/random.js';
import { floodRatios, type FloodSums, type Measured } from './floodRatios.js';
import type { RuleDay, RuleDays } from './ruleDays.js';

/** Go when the gauge reads at least A and at most B, in its unit. */
export interface Rule {
  readonly atLeast: number;
  readonly atMost: number;
}

/** A share two ways: counted in the log, and as the odds with floods left out expect it. */
export interface RuleShare {
  readonly counted: Measured;
  readonly expected: Measured;
}

/** What a rule would have cost on the days of the log. */
export interface RuleCost {
  readonly kind: 'rule-cost';
  /** Logged days with a verdict and a reading, those the rule goes on, and those that were good (visits; verdicts of one visit share it). */
  readonly days: number;
  readonly goDays: number;
  readonly goodDays: number;
  readonly goFloods: number;
  /** Of the days gone: found below the good range; found in the class that counts as too high. */
  readonly wasted: RuleShare;
  readonly tooHigh: RuleShare;
  /** Of the good days: not gone. */
  readonly missed: RuleShare;
}

/**
 * The cost of one rule on the logged days, with 80 % intervals from resampling floods.
 *
 * The shares are of logged days: people log when it runs, so a day drawn from the calendar is drier. "Expected" sums the odds that each day had with its own flood left out.
 *
 * @param options.seed default 1.
 * @throws RangeError for a rule whose lower end is above its upper end, or NaN.
 */
export function ruleCost(days: RuleDays, rule: Rule, { seed = 1 }: { seed?: number } = {}): RuleCost {
  if (!(rule.atLeast <= rule.atMost))
    throw new RangeError(`ruleCost: atLeast must not be above atMost, got ${rule.atLeast} and ${rule.atMost}`);
  return costWhere(days, { go: (day) => goes(rule, day), seed });
}

/** Does the rule go on that day? */
export function goes({ atLeast, atMost }: Rule, { reading }: Pick<RuleDay, 'reading'>): boolean {
  return reading >= atLeast && reading <= atMost;
}

/** `ruleCost` for any way to decide. */
export function costWhere(
  { days, floods }: RuleDays,
  { go, seed }: { go: (day: RuleDay) => boolean; seed: number },
): RuleCost {
  const sums = (value: (day: RuleDay) => number): Float64Array => {
    const out = new Float64Array(floods);
    for (const day of days) out[day.floodSlot] += day.weight * value(day);
    return out;
  };
  const gone = new Set(days.filter(go));
  const when = (yes: boolean, value: number) => (yes ? value : 0);
  const goWeight = sums((d) => when(gone.has(d), 1));
  const good = sums((d) => d.wasGood);
  const statistics: FloodSums[] = [
    { of: sums((d) => when(gone.has(d), d.wasBelow)), from: goWeight, share: true },
    { of: sums((d) => when(gone.has(d), d.oddsBelow)), from: goWeight },
    { of: sums((d) => when(gone.has(d), d.wasTooHigh)), from: goWeight, share: true },
    { of: sums((d) => when(gone.has(d), d.oddsTooHigh)), from: goWeight },
    { of: sums((d) => when(!gone.has(d), d.wasGood)), from: good, share: true },
    { of: sums((d) => when(!gone.has(d), d.oddsGood)), from: sums((d) => d.oddsGood) },
  ];
  const shares = floodRatios(statistics, { floods, seed: splitSeed(seed, 'rule') });
  const pair = (at: number): RuleShare => Object.freeze({ counted: shares[at], expected: shares[at + 1] });
  const total = (values: Float64Array) => values.reduce((a, b) => a + b, 0);
  return Object.freeze({
    kind: 'rule-cost',
    days: total(sums(() => 1)),
    goDays: total(goWeight),
    goodDays: total(good),
    goFloods: goWeight.filter((w) => w > 0).length,
    wasted: pair(0),
    tooHigh: pair(2),
    missed: pair(4),
  });
}
