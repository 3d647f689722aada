import type { CreekTrust, Judgement } from '../judge/judgement.js';
import { counted, fixed, figures, listed, MONTHS, shareWithI80 } from '../series/format.js';
import { heading, list, rows, says, type Block, type Document } from './document.js';
import { suspectItems } from './keeperDocument.js';
import type { AnyTable } from './table.js';
import * as tables from './tables/trustTables.js';

/** Everything behind the grades of a creek, for whoever wants to check them: for each run and gauge what it comes to, then every table. */
export function trustDocument(trust: CreekTrust): Document {
  return {
    kind: 'document',
    subject: 'trust',
    title: `How far to trust the chart of ${trust.creek.name}`,
    cautions: trust.cautions,
    body: [
      ...says(quickNote(trust), 'note'),
      ...trust.runs.flatMap(({ id, name, gauges }) => [
        heading(2, name, id),
        ...(gauges.length === 0 ? says('No gauge could be read for this run.', 'refusal') : []),
        ...(gauges.length > 1 ? rows(tables.comparedTable(gauges)) : []),
        ...gauges.flatMap((judgement) => judgementBlocks(judgement, trust.creek.timeZone)),
      ]),
    ],
  };
}

/** One run against one gauge. */
export function judgementBlocks(by: Judgement, timeZone: string): readonly Block[] {
  const { scores, observers, shift, evidence, leadCurve, influence, sensitivity } = by;
  const part = (made: AnyTable, ...notes: readonly (string | null | undefined)[]): readonly Block[] => {
    const body = [...notes.flatMap((note) => says(note)), ...rows({ ...made, caption: '' })];
    return body.length === 0 ? [] : [heading(4, made.caption), ...body];
  };
  const said = (title: string, items: readonly string[]) =>
    items.length === 0 ? [] : [heading(4, title), ...list(items)];
  return [
    heading(3, `${by.gaugeName}: ${by.grade}${wayText(by)}`),
    ...list(shortTrust(by)),
    ...part(tables.checksTable(by)),
    ...list(by.checks.filter(({ pass }) => !pass).map(({ check, comment }) => `${check}: ${comment}.`)),
    ...part(
      withoutMonths(tables.evidenceTable(by)),
      `Visits by month: ${evidence.monthCounts.map((n, m) => `${MONTHS[m]!.slice(0, 3)} ${n}`).join(', ')}.`,
      ...evidence.missing,
    ),
    ...part(tables.skillTable(by), scores?.floodRule, scores?.methodSentence, gainWords(scores)),
    ...part(tables.scoresTable(by)),
    ...part(tables.reliabilityTable(by), scores?.reliability.sentence),
    ...part(tables.ratesTable(by)),
    ...part(tables.confusionSquare(by)),
    ...part(tables.ruleCostsTable(by)),
    ...part(thinned(tables.rulesTable(by), FRONTIER_ROWS)),
    ...part(tables.leadCurveTable(by), leadCurve?.sentence),
    ...part(tables.biasTable(by), ...observers.rows.map(({ sentence }) => sentence)),
    ...part(tables.agreementTable(by)),
    ...part(tables.withoutTable(by)),
    ...said('Did it move', [shift.sentence, ...shiftItems(by)]),
    ...said('Visits that look wrong', suspectItems(by, timeZone)),
    ...part(tables.nextLooksTable(by)),
    ...part(tables.influenceTable(by), ...(influence?.rows.map(({ sentence }) => sentence) ?? [])),
    ...part(tables.sensitivityTable(by), sensitivity?.sentence),
    ...part(tables.floodsTable(by)),
  ];
}

/** Rules of the frontier that are shown; all of them stand in trust.json. */
const FRONTIER_ROWS = 12;

function wayText({ way, leadHours }: Judgement): string {
  const when = leadHours === 0 ? '' : `, decided ${counted(leadHours, 'hour')} before`;
  return way === null ? '' : ` (by ${way === 'effective' ? 'the effective reading' : 'one reading'}${when})`;
}

/** Reasons that are shown at most; the rest stand in trust.json. */
const MOST_REASONS = 3;

/** How far to trust one gauge, in what a paddler reads in a minute. */
export function shortTrust({ grade, reasons, scores, rules, leadCurve, improve }: Judgement): readonly string[] {
  // A range by a gauge that tells nothing would be a level after all.
  const range = grade === 'no usable relation' ? null : rules;
  return [
    ...reasons.slice(0, MOST_REASONS),
    ...[scores, range, leadCurve].flatMap((part) => part?.sentence ?? []),
    ...improve,
  ];
}

/** Said once where the whole creek was judged quickly; undefined where it was not. */
export function quickNote({ depth }: CreekTrust): string | undefined {
  return depth === 'quick'
    ? "Judged quickly: without --quick, floods that weights can't answer for are left out by fits of their own."
    : undefined;
}

function gainWords(scores: Judgement['scores']): string {
  const gain = scores?.gain ?? null;
  return gain === null
    ? ''
    : `The effective reading takes away ${shareWithI80(gain)} more of the guesswork than one reading.`;
}

function shiftItems({ shift }: Judgement): readonly string[] {
  if (shift.status === 'too-few') return [];
  const edges = (label: string, found: Judgement['shift']['before']) =>
    found === null ? [] : [`${label}: ${listed(found.map((e) => `${e.between.join(' / ')} ${figures(e.median)}`))}.`];
  return [
    `Pettitt's rank test of the floods' mean residuals: p ${fixed(shift.pettittP, 3)}.`,
    ...edges('Edges before', shift.before),
    ...edges('Edges after', shift.after),
  ];
}

/** Months stand in one line above the table. */
function withoutMonths(made: ReturnType<typeof tables.evidenceTable>): AnyTable {
  return { ...made, rows: made.rows.filter(({ measure }) => measure !== 'month') };
}

/** At most so many rows, evenly; both ends stay. */
export function thinned<T extends AnyTable>(made: T, most: number): T {
  const n = made.rows.length;
  if (n <= most) return made;
  return { ...made, rows: Array.from({ length: most }, (_, i) => made.rows[Math.round((i * (n - 1)) / (most - 1))]) };
}
