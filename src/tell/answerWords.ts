import type { Season } from '../chart/day/season.js';
import { counted, fixed, listed, MONTHS, shareWithI80 } from '../series/format.js';
import { unitLabel, type GaugeUnit } from '../series/units.js';
import type { Card } from './document.js';
import type { AnswerEdge, AnswerReading, RunAnswer } from './runAnswer.js';
import { inwardIn } from './unitsChoice.js';

/** The answer for one run in sentences and numbers as texts: every medium lays these out and words nothing itself. */
export interface AnswerWords {
  /** What to read, or why there is no level. */
  readonly read: string;
  /**
   * An edge line for each unit shown; none without a level. Edges stand between the classes, lowest first; `*` marks one that no visit has
   * met from one side.
   */
  readonly scales: readonly { readonly unit: string; readonly edges: readonly string[] }[];
  readonly classes: readonly string[];
  /** The grade, how often it was right, how often the creek was higher than said. */
  readonly trust: string;
  /** Where good is sure, what it rests on, what no visit has met. */
  readonly seen: string;
  /** How often the run is good; empty where nobody knows. */
  readonly season: string;
}

/** @returns the words of one run's answer in the units of its card. */
export function answerWords({ answer, units }: Pick<Card, 'answer' | 'units'>): AnswerWords {
  const { reading, refusal } = answer;
  const trust = trustWords(answer);
  if (reading === null)
    return {
      read: refusal ?? '',
      scales: [],
      classes: [],
      trust,
      seen: `${counted(answer.visits, 'visit')} so far.`,
      season: '',
    };
  return {
    read: `Gauge: ${reading.gaugeName}. ${reading.instruction}`,
    scales: units.map((unit) => ({
      unit: unitLabel(unit),
      edges: reading.edges.map((edge) => edgeText(edge, unit === reading.unit)),
    })),
    classes: reading.classes.map(({ word }) => word),
    trust,
    seen: seenWords(reading, answer, units[0] ?? reading.unit),
    season: seasonWords(answer.season),
  };
}

/** An edge as it is printed, in the gauge's own unit or in the other. */
export function edgeText({ value, valueOther, digits, digitsOther, seenBothSides }: AnswerEdge, own: boolean): string {
  return `${own ? fixed(value, digits) : fixed(valueOther, digitsOther)}${seenBothSides ? '' : '*'}`;
}

function trustWords({ grade, right, higher }: RunAnswer): string {
  const name = `${grade[0]!.toUpperCase()}${grade.slice(1)}`;
  return right === null || higher === null
    ? `${name}.`
    : `${name}: right ${shareWithI80(right)}, higher than said ${shareWithI80(higher)}.`;
}

function seenWords(
  { seen, sureGood, edges, unit: own }: AnswerReading,
  { visits }: RunAnswer,
  unit: GaugeUnit,
): string {
  const [low, high] = inwardIn(seen, own, unit);
  const good = sureGood === null ? undefined : inwardIn(sureGood, own, unit);
  const sure =
    good === undefined ? 'Good is nowhere sure.' : `Sure of good: ${good[0]} to ${good[1]} ${unitLabel(unit)}.`;
  const assumed = edges.every(({ seenBothSides }) => seenBothSides) ? '' : ' *: an assumption, no visit on one side.';
  return `${sure} ${counted(visits, 'visit')}, none below ${low} or above ${high}.${assumed}`;
}

/** `Good on about 41 days a year (25 to 60), mostly November to March.` */
export function seasonWords(season: Season | null): string {
  if (season === null || season.goodDays === null) return '';
  const { median, i80 } = season.goodDays;
  const short = (month: number) => (season.mostly.length > 1 ? MONTHS[month]!.slice(0, 3) : MONTHS[month]!);
  const when = season.mostly.map(([from, to]) => (from === to ? short(from) : `${short(from)} to ${short(to)}`));
  const words = listed(season.good);
  const mostly = when.length === 0 ? '' : `, mostly ${listed(when)}`;
  return (
    `${words[0]!.toUpperCase()}${words.slice(1)} on about ${counted(Math.round(median), 'day')} a year ` +
    `(${Math.round(i80[0])} to ${Math.round(i80[1])})${mostly}.`
  );
}
