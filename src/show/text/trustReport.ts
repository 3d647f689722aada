import pc from 'picocolors';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import * as tables from '../frames/trust/index.js';
import type { TidyTable } from '../frames/tidyTable.js';
import { gaugesTable } from './gaugesTable.js';
import { MONTHS } from '../../judge/judgeWords.js';
import { suspectNotes } from './keeperNotes.js';
import { plainStrings } from './plainText.js';
import { quickNote, shortTrust } from './shortTrust.js';
import { plainTable } from './plainTable.js';
import { tidyCellText, tidyText } from './tidyText.js';
import { plural } from './trustTexts.js';
import { wrapText } from './wrapText.js';

export interface ReportOptions {
  /** Bold by escape codes; default false. */
  readonly colour?: boolean;
  /** Columns of the terminal; kept between 60 and 120. */
  readonly width?: number;
}

interface Pen {
  readonly width: number;
  readonly timeZone: string;
  bold(text: string): string;
}

/** Frontier rows that are printed; the whole one stands in trust.json. */
const FRONTIER_ROWS = 12;

/**
 * The whole judgement of a creek as text for a terminal: for each run and gauge the short part, then every table behind it. For the analyst; `chartTable` is for the
 * paddler. Times in tables are UTC. Ends with the cautions.
 * @example console.log(trustReport(trust, { width: 100 }))
 */
export function trustReport(trust: CreekTrust, { colour = false, width = 80 }: ReportOptions = {}): string {
  const clean = plainStrings(trust);
  const pen: Pen = {
    width: Math.min(120, Math.max(60, Math.floor(width) || 80)),
    timeZone: clean.creek.timeZone,
    bold: pc.createColors(colour).bold,
  };
  const quick = quickNote(clean);
  const lines = [
    ...wrapText(`How far to trust the chart of ${clean.creek.name}`, { width: pen.width }).map(pen.bold),
    ...(quick === undefined ? [] : wrapText(quick, { width: pen.width })),
    ...clean.runs.flatMap((run) => [
      '',
      ...wrapText(`══ ${run.name} ══`, { width: pen.width }).map(pen.bold),
      ...(run.gauges.length === 0
        ? ['   No gauge could be read for this run.']
        : gaugesTable(run.gauges, { width: pen.width, indent: '   ' })),
      ...run.gauges.flatMap((judgement) => ['', ...gaugeLines(clean, judgement, pen)]),
    ]),
    '',
    pen.bold('Before anyone goes'),
    ...clean.cautions.flatMap((caution) => wrapText(caution, { width: pen.width, first: '  ! ' })),
  ];
  return `${lines.join('\n')}\n`;
}

function gaugeLines(trust: CreekTrust, judgement: Judgement, pen: Pen): string[] {
  // One relation's tables: the rest of the creek is left out before they are made.
  const one: CreekTrust = {
    ...trust,
    runs: [{ id: judgement.run, name: judgement.runName, gauges: [judgement] }],
  };
  const { scores, shift, observers, evidence } = judgement;
  const way =
    judgement.way === null
      ? 'nothing fitted'
      : `by ${judgement.way === 'effective' ? 'the effective reading' : 'one reading'}`;
  const say = (text: string | undefined) =>
    text === undefined || text === '' ? [] : wrapText(text, { width: pen.width, first: '   ' });
  const table = <Row extends object>(
    title: string,
    made: TidyTable<Row>,
    notes: readonly (string | undefined)[] = [],
  ) =>
    section(
      title,
      { rows: tidyText(made, { without: KEY, width: pen.width, indent: '   ' }), notes: notes.flatMap(say) },
      pen,
    );
  return [
    ...wrapText(`${judgement.gaugeName}: ${judgement.grade} (${way}, ${lead(judgement.leadHours)})`, {
      width: pen.width,
    }).map(pen.bold),
    ...shortTrust(judgement).flatMap(({ label, sentences }) =>
      wrapText(`${label}: ${sentences.join(' ')}`, { width: pen.width, first: '   - ' }),
    ),
    ...section('Checks', { rows: checksText(judgement, pen.width), notes: [] }, pen),
    ...table(
      'Evidence',
      withoutRows(tables.evidenceTable(one), ({ measure }) => measure === 'missing' || measure === 'month'),
      [monthsText(judgement), ...evidence.missing],
    ),
    ...table('Scores on floods left out', tables.skillTable(one), [scores?.floodRule, scores?.methodSentence]),
    ...table('Stated odds against what was seen', tables.reliabilityTable(one), [scores?.reliability.sentence]),
    ...table('Rates', tables.ratesTable(one)),
    ...section(
      'Said (down) against seen (across), verdicts',
      { rows: confusionText(judgement, pen.width), notes: [] },
      pen,
    ),
    ...table('What rules would have cost', tables.ruleCostsTable(one)),
    ...table('Rules worth thinking about', thinned(tables.rulesTable(one), FRONTIER_ROWS)),
    ...table('Deciding early', tables.leadCurveTable(one), [judgement.leadCurve?.sentence]),
    ...table(
      'Observers (ln units of the gauge)',
      tables.biasTable(one),
      observers.rows.map(({ sentence }) => sentence),
    ),
    ...table('Agreement on shared visits', tables.agreementTable(one)),
    ...table('Pairs of observers', tables.pairsTable(one)),
    ...table('Edges without one observer', tables.withoutTable(one)),
    ...section(
      'Did it move',
      { rows: [], notes: [...say(shift.sentence), ...pettittLines(judgement).flatMap(say)] },
      pen,
    ),
    ...section('Visits that look wrong', { rows: [], notes: suspectNotes(judgement, pen.timeZone).flatMap(say) }, pen),
    ...table('Next looks', withoutColumn(tables.nextLooksTable(one))),
    ...table(
      'The visit that moves each edge most',
      tables.influenceTable(one),
      judgement.influence?.rows.map(({ sentence }) => sentence),
    ),
    ...table('Under other assumptions', tables.sensitivityTable(one), [judgement.sensitivity?.sentence]),
    ...table('Floods', tables.floodsTable(one)),
  ];
}

