import { sureGood } from '../chart/sureGood.js';
import type { CreekChart, CreekTrust, Edge, GaugeChart, LevelChart, RunChart } from '../chart/types.js';
import { hoursInWords, significantInward } from '../series/format.js';
import { VERDICT } from '../series/visits.js';
import { judgementOf, levelOf, recommendedGauge } from './levelOf.js';
import type { AnswerEdge, AnswerReading, RunAnswer } from './runAnswer.js';

/** What a creek's outputs are made of; the chart alone is enough. */
export interface CreekAnswers {
  readonly chart: CreekChart;
  readonly trust?: CreekTrust | undefined;
}

/** The answer of every run, in the order of the chart. Here and nowhere else it is decided whether a level is given. */
export function answersOf({ chart, trust }: CreekAnswers): readonly RunAnswer[] {
  return chart.runs.map((run) => answerOf(run, { trust }));
}

/** The answer of one run, by default by the gauge to read. @param options.gauge another one that may be planned with. */
export function answerOf(
  run: RunChart,
  {
    trust,
    gauge: chosen = recommendedGauge(run),
  }: { readonly trust?: CreekTrust | undefined; readonly gauge?: GaugeChart | undefined } = {},
): RunAnswer {
  const gauge = chosen ?? run.gauges[0];
  const evidence = gauge?.trust.evidence;
  const scores = gauge === undefined ? null : (judgementOf(trust, run.id, gauge.gauge.id)?.scores ?? null);
  const reading = chosen === undefined ? null : readingOf(chosen);
  return {
    run: { id: run.id, name: run.name },
    reading,
    refusal: reading === null ? refusalOf(gauge, run.shorterLead) : null,
    grade: gauge?.trust.grade ?? 'too thin',
    right: scores?.confusion.right ?? null,
    higher: scores?.confusion.seenHigher ?? null,
    season: reading === null ? null : (gauge?.season ?? null),
    visits: evidence?.visits ?? 0,
    floods: evidence?.floods ?? 0,
    lastVisitMs: evidence?.lastVisitMs ?? null,
  };
}

function refusalOf(gauge: GaugeChart | undefined, shorter: RunChart['shorterLead']): string {
  if (shorter !== undefined && gauge !== undefined)
    return (
      `No level is given ${hoursInWords(gauge.level?.leadHours ?? 0)} ahead: ${gauge.trust.reasons[0] ?? ''} ` +
      `Deciding ${shorter.hours === 0 ? 'on the spot' : `up to ${hoursInWords(shorter.hours)} ahead`} still ` +
      `works, by ${shorter.gaugeName} (${shorter.grade}): --lead ${shorter.hours}.`
    );
  if (gauge === undefined) return 'No gauge could be read for this run, so there is no level to give.';
  const { name } = gauge.gauge;
  const why = gauge.trust.reasons[0] ?? '';
  return gauge.trust.grade === 'no usable relation'
    ? `No level is given: not even ${name}, the best of the gauges, tells the classes of this run apart. ${why}`
    : `No level is given: the log is too thin to plan with, even by ${name}. ${why}`;
}

function readingOf(chart: GaugeChart): AnswerReading | null {
  const level = levelOf(chart);
  if (level === undefined) return null;
  const { id, name, unit, otherUnit } = chart.gauge;
  const edges = verdictEdges(level).map(answerEdge);
  const sure = sureGood(level);
  return {
    gauge: id,
    gaugeName: name,
    unit,
    otherUnit,
    instruction: level.howToRead,
    leadHours: level.leadHours,
    classes: level.odds.classes.map((word, k) => ({
      word,
      from: edges[k - 1]?.value ?? null,
      to: edges[k]?.value ?? null,
    })),
    edges,
    sureGood: sure === null ? null : [sure.atLeast, sure.atMost],
    seen: [significantInward(level.seen.from, 'low'), significantInward(level.seen.to, 'high')],
  };
}

/** Edges of the verdict, lowest first. */
export function verdictEdges(level: LevelChart): readonly Edge[] {
  return level.edges.filter(({ feature }) => feature === VERDICT);
}

/** An edge as it is printed: rounded once, in the gauge's unit; the other unit is converted from there. */
export function answerEdge({
  between,
  rounded,
  roundedOther,
  digits,
  digitsOther,
  i80,
  odds,
  seenBothSides,
}: Edge): AnswerEdge {
  return { between, value: rounded, valueOther: roundedOther, digits, digitsOther, i80, odds, seenBothSides };
}
