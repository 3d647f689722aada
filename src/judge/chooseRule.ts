import { costWhere, goes, ruleCost, type Rule, type RuleCost } from './rule.js';
import type { RuleDay, RuleDays } from './ruleDays.js';

/** Share of days gone that may be found too high, by default. */
export const TOO_HIGH_RATE = 0.05;

/** A rule on the frontier; shares as the odds with floods left out expect them. */
export interface FrontierRule extends Rule {
  /** Of the days gone. */
  readonly tooHigh: number;
  readonly wasted: number;
  /** Of the good days. */
  readonly missed: number;
}

/** The rules worth thinking about, the one chosen, and what choosing costs. */
export interface RuleChoice {
  readonly kind: 'rule-choice';
  /** Rules that no other beats in both "too high" and loss (good days missed plus drives wasted), from the most careful to the boldest. */
  readonly frontier: readonly FrontierRule[];
  readonly rate: number;
  /** The rule that loses least among those whose "too high" keeps under the rate, both counted and expected; null where none does. */
  readonly rule: Rule | null;
  /** Its cost on the days that it was chosen by: flattering. */
  readonly cost: RuleCost | null;
  /** The cost when the rule for each flood is chosen without that flood: what the choice is worth. A flood for which none is found is stayed away from. */
  readonly costLeftOut: RuleCost | null;
}

/**
 * Looks through all rules "at least A, at most B" with A and B among the readings of the logged days, so never past what was seen.
 *
 * @param options.rate share of days gone that may be found too high; default 0.05.
 * @param options.wastedWorth what a wasted drive costs in missed good days; default 1.
 * @param options.seed default 1.
 * @returns an empty frontier and null without days.
 * @throws RangeError for a rate outside [0, 1] or a negative wastedWorth.
 */
export function chooseRule(
  days: RuleDays,
  { rate = TOO_HIGH_RATE, wastedWorth = 1, seed = 1 }: { rate?: number; wastedWorth?: number; seed?: number } = {},
): RuleChoice {
  if (!(rate >= 0 && rate <= 1)) throw new RangeError(`chooseRule: rate must be from 0 to 1, got ${rate}`);
  if (!(wastedWorth >= 0)) throw new RangeError(`chooseRule: wastedWorth must not be negative, got ${wastedWorth}`);
  const all = candidates(days.days, wastedWorth);
  const rule = bestUnder(all, rate);
  const byFlood = Array.from({ length: days.floods }, (_, flood) =>
    bestUnder(
      candidates(
        days.days.filter((day) => day.floodSlot !== flood),
        wastedWorth,
      ),
      rate,
    ),
  );
  const go = (day: RuleDay): boolean => {
    const chosen = byFlood[day.floodSlot];
    return chosen !== null && goes(chosen, day);
  };
  return Object.freeze({
    kind: 'rule-choice',
    frontier: frontierOf(all),
    rate,
    rule,
    cost: rule === null ? null : ruleCost(days, rule, { seed }),
    costLeftOut: rule === null ? null : costWhere(days, { go, seed }),
  });
}

interface Candidate extends FrontierRule {
  readonly tooHighCounted: number;
  /** Expected good days missed + wastedWorth · expected drives wasted. */
  readonly loss: number;
}

/** Every rule between two logged readings. Days ascending by reading; sums by running totals. */
function candidates(days: readonly RuleDay[], wastedWorth: number): Candidate[] {
  const below = [0];
  const good = [0];
  const high = [0];
  const seenHigh = [0];
  const weight = [0];
  days.forEach((day, i) => {
    weight.push(weight[i] + day.weight);
    below.push(below[i] + day.weight * day.oddsBelow);
    good.push(good[i] + day.weight * day.oddsGood);
    high.push(high[i] + day.weight * day.oddsTooHigh);
    seenHigh.push(seenHigh[i] + day.weight * day.wasTooHigh);
  });
  const n = days.length;
  const out: Candidate[] = [];
  for (let a = 0; a < n; a++) {
    if (a > 0 && days[a - 1].reading === days[a].reading) continue;
    for (let b = a; b < n; b++) {
      if (b + 1 < n && days[b + 1].reading === days[b].reading) continue;
      const gone = weight[b + 1] - weight[a];
      const wasted = below[b + 1] - below[a];
      const missed = good[n] - (good[b + 1] - good[a]);
      out.push({
        atLeast: days[a].reading,
        atMost: days[b].reading,
        tooHigh: (high[b + 1] - high[a]) / gone,
        tooHighCounted: (seenHigh[b + 1] - seenHigh[a]) / gone,
        wasted: wasted / gone,
        missed: good[n] > 0 ? missed / good[n] : 0,
        loss: missed + wastedWorth * wasted,
      });
    }
  }
  return out;
}

/** Running totals leave rounding behind, and a rate must not fail by that. */
const ROUNDING = 1e-9;

function bestUnder(all: readonly Candidate[], rate: number): Rule | null {
  let best: Candidate | null = null;
  for (const c of all)
    if (c.tooHigh <= rate + ROUNDING && c.tooHighCounted <= rate + ROUNDING && (best === null || c.loss < best.loss))
      best = c;
  return best === null ? null : Object.freeze({ atLeast: best.atLeast, atMost: best.atMost });
}

/** Rules that no other beats in both "too high" and loss. */
function frontierOf(all: readonly Candidate[]): readonly FrontierRule[] {
  const sorted = [...all].sort((p, q) => p.tooHigh - q.tooHigh || p.loss - q.loss);
  const out: FrontierRule[] = [];
  let least = Infinity;
  for (const { atLeast, atMost, tooHigh, wasted, missed, loss } of sorted) {
    if (!(loss < least - ROUNDING)) continue;
    least = loss;
    out.push(Object.freeze({ atLeast, atMost, tooHigh, wasted, missed }));
  }
  return Object.freeze(out);
}
