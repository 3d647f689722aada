import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { findRoot } from '../kernel/findRoot.js';
import { counted, inUnit, share, shareWithI80 } from '../series/format.js';
import { VERDICT } from '../series/visits.js';
import { chooseRule, TOO_HIGH_RATE, type FrontierRule, type RuleEnds } from './chooseRule.js';
import { classOdds } from './classOdds.js';
import type { JudgedRules } from './judgement.js';
import { goodEdges, printedEdges, type PrintedEdge } from './printedEdges.js';
import { roundSafer } from './roundSafer.js';
import { ruleCost, type Rule } from './rule.js';
import { ruleDays, type RuleDays } from './ruleDays.js';
import type { WayOfReading } from './waysOfReading.js';

/** Points of the frontier that are kept: enough to draw it. */
const FRONTIER_POINTS = 40;

/** How far a rule may reach: within the good range as the chart prints it, or up to where the lowest and the highest class begin. */
export type RuleReach = 'good' | 'beyond-good';

/**
 * A range to go by, "the gauge reads A to B", and what it would have cost on the logged days.
 *
 * The range stays within the printed edges of the good range, and ends where the chart's own odds of "too high" pass the rate that it is
 * chosen by. Its ends are numbers as they are printed, so what is told is what was counted.
 *
 * @param way the way of reading of the chart with its left-out odds.
 * @param options.aligned the visits it was fitted to.
 * @param options.sureGood the sure range of good as a rule, null where there is none.
 * @param options.reach default 'good'.
 * @param options.usable whether the grade carries a plan: without, the sentence names no range.
 * @returns null without a verdict that has a reading.
 */
export function judgedRules(
  { fit, left }: Pick<WayOfReading, 'fit' | 'left'>,
  {
    aligned,
    sureGood,
    reach = 'good',
    usable,
  }: { aligned: Aligned; sureGood: Rule | null; reach?: RuleReach | undefined; usable: boolean },
): JudgedRules | null {
  const days = ruleDays({ fit, aligned, left });
  if (days.days.length === 0) return null;
  const ends = printedEnds(days, { fit, reach });
  const { rule, cost, costLeftOut, frontier } = chooseRule(days, { ends });
  const tooHighAt = (value: number) => oddsTooHigh(fit, value, days.tooHighFrom);
  const tooHighAtEnds = ({ atLeast, atMost }: Rule) => [tooHighAt(atLeast), tooHighAt(atMost)] as const;
  const chosen =
    rule === null || cost === null || costLeftOut === null
      ? null
      : { rule, digits: ends.digits, tooHighAtEnds: tooHighAtEnds(rule), cost, costLeftOut };
  const tooHigh = fit.features.find(({ id }) => id === VERDICT)?.classes[days.tooHighFrom];
  const known = { rate: TOO_HIGH_RATE, unit: fit.unit, tooHigh };
  return {
    rate: TOO_HIGH_RATE,
    reach,
    reading: { lagHours: days.lagHours, storageHours: days.storageHours },
    chosen,
    sureGood: sureGood === null ? null : { rule: sureGood, cost: ruleCost(days, sureGood) },
    frontier: thinnedFrontier(frontier),
    sentence: usable
      ? ruleSentence(chosen, known)
      : 'No range is named: the grade of this gauge is too low to plan by.',
  };
}

/** Odds of the classes from `from` on. */
function oddsTooHigh(fit: LevelFit, value: number, from: number): number {
  return classOdds(fit, value)
    .slice(from)
    .reduce((sum, p) => sum + p, 0);
}

/**
 * Ends that a rule may have: the logged readings and the edges within its reach, rounded inward to the steps that the edges of good are
 * known to, and none with odds of "too high" above the rate.
 */
