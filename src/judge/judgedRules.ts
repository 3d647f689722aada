import type { Aligned } from '../align/types.js';
import { splitSeed } from '../kernel/random.js';
import type { GaugeUnit } from '../series/units.js';
import { VERDICT } from '../series/visits.js';
import { chooseRule, type FrontierRule } from './chooseRule.js';
import { goodRange } from './goodRange.js';
import { counted, measuredPercent } from './judgeWords.js';
import type { JudgedCost, JudgedRules } from './judgement.js';
import { finiteOrNull, gaugeNumber, withUnit } from './numbers.js';
import { roundSafer } from './roundSafer.js';
import { ruleCost, type Rule, type RuleCost } from './rule.js';
import { ruleDays, type RuleDays } from './ruleDays.js';
import type { WayOfReading } from './waysOfReading.js';

/** Points of the frontier that are kept: enough to draw it. */
export const FRONTIER_POINTS = 40;

/** Where the chart's lowest class ends and its highest begins, as it prints them, gauge unit; null where it prints none or good stands at that end. */
export interface OuterEdges {
  readonly lowest: number | null;
  readonly highest: number | null;
}

export const NO_EDGES: OuterEdges = Object.freeze({ lowest: null, highest: null });

/**
 * What a rule "go when the gauge reads A to B" would have cost on the logged days.
 *
 * @param way the better way of reading with its left-out odds. @param options.aligned the visits it was fitted to.
 * @param options.sureGood the sure range of good as a rule, null where there is none.
 * @param options.outerEdges what the chart prints for its outermost edges; the rule named stays within them. Default none.
 * @param options.usable whether the grade carries a plan: without, the sentence names no rule.
 * @param options.seed seed of the relation's judging.
 * @returns null without a verdict that has a reading.
 */
export function judgedRules(
  way: WayOfReading,
  {
    aligned,
    sureGood,
    outerEdges = NO_EDGES,
    usable,
    seed,
  }: { aligned: Aligned; sureGood: Rule | null; outerEdges?: OuterEdges; usable: boolean; seed: number },
): JudgedRules | null {
  const days = ruleDays({ fit: way.fit, aligned, left: way.left });
  if (days.days.length === 0) return null;
  const ruleSeed = splitSeed(seed, 'rules');
  const choice = chooseRule(days, { seed: ruleSeed });
  const rounded = choice.rule === null ? null : roundedRule(choice.rule, { fit: way.fit, outerEdges });
  const chosen =
    choice.rule === null || choice.cost === null || choice.costLeftOut === null || rounded === null
      ? null
      : Object.freeze({
          rule: choice.rule,
          rounded,
          cost: judgedCost(choice.cost),
          costLeftOut: judgedCost(choice.costLeftOut),
        });
  return Object.freeze({
    rate: choice.rate,
    reading: Object.freeze({ lagHours: days.lagHours, storageHours: days.storageHours }),
    chosen,
    sureGood:
      sureGood === null
        ? null
        : Object.freeze({ rule: sureGood, cost: judgedCost(ruleCost(days, sureGood, { seed: ruleSeed })) }),
    frontier: thinnedFrontier(choice.frontier),
    sentence: usable
      ? choice.rule !== null && chosen === null
        ? OUTSIDE
        : ruleSentence(chosen, { rate: choice.rate, words: ruleWords(way, days) })
      : 'No rule is named: a gauge of this grade carries no plan.',
  });
}

/** The shares as counted in the log. */
function judgedCost({ days, goDays, goodDays, wasted, tooHigh, missed }: RuleCost): JudgedCost {
  return Object.freeze({
    days,
    goDays,
    goodDays,
    wasted: wasted.counted,
    tooHigh: tooHigh.counted,
    missed: missed.counted,
  });
}

/** Said where the log and the chart contradict each other. */
const OUTSIDE =
  'The rule that the log suggests lies where the chart itself says the lowest or the highest class: this gauge does not carry a rule.';

/**
 * A up and B down, to the step that the edges of the good range are known to, and never past the chart's own outermost edges: one who goes by the rule must not
 * stand at a reading that the chart calls the highest class (or the lowest). Rule and edges come from the same log by different ways, a count and a model, and round to
 * different steps, so the rule can end a step farther out.
 *
 * Where nothing would be left between the ends, three digits inward; where not even those, the rule itself, within the edges.
 * @returns null where the rule lies outside the edges altogether.
 */
