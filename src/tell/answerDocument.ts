import type { ChartChanges } from '../chart/chartChanges.js';
import type { CreekGauges } from '../chart/gauges/types.js';
import type { CreekChart, CreekTrust, Edge, GaugeChart, LevelChart, RunChart } from '../chart/types.js';
import { counted, day, inUnit, listed, lnShare, rounded, share, shareWithI80 } from '../series/format.js';
import { convertUnit, unitLabel, type GaugeUnit } from '../series/units.js';
import { VERDICT } from '../series/visits.js';
import { answerEdge, answersOf, verdictEdges } from './answersOf.js';
import { changesLine } from './changesDocument.js';
import { fold, heading, list, rows, says, type Block, type Document } from './document.js';
import { featureName, judgementOf, levelOf } from './levelOf.js';
import type { AnswerEdge, RunAnswer } from './runAnswer.js';
import { number, table, text } from './table.js';
import { comparedTable } from './tables/trustTables.js';
import { saidBlocks, saidSentence } from './saidWords.js';
import { quickNote } from './trustDocument.js';
import { inwardIn, unitsShown, type UnitsChoice } from './unitsChoice.js';

/** What a creek's documents are made of; the chart alone is enough. */
export interface CreekTold {
  readonly chart: CreekChart;
  readonly trust?: CreekTrust | undefined;
  readonly gauges?: CreekGauges | undefined;
  /** Against the chart that this one replaces; left out where there was none. */
  readonly changes?: ChartChanges | undefined;
}

/**
 * The answer for every run of a creek, and folded behind it every gauge with its edges, intervals and odds.
 * @param options.units units in cards and tables; default both.
 */
export function answerDocument(
  { chart, trust, changes }: CreekTold,
  { units = 'both' }: { units?: UnitsChoice } = {},
): Document {
  const answers = answersOf({ chart, trust });
  return {
    kind: 'document',
    subject: 'answer',
    title: titleOf(chart, answers),
    cautions: chart.cautions,
    body: [
      ...chart.runs.flatMap((run, r) => runBlocks(run, { answer: answers[r]!, trust, units, chart })),
      ...(changes ? says(changesLine(changes)) : []),
      ...says(saidSentence(chart)),
      ...says([toCheck(chart, trust), quickly(trust)].join(' ').trim()),
      ...fold('said', 'What was said on the day, and what was met', saidBlocks(chart)),
      ...fold('made-from', 'Made from', list(provenanceItems(chart))),
    ],
  };
}

function titleOf({ creek }: CreekChart, answers: readonly RunAnswer[]): string {
  const last = Math.max(...answers.map(({ lastVisitMs }) => lastVisitMs ?? -Infinity));
  return `${creek.name}: level chart${last > -Infinity ? `, last visit ${day(last, creek.timeZone)}` : ''}`;
}

interface Style {
  readonly chart: CreekChart;
  readonly trust: CreekTrust | undefined;
  readonly units: UnitsChoice;
}

function runBlocks(run: RunChart, { answer, ...style }: Style & { answer: RunAnswer }): readonly Block[] {
  const { reading } = answer;
  const own = run.gauges[0]?.gauge.unit;
  const shown = reading?.unit ?? own;
  return [
    heading(2, run.name, run.id),
    { kind: 'card', answer, units: shown === undefined ? [] : unitsShown(shown, style.units) },
    ...fold(`${run.id}-levels`, `${run.name}: every gauge, its edges and odds`, [
      ...says(
        run.verdictFrom === undefined
          ? undefined
          : `Nobody gives verdicts for this run: its classes are translated from ${featureName(run, run.verdictFrom)}.`,
      ),
      ...rows(comparedTable(style.trust?.runs.find(({ id }) => id === run.id)?.gauges ?? [])),
      ...run.gauges.flatMap((gauge) => gaugeBlocks(run, gauge, style)),
    ]),
  ];
}

function gaugeBlocks(run: RunChart, gauge: GaugeChart, { chart, trust, units }: Style): readonly Block[] {
  const judgement = judgementOf(trust, run.id, gauge.gauge.id);
  return [
    heading(3, `${gauge.gauge.name}: ${gauge.trust.grade}`),
    ...levelBlocks(run, gauge, units),
    ...list([
      ...(judgement?.reasons ?? gauge.trust.reasons),
      evidenceText(gauge, chart.creek.timeZone),
      ...(judgement?.scores ? [judgement.scores.sentence] : []),
      ...(judgement?.rules && levelOf(gauge) !== undefined ? [judgement.rules.sentence] : []),
    ]),
  ];
}