export function printedEnds(
  { days, tooHighFrom }: RuleDays,
  { fit, reach }: { fit: LevelFit; reach: RuleReach },
): RuleEnds & { readonly digits: number } {
  const { lower, upper } = goodEdges(fit);
  const [from, to] = bounds(fit, reach);
  const low = (value: number) => roundSafer(value, { width: lower?.width80 ?? NaN, side: 'up' });
  const high = (value: number) => roundSafer(value, { width: upper?.width80 ?? NaN, side: 'down' });
  const readings = days.map(({ reading }) => reading);
  const top = lastWithin(Math.min(to, readings[readings.length - 1]), {
    from: Math.max(from, readings[0]),
    above: (value) => oddsTooHigh(fit, value, tooHighFrom) - TOO_HIGH_RATE,
  });
  const within = (values: readonly number[]) =>
    [...new Set(values)].filter((value) => value >= from && value <= top && value > -Infinity).sort((a, b) => a - b);
  return {
    atLeast: within([from, ...readings.map((reading) => low(reading).value)]),
    atMost: within([...readings, ...(top > -Infinity ? [top] : [])].map((value) => high(value).value)),
    digits: Math.max(...[low(readings[0]), high(readings[0]), lower, upper].map((end) => end?.digits ?? 0)),
  };
}

/** The printed edges between which a rule lies; infinite where good, or the range reached for, has no edge. */
function bounds(fit: LevelFit, reach: RuleReach): readonly [number, number] {
  const { lower, upper } = goodEdges(fit);
  const all: readonly (PrintedEdge | undefined)[] = printedEdges(fit);
  // A class of the good range may be the lowest or the highest itself.
  const first = reach === 'good' || lower === null ? lower : all[0];
  const last = reach === 'good' || upper === null ? upper : all[all.length - 1];
  return [first?.value ?? -Infinity, last?.value ?? Infinity];
}

/** The largest value up to `top` that is not above; -Infinity where there is none from `from` on. `above` rises. */
function lastWithin(top: number, { from, above }: { from: number; above: (value: number) => number }): number {
  if (above(top) <= 0) return top;
  if (!(from < top) || above(from) > 0) return -Infinity;
  const crossing = findRoot(above, { low: from, high: top });
  return above(crossing) <= 0 ? crossing : crossing - 1e-9 * (top - from);
}

/** Evenly thinned; both ends stay. */
function thinnedFrontier(frontier: readonly FrontierRule[]): readonly FrontierRule[] {
  const n = frontier.length;
  if (n <= FRONTIER_POINTS) return frontier;
  return Array.from({ length: FRONTIER_POINTS }, (_, i) => frontier[Math.round((i * (n - 1)) / (FRONTIER_POINTS - 1))]);
}

/** What the logged days inside the range were, and what such a choice is worth on floods that had no part in it. */
function ruleSentence(
  chosen: JudgedRules['chosen'],
  { rate, unit, tooHigh }: { rate: number; unit: LevelFit['unit']; tooHigh: string | undefined },
): string {
  if (chosen === null)
    return `No range keeps the odds of "${tooHigh ?? 'too high'}" at ${share(rate)} or below: no rule can be made for this gauge.`;
  const { rule, digits, cost, costLeftOut } = chosen;
  if (!(costLeftOut.goDays > 0))
    return (
      'Only one flood supports the range that the log suggests; without that flood there is none. No ' +
      'rule can be made for this gauge yet.'
    );
  const range = `${inUnit(rule.atLeast, unit, digits).split(' ')[0]} to ${inUnit(rule.atMost, unit, digits)}`;
  const of = (n: number) => counted(Math.round(n), 'logged day');
  const high = ({ tooHigh: { cases, floodsAtMost } }: typeof cost) =>
    `${Math.round(cases)} "${tooHigh}" (90 % confidence: in at most ${share(floodsAtMost)} of floods)`;
  const inside =
    `Of ${of(cost.goDays)} inside ${range}, ` +
    `${Math.round(cost.goDays - cost.wasted.cases - cost.tooHigh.cases)} were neither below good nor ` +
    `"${tooHigh}"`;
  const tested = `Chosen without the flood in question, such a range holds ${of(costLeftOut.goDays)}: ${
    tooHigh === undefined ? '' : `${high(costLeftOut)}, `
  }${shareWithI80(costLeftOut.wasted)} below good`;
  const missed =
    costLeftOut.goodDays > 0 ? `; ${shareWithI80(costLeftOut.missed)} of the good days lie outside it` : '';
  return `${inside}. ${tested}${missed}. A calendar has drier days than a log.`;
}

/** Rule from the ends of a range; null where there is none. */
export function ruleOf(from: number | null, to: number | null): Rule | null {
  return from === null || to === null || !Number.isFinite(from) || !Number.isFinite(to) || !(from <= to)
    ? null
    : { atLeast: from, atMost: to };
}