export function roundedRule(
  { atLeast, atMost }: Rule,
  { fit, outerEdges: { lowest, highest } = NO_EDGES }: Pick<WayOfReading, 'fit'> & { readonly outerEdges?: OuterEdges },
): Rule | null {
  const { lower, upper } = goodRange(fit);
  const within = (from: number, to: number): Rule => ({
    atLeast: lowest === null ? from : Math.max(from, lowest),
    atMost: highest === null ? to : Math.min(to, highest),
  });
  const widths = [
    [lower?.width80 ?? NaN, upper?.width80 ?? NaN],
    [NaN, NaN],
  ];
  for (const [low, high] of widths) {
    const rule = within(
      roundSafer(atLeast, { width: low, side: 'up' }).value,
      roundSafer(atMost, { width: high, side: 'down' }).value,
    );
    if (rule.atLeast < rule.atMost) return Object.freeze(rule);
  }
  const rule = within(atLeast, atMost);
  return rule.atLeast <= rule.atMost ? Object.freeze(rule) : null;
}

/** Evenly thinned; both ends stay. */
function thinnedFrontier(frontier: readonly FrontierRule[]): JudgedRules['frontier'] {
  const n = frontier.length;
  if (n <= FRONTIER_POINTS) return frontier;
  return Object.freeze(
    Array.from({ length: FRONTIER_POINTS }, (_, i) => frontier[Math.round((i * (n - 1)) / (FRONTIER_POINTS - 1))]),
  );
}

/** What the sentence calls things. */
interface RuleWords {
  readonly unit: GaugeUnit;
  /** The class that counts as too high; undefined where there is none above good. */
  readonly tooHigh: string | undefined;
  /** Classes above good that don't count as too high yet, and where they begin (gauge unit). */
  readonly between: readonly string[];
  readonly goodEnds: number;
}

function ruleWords({ fit }: WayOfReading, { good, tooHighFrom }: RuleDays): RuleWords {
  const classes = fit.features.find(({ id }) => id === VERDICT)?.classes ?? [];
  return {
    unit: fit.unit,
    tooHigh: classes[tooHighFrom],
    between: classes.slice(good[1] + 1, tooHighFrom),
    goodEnds: goodRange(fit).upper?.median ?? Infinity,
  };
}

function ruleSentence(
  chosen: JudgedRules['chosen'],
  { rate, words: { unit, tooHigh, between, goodEnds } }: { rate: number; words: RuleWords },
): string {
  const most = `${Math.round(rate * 100)} %`;
  if (chosen === null)
    return `No rule "go when the gauge reads A to B" keeps "${tooHigh ?? 'too high'}" under ${most} of the days gone: this gauge does not carry a rule.`;
  const { rounded, costLeftOut: cost } = chosen;
  if (!(cost.goDays > 0))
    return 'The rule that the log suggests hangs on a single flood: chosen without it there is none. This gauge does not carry a rule yet.';
  const go = `"Go at ${gaugeNumber(rounded.atLeast, 6)} to ${withUnit(rounded.atMost, unit, 6)}"`;
  // People log when it runs, so the days of a log are wetter than those of the calendar: a share of them is not a share of all days.
  const gone = `of ${counted(Math.round(cost.goDays), 'logged day')} gone (the calendar has drier ones)`;
  const wasted = `${measuredPercent(cost.wasted)} wasted`;
  const head =
    tooHigh === undefined
      ? `${go}: ${gone} ${wasted}`
      : `${go}, chosen for "${tooHigh}" on under ${most} of the days. On floods it was not chosen by, ${gone} ${measuredPercent(cost.tooHigh)} were "${tooHigh}", ${wasted}`;
  const neither =
    between.length > 0 && rounded.atMost > goodEnds
      ? `, those of "${between.join('" and "')}" count as neither: it reaches past the good range, which ends at ${withUnit(goodEnds, unit, 2)}`
      : '';
  const missed = cost.goodDays > 0 ? `; it misses ${measuredPercent(cost.missed)} of the good days` : '';
  return `${head}${neither}${missed}.`;
}

/** Rule from the ends of a range; null where there is none. */
export function ruleOf(from: number | null, to: number | null): Rule | null {
  return from === null || to === null || finiteOrNull(from) === null || finiteOrNull(to) === null || !(from <= to)
    ? null
    : Object.freeze({ atLeast: from, atMost: to });
}