/** Everything about the level of one gauge: how to read it, its edges with intervals and odds, where classes are sure, what is not seen. */
export function levelBlocks(run: Pick<RunChart, 'features'>, gauge: GaugeChart, units: UnitsChoice): readonly Block[] {
  const level = levelOf(gauge);
  if (level === undefined)
    return says('No level is given: this gauge does not tell the classes of the run apart.', 'refusal');
  const shown = unitsShown(gauge.gauge.unit, units);
  return [
    ...(gauge.trust.grade === 'too thin' ? says(TOO_THIN, 'refusal') : []),
    ...says(level.howToRead),
    ...(level.status === 'converged' ? [] : says(level.statusSentence, 'note')),
    ...rows(edgesOf(verdictEdges(level), { gauge, shown })),
    ...rows(oddsOf(verdictEdges(level), level)),
    ...allDaysBlocks({ gauge, level, shown }),
    ...todayBlocks({ gauge, level, shown }),
    ...says(notSeen(level, gauge.gauge.unit, shown)),
    ...list(level.sureRanges.map((range) => range.says)),
    ...rows(featuresOf(run, { gauge, level, shown })),
    ...says(otherWords(gauge)),
    ...says(gauge.lag.sentence),
  ];
}

/** The way of reading that the chart is not made by, and what it would change. */
function otherWords({ other }: GaugeChart): string {
  if (other === undefined) return '';
  const against = other.difference.value === null ? '' : `, ${shareWithI80(other.difference)} against the way above`;
  return `The other way: ${other.howToRead} It takes away ${share(other.skill.value)} of the guesswork${against}.`;
}

/** Said before the levels of a gauge whose grade does not carry a plan. */
const TOO_THIN = 'Too thin to plan with: these edges are a first guess, until more visits are logged.';

interface Shown {
  readonly gauge: GaugeChart;
  readonly level: LevelChart;
  readonly shown: readonly GaugeUnit[];
}

const EDGE = {
  edge: text(
    'edge',
    'Classes below and above it.',
    ({ between, seenBothSides }: AnswerEdge) => `${between.join(' / ')}${seenBothSides ? '' : ' *'}`,
  ),
} as const;

/** Edges lowest first, in each unit with its 80 % interval. */
function edgesOf(
  edges: readonly Edge[],
  {
    gauge: { gauge },
    shown,
    called = 'levels',
    title = 'Edges: half of the days lie below, half at or above',
  }: Pick<Shown, 'gauge' | 'shown'> & { called?: string; title?: string },
) {
  const note = edges.every(({ seenBothSides }) => seenBothSides) ? '' : '; *: no visit on one side, an assumption';
  return table(
    called,
    `${title} (80 % interval${note})`,
    edges.map(answerEdge),
  )({ ...EDGE, ...unitColumns(gauge.unit, shown) });
}

/** The verdict's edges by other estimates, rounded as finely. */
function edgesAt(
  { gauge: { gauge }, level }: Shown,
  estimates: readonly Pick<Edge, 'median' | 'i80' | 'i95'>[],
): readonly Edge[] {
  return verdictEdges(level).map((edge, k) => {
    const estimate = estimates[k]!;
    const value = rounded(estimate.median, edge.digits);
    const other = convertUnit(value, gauge.unit, gauge.otherUnit);
    return { ...edge, ...estimate, rounded: value, roundedOther: rounded(other, edge.digitsOther) };
  });
}

/** Edges if every day counted alike: people log when it runs. */
function allDaysBlocks({ gauge, level, shown }: Shown): readonly Block[] {
  const { allDays } = level;
  const lowest = verdictEdges(level)[0];
  if (allDays === undefined || lowest === undefined) return [];
  const tenth = inUnit(allDays.lowestAtTenth, gauge.gauge.unit, lowest.digits);
  return [
    ...rows(
      edgesOf(edgesAt({ gauge, level, shown }, allDays.edges), {
        gauge,
        shown,
        called: 'levels of all days',
        title: 'Edges if every day counted alike, not only those that people log',
      }),
    ),
    ...says(
      `People log when it runs. At the lowest edge a day was logged ${share(allDays.rateAtLowest.median)} as ` +
        `readily as one with water, by the gauge's own record; ` +
        `were days below it logged a tenth as often as those above, it would lie at ${tenth}. To be sure of ` +
        'water, take the higher of the two tables.',
    ),
  ];
}

/** Edges with the drift that the latest verdicts show taken off, where there are enough of them. */
function todayBlocks({ gauge, level, shown }: Shown): readonly Block[] {
  const { asOfToday } = level;
  if (asOfToday === undefined || !asOfToday.told) return [];
  return [
    ...rows(
      edgesOf(edgesAt({ gauge, level, shown }, asOfToday.edges), {
        gauge,
        shown,
        called: 'levels as things stand',
        title: `Edges as things stand, by ${counted(asOfToday.visits60, 'visit')} of the last 60 days`,
      }),
    ),
    ...says(
      `Against any season the creek stands ${lnShare(asOfToday.drift.median)} off what the gauge says, as of ` +
        'the last visit and faded by its age.',
    ),
  ];
}

