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

/** Ends that a rule may have, ascending. */
export interface RuleEnds {
  readonly atLeast: readonly number[];
  readonly atMost: readonly number[];
}

/** The rules worth thinking about, the one chosen, and what choosing costs. */
export interface RuleChoice {
  /** Rules that no other beats in both "too high" and loss (good days missed plus drives wasted), from the most careful to the boldest. */
  readonly frontier: readonly FrontierRule[];
  /** The rule that loses least among those whose "too high" keeps under the rate, both counted and expected; null where none does. */
  readonly rule: Rule | null;
  /** Its cost on the days that it was chosen by: flattering. */
  readonly cost: RuleCost | null;
  /**
   * The cost when the rule for each flood is chosen without that flood: what the choice is worth. A flood for which none is found is
   * stayed away from.
   */
  readonly costLeftOut: RuleCost | null;
}

/**
 * Looks through all rules "at least A, at most B". On the frontier A and B are readings of logged days, so never past what was seen.
 *
 * @param options.ends that the chosen rule may have; default those of the frontier.
 * @param options.rate share of days gone that may be found too high; default 0.05.
 * @param options.wastedWorth what a wasted drive costs in missed good days; default 1.
 * @returns an empty frontier and null without days.
 * @throws RangeError for a rate outside [0, 1] or a negative wastedWorth.
 */
export function chooseRule(
  days: RuleDays,
  { ends, rate = TOO_HIGH_RATE, wastedWorth = 1 }: { ends?: RuleEnds; rate?: number; wastedWorth?: number } = {},
): RuleChoice {
  if (!(rate >= 0 && rate <= 1)) throw new RangeError(`chooseRule: rate must be from 0 to 1, got ${rate}`);
  if (!(wastedWorth >= 0)) throw new RangeError(`chooseRule: wastedWorth must not be negative, got ${wastedWorth}`);
  const readings = [...new Set(days.days.map(({ reading }) => reading))];
  const logged = { atLeast: readings, atMost: readings };
  const bestOf = (some: readonly RuleDay[]): Rule | null =>
    bestUnder(candidates(some, { ends: ends ?? logged, wastedWorth }), rate);
  const rule = bestOf(days.days);
  const byFlood = Array.from({ length: days.floods }, (_, flood) =>
    bestOf(days.days.filter((day) => day.floodSlot !== flood)),
  );
  const leftOut = (day: RuleDay): boolean => {
    const chosen = byFlood[day.floodSlot];
    return chosen !== null && goes(chosen, day);
  };
  return {
    frontier: frontierOf(candidates(days.days, { ends: logged, wastedWorth })),
    rule,
    cost: rule === null ? null : ruleCost(days, rule),
    costLeftOut: rule === null ? null : costWhere(days, leftOut),
  };
}

interface Candidate extends FrontierRule {
  readonly tooHighCounted: number;
  /** Expected good days missed + wastedWorth · expected drives wasted. */
  readonly loss: number;
}

/** Every rule with these ends that some day lies within. Days ascending by reading; sums by running totals. */
function candidates(
  days: readonly RuleDay[],
  { ends, wastedWorth }: { ends: RuleEnds; wastedWorth: number },
): Candidate[] {
  const running = (value: (day: RuleDay) => number): number[] => {
    const sums = [0];
    days.forEach((day, i) => sums.push(sums[i] + day.weight * value(day)));
    return sums;
  };
  const weight = running(() => 1);
  const below = running((day) => day.oddsBelow);
  const good = running((day) => day.oddsGood);
  const high = running((day) => day.oddsTooHigh);
  const seenHigh = running((day) => day.wasTooHigh);
  const n = days.length;
  const first = ends.atLeast.map((a) => days.filter(({ reading }) => reading < a).length);
  const after = ends.atMost.map((b) => days.filter(({ reading }) => reading <= b).length);
  const out: Candidate[] = [];
  first.forEach((i, a) =>
    after.forEach((j, b) => {
      if (!(i < j && ends.atLeast[a] <= ends.atMost[b])) return;
      const gone = weight[j] - weight[i];
      const wasted = below[j] - below[i];
      const missed = good[n] - (good[j] - good[i]);
      out.push({
        atLeast: ends.atLeast[a],
        atMost: ends.atMost[b],
        tooHigh: (high[j] - high[i]) / gone,
        tooHighCounted: (seenHigh[j] - seenHigh[i]) / gone,
        wasted: wasted / gone,
        missed: good[n] > 0 ? missed / good[n] : 0,
        loss: missed + wastedWorth * wasted,
      });
    }),
  );
  return out;
}

/** Running totals leave rounding behind, and a rate must not fail by that. */
const ROUNDING = 1e-9;

function bestUnder(all: readonly Candidate[], rate: number): Rule | null {
  let best: Candidate | null = null;
  for (const c of all)
    if (c.tooHigh <= rate + ROUNDING && c.tooHighCounted <= rate + ROUNDING && (best === null || c.loss < best.loss))
      best = c;
  return best === null ? null : { atLeast: best.atLeast, atMost: best.atMost };
}

/** Rules that no other beats in both "too high" and loss. */
function frontierOf(all: readonly Candidate[]): readonly FrontierRule[] {
  const sorted = [...all].sort((p, q) => p.tooHigh - q.tooHigh || p.loss - q.loss);
  const out: FrontierRule[] = [];
  let least = Infinity;
  for (const { atLeast, atMost, tooHigh, wasted, missed, loss } of sorted) {
    if (!(loss < least - ROUNDING)) continue;
    least = loss;
    out.push({ atLeast, atMost, tooHigh, wasted, missed });
  }
  return out;
}
