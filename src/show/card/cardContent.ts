import { groupDigits } from '../../chart/figures/valueText.js';
import type { CreekGauges, RunGauges } from '../../chart/gauges/types.js';
import type { CreekChart, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { sentence } from '../page/sentence.js';
import { plainStrings } from '../text/plainText.js';
import { staffRows, type StaffRow } from '../text/staffRows.js';
import { dayText, evidenceText, otherText, plural } from '../text/trustTexts.js';
import { usableGauges, type UsableGauge } from './usableGauges.js';

/** One row of the staff, highest water first. */
export interface CardLine {
  readonly kind: StaffRow['kind'];
  readonly label: string;
  /** Classes whose looks the piece of staff shows, upper one first; none for what nobody has seen. */
  readonly blocks: readonly number[];
  /** One text a unit: `strong` is the edge itself. */
  readonly cells: readonly { readonly strong: string; readonly rest: string }[];
}

/** Everything that one printed card says: one run read from one gauge. All texts are plain and clean. */
export interface Card {
  readonly creek: string;
  readonly run: string;
  readonly gauge: string;
  readonly grade: string;
  /** Of 3. */
  readonly steps: number;
  readonly howToRead: string;
  /** Said under it: how a derived gauge is made up, the lead, and a fit that did not converge. */
  readonly remarks: readonly string[];
  readonly classes: number;
  readonly units: readonly string[];
  readonly lines: readonly CardLine[];
  readonly key: string;
  /** The other way of reading, where it differs: a sentence, its edges, and what it loses. */
  readonly simple: readonly string[];
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
  /** What it was made from: version, seed, fingerprints of the folder's files. */
  readonly made: string;
}

const STEPS: Readonly<Record<string, number>> = { 'good guide': 3, 'fair guide': 2, 'rough guide': 1 };

/**
 * The cards of a chart: one for each run and usable gauge (a rough guide or better), runs in their order, best gauge first.
 * @param gauges which gauge to read, as gauges.json holds it; with it a card says whether another one was chosen.
 * @returns no card where no gauge is usable: a card in a pocket must not look like an answer.
 * @example cardsOf(chart).map((card) => card.howToRead)
 */
export function cardsOf(chart: CreekChart, gauges?: CreekGauges): readonly Card[] {
  const clean = plainStrings(chart);
  const told = gauges === undefined ? undefined : plainStrings(gauges);
  return clean.runs.flatMap((run) => {
    const compared = told?.runs.find(({ id }) => id === run.id);
    return usableGauges(run).map((usable) => cardOf(clean, { run, usable, compared }));
  });
}

function cardOf(
  chart: CreekChart,
  { run, usable: { gauge, level }, compared }: { run: RunChart; usable: UsableGauge; compared: RunGauges | undefined },
): Card {
  const { units, rows } = staffRows(run, gauge, { level, units: 'both' });
  return Object.freeze({
    creek: chart.creek.name,
    run: run.name,
    gauge: gauge.gauge.name,
    grade: gauge.trust.grade,
    steps: STEPS[gauge.trust.grade] ?? 0,
    howToRead: withoutRecipe(level, gauge),
    remarks: [
      ...(gauge.gauge.madeOf === undefined ? [] : [gauge.gauge.madeOf]),
      ...(level.leadHours > 0 ? [`For deciding ${plural(level.leadHours, 'hour')} before being on the water.`] : []),
      ...(level.status === 'converged' ? [] : [level.statusSentence]),
    ],
    classes: run.classes.length,
    units,
    lines: linesOf(rows, run.classes.length),
    key:
      'Bold: the edge, as likely one level as the other, rounded to the safer side; in brackets its 80 % interval. ' +
      'Sure: odds of at least 80 %.' +
      (rows.some((row) => !row.seenBothSides) ? ' *: assumed, no visit stands on one side.' : ''),
    simple: gauge.other === undefined ? [] : [together(otherText(gauge.other))],
    notes: [...notesOf(run, gauge, chart.creek.timeZone), ...chosenNote(gauge, compared)],
    cautions: chart.cautions,
    made: madeFrom(chart),
  });
}

function linesOf(rows: readonly StaffRow[], K: number): readonly CardLine[] {
  // Rows come highest first: the class last passed lies above whatever follows.
  let above = K;
  return rows.map((row) => {
    if (row.kind === 'class') above -= 1;
    return {
      kind: row.kind,
      label: row.label,
      blocks: row.kind === 'not-seen' ? [] : row.kind === 'class' ? [above] : [above, above - 1],
      cells: row.cells.map(({ value, rest }) => ({
        strong: grouped(value),
        rest: together(`${grouped(withoutZeros(rest))}${row.seenBothSides ? '' : ' *'}`),
      })),
    };
  });
}

/** The way of reading alone: the card says once, in a line of its own, what a derived gauge is made of. */
function withoutRecipe({ howToRead }: LevelChart, { gauge: { madeOf } }: Pick<GaugeChart, 'gauge'>): string {
  return madeOf !== undefined && howToRead.endsWith(madeOf) ? howToRead.slice(0, -madeOf.length).trimEnd() : howToRead;
}

/** Evidence with its dates, the reasons of the grade, and what has not been seen. */
function notesOf(run: RunChart, gauge: GaugeChart, timeZone: string): readonly string[] {
  const { trust } = gauge;
  const never = run.classes.filter((_, k) => trust.evidence.classCounts[k] === 0);
  return [
    sentence(evidenceText(gauge, timeZone)),
    ...trust.reasons.slice(0, 3).map((reason) => together(sentence(reason))),
    ...(never.length === 0 ? [] : [`No visit was logged as ${never.join(', ')}.`]),
    `Last visit ${dayText(trust.evidence.lastVisitMs, timeZone)}: what floods, wood or works have changed since is not in here.`,
  ];
}

/** Whether this is the gauge to read among those compared; a card in a pocket is read without the others beside it. */
function chosenNote({ gauge }: GaugeChart, run: RunGauges | undefined): readonly string[] {
  if (run === undefined || run.ranking === null) return [];
  const { id, name } = run.ranking.choice;
  const compared = 'Compared on the same floods';
  if (id === null || name === null) return [`${compared}, none of the gauges is to be relied on.`];
  if (id === gauge.id) return [`${compared}, this is the gauge to read.`];
  const caution = run.chosenCaution ?? run.combined?.caution;
  const forUse = run.chosenCaution === null && run.combined?.aloneUsable !== false;
  const choice = forUse ? `the one to read is ${name}: see the chart.` : `the choice is ${name}.`;
  return [[`${compared}, ${choice}`, caution].filter((text) => text !== undefined).join(' ')];
}

function madeFrom({ provenance }: CreekChart): string {
  const files = provenance.files
    .filter(({ name }) => name === 'creek.json' || name === 'visits.csv')
    .map(({ name, sha256 }) => `${name} ${sha256.slice(0, 8)}`);
  return [`${provenance.tool} ${provenance.version}, seed ${provenance.seed}`, ...files].join('; ');
}

/** A number and what belongs to it do not part at the end of a line, nor do the two ends of a range. */
function together(text: string): string {
  return text
    .replace(/(\d) (%|m³\/s|ft³\/s|L\/s|cm|ft|m)(?![\p{L}\d])/gu, '$1\u00a0$2')
    .replace(/(\d) to (?=\d)/g, '$1\u00a0to\u00a0')
    .replace(/(\S) \*/g, '$1\u00a0*');
}

/** Thousands apart in every number of a cell. */
function grouped(text: string): string {
  return text.replace(/\d+(\.\d+)?/g, (number) => groupDigits(number));
}

/** Two ends of one range may be rounded to different steps: the zeros after the point of the coarser one say nothing. */
function withoutZeros(text: string): string {
  return text.replace(/(\d)\.0+(?!\d)/g, '$1');
}