/** What the edges mean: the odds of every class right there. */
function oddsOf(edges: readonly Edge[], level: LevelChart) {
  const columns = level.odds.classes.map((word, k) => [
    `odds${k}`,
    number('odds', [word, `Odds of ${word} at the edge.`], (edge: AnswerEdge) => edge.odds[k] ?? null),
  ]);
  return table(
    'odds at edges',
    'Odds of each class at the printed edge',
    edges.map(answerEdge),
  )({ ...EDGE, ...Object.fromEntries(columns) });
}

function unitColumns(own: GaugeUnit, shown: readonly GaugeUnit[]) {
  return Object.fromEntries(
    shown.map((unit) => [
      unit,
      {
        as: 'gauge' as const,
        label: unitLabel(unit),
        means: `The edge in ${unitLabel(unit)}, rounded to the safer side in ${unitLabel(own)}.`,
        of: (edge: AnswerEdge) => (unit === own ? edge.value : edge.valueOther),
        i80: ({ i80 }: AnswerEdge) => [convertOrNull(i80[0], own, unit), convertOrNull(i80[1], own, unit)] as const,
        digits: (edge: AnswerEdge) => (unit === own ? edge.digits : edge.digitsOther),
      },
    ]),
  );
}

function convertOrNull(value: number | null, from: GaugeUnit, to: GaugeUnit): number | null {
  return value === null ? null : convertUnit(value, from, to);
}

/** Edges of the reference features: at which gauge value each of their classes begins. */
function featuresOf(run: Pick<RunChart, 'features'>, { gauge: { gauge }, level, shown }: Shown) {
  const edges = level.edges
    .filter(({ feature }) => feature !== VERDICT)
    .map((edge) => ({ feature: featureName(run, edge.feature), ...answerEdge(edge) }));
  return table(
    'features',
    'Edges of what is seen on the way (80 % interval)',
    edges,
  )({
    feature: text('feature', 'Its name.', ({ feature }) => feature),
    ...EDGE,
    ...unitColumns(gauge.unit, shown),
  });
}

/** Where no visit has been. */
function notSeen({ seen }: LevelChart, own: GaugeUnit, shown: readonly GaugeUnit[]): string {
  const ends = shown.map((unit) => {
    const [from, to] = inwardIn([seen.from, seen.to], own, unit);
    return `below ${from} and above ${to} ${unitLabel(unit)}`;
  });
  return `Not seen by any visit: ${listed(ends)}.`;
}

/** `62 visits in 21 floods, 2031-03-02 to 2032-11-14` */
function evidenceText({ trust: { evidence } }: GaugeChart, timeZone: string): string {
  if (evidence.visits === 0) return 'No visit meets a reading of this gauge.';
  const span = `${day(evidence.firstVisitMs, timeZone)} to ${day(evidence.lastVisitMs, timeZone)}`;
  return `${counted(evidence.visits, 'visit')} in ${counted(evidence.floods, 'flood')}, ${span}.`;
}

/** What whoever keeps the log should look at before the chart is relied on; empty where there is nothing. */
function toCheck({ notUsed }: CreekChart, trust: CreekTrust | undefined): string {
  const judged = (trust?.runs ?? []).flatMap(({ name, gauges }) => gauges.slice(0, 1).map((by) => ({ name, ...by })));
  const suspects = new Set(judged.flatMap(({ suspects: { rows: found } }) => found.map(({ visit }) => visit)));
  const moved = judged.filter(({ shift }) => shift.found).map(({ name }) => name);
  const rowsOut = notUsed.reduce((sum, row) => sum + row.rows, 0);
  const parts = [
    ...(suspects.size === 0
      ? []
      : [`${counted(suspects.size, 'visit')} that ${suspects.size === 1 ? 'looks' : 'look'} wrong`]),
    ...(moved.length === 0 ? [] : [`a lasting change at ${listed(moved)}`]),
    ...(rowsOut === 0 ? [] : [`${counted(rowsOut, 'row')} left out (not-used.csv says why)`]),
  ];
  return parts.length === 0 ? '' : `To check: ${listed(parts)}.`;
}

function quickly(trust: CreekTrust | undefined): string {
  return trust === undefined || quickNote(trust) === undefined ? '' : 'Judged quickly (see trust).';
}

/** Where the numbers come from, one line a thing: what every output repeats so that it can be made again. */
export function provenanceItems({ provenance, notUsed }: CreekChart): readonly string[] {
  const options = Object.entries(provenance.options)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, value]) => `${name} ${String(value)}`);
  return [
    [`${provenance.tool} ${provenance.version}`, `seed ${provenance.seed}`, ...options].join(', '),
    ...provenance.files.map((file) => `${file.name}: ${file.bytes} bytes, SHA-256 ${file.sha256}`),
    ...provenance.approval.map(
      (row) =>
        `readings of ${row.gauge}: ${row.approved} approved, ${row.provisional} provisional, ${row.unknown} without a state`,
    ),
    ...notUsed.map(({ code, rows: out }) => `not used: ${counted(out, 'row')} ${code}`),
  ];
}