const KEY = ['run', 'gauge', 'grade'];

function lead(hours: number): string {
  return hours === 0 ? 'deciding on the spot' : `deciding ${plural(hours, 'hour')} before`;
}

/** A titled part; nothing where there is neither a row nor a note. */
function section(
  title: string,
  { rows, notes }: { rows: readonly string[]; notes: readonly string[] },
  pen: Pen,
): string[] {
  return rows.length + notes.length === 0 ? [] : ['', `   ${pen.bold(title)}`, ...notes, ...rows];
}

function checksText({ checks }: Judgement, width: number): readonly string[] {
  return plainTable(
    [{ heading: 'check' }, { heading: 'is', right: true }, { heading: 'asked for' }, { heading: '' }],
    checks.map(({ check, statistic, operator, threshold, unit, pass, essential }) => [
      check,
      tidyCellText(statistic),
      `${operator} ${threshold}${unit === '' ? '' : ` ${unit}`}`,
      pass ? 'passed' : essential ? 'FAILED, essential' : 'failed',
    ]),
    { width, indent: '   ' },
  );
}

function monthsText({ evidence }: Judgement): string {
  const months = evidence.monthCounts.map((visits, m) => `${MONTHS[m]!.slice(0, 3)} ${visits}`);
  return `Visits by month: ${months.join(', ')}.`;
}

function confusionText({ scores, classes }: Judgement, width: number): readonly string[] {
  return plainTable(
    [{ heading: '' }, ...classes.map((heading) => ({ heading, right: true }))],
    (scores?.confusion.table ?? []).map((row, said) => [
      classes[said] ?? '',
      ...row.map((n) => String(Number(n.toFixed(1)))),
    ]),
    { width, indent: '   ' },
  );
}

function pettittLines({ shift }: Judgement): string[] {
  if (shift.status === 'too-few') return [];
  const p = shift.pettittP === null ? 'not to be worked out' : `p ${shift.pettittP.toFixed(3)}`;
  const edges = (label: string, list: Judgement['shift']['before']) =>
    list === null
      ? []
      : [
          `${label}: ${list.map(({ between, median }) => `${between.join(' / ')} ${Number(median.toPrecision(3))}`).join(', ')}.`,
        ];
  return [
    `Pettitt's rank test of the floods' mean residuals: ${p}.`,
    ...edges('Edges before', shift.before),
    ...edges('Edges after', shift.after),
  ];
}

function withoutRows<Row extends object>(table: TidyTable<Row>, drop: (row: Row) => boolean): TidyTable<Row> {
  return { ...table, rows: table.rows.filter((row) => !drop(row)) };
}

/** The sentences stand in the short part already, and would make the table as wide as a page. */
function withoutColumn(
  table: TidyTable<tables.TrustKey & tables.LookRow>,
): TidyTable<Omit<tables.LookRow, 'sentence'>> {
  const { feature, from, to, unit, shrinkage } = table.columns;
  return { ...table, columns: { feature, from, to, unit, shrinkage } };
}

/** At most so many rows, evenly; both ends stay. */
function thinned<Row extends object>(table: TidyTable<Row>, most: number): TidyTable<Row> {
  const n = table.rows.length;
  if (n <= most) return table;
  return {
    ...table,
    rows: Array.from({ length: most }, (_, i) => table.rows[Math.round((i * (n - 1)) / (most - 1))]!),
  };
}
