import pc from 'picocolors';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, CreekTrust, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { featureName } from './featureName.js';
import { gaugesLines } from './gaugesLines.js';
import { gaugesBestFirst, isUsable } from './gaugesBestFirst.js';
import type { UnitsChoice } from './inUnits.js';
import { plainStrings } from './plainText.js';
import { quickNote } from './shortTrust.js';
import { staffRows, type StaffRow } from './staffRows.js';
import { gaugesTable } from './gaugesTable.js';
import { judgementOf } from './judgementOf.js';
import { keeperNotes } from './keeperNotes.js';
import { trustLines } from './trustLines.js';
import { evidenceText, otherText, plural, TOO_THIN } from './trustTexts.js';
import { padText, textWidth, wrapText } from './wrapText.js';

export interface TableOptions {
  /** Bold and dim by escape codes; leave it off when the text does not go to a terminal. */
  readonly colour?: boolean;
  /** Columns of the terminal; kept between 60 and 100. */
  readonly width?: number;
  readonly units?: UnitsChoice;
  /** How far to trust the chart; without, the short summary of the chart itself is shown. */
  readonly trust?: CreekTrust | undefined;
  /** Which gauge to read, and what loggers tell; without, the judged gauges stand beside each other. */
  readonly gauges?: CreekGauges | undefined;
}

interface Pen {
  readonly width: number;
  readonly units: UnitsChoice;
  readonly timeZone: string;
  readonly trust: CreekTrust | undefined;
  readonly gauges: CreekGauges | undefined;
  bold(text: string): string;
  dim(text: string): string;
}

const LEGEND =
  'A line between two classes is their edge: the gauge value where both are equally likely, rounded to the safer side, ' +
  'with its 80 % interval in brackets. "sure": the class has odds of at least 80 %. "*": no visit stands on one side, so ' +
  'the number is an assumption, not an observation.';

/**
 * The level chart of a creek as text for a terminal: for each run its gauges, best first, each with its grade and reasons,
 * how to read it, and the classes as a staff with the highest water on top; where the chart was judged, how far to trust it and what its keeper should look at;
 * where its gauges were ranked, which to read. Ends with the cautions.
 * @param options colour (default false), width (default 80), units (default both), trust (default none), gauges (default none)
 * @example console.log(chartTable(chart, { units: 'metric' }))
 */
export function chartTable(
  chart: CreekChart,
  { colour = false, width = 80, units = 'both', trust, gauges }: TableOptions = {},
): string {
  const clean = plainStrings(chart);
  const ink = pc.createColors(colour);
  const pen: Pen = {
    width: Math.min(100, Math.max(60, Math.floor(width) || 80)),
    units,
    timeZone: clean.creek.timeZone,
    trust: trust === undefined ? undefined : plainStrings(trust),
    gauges: gauges === undefined ? undefined : plainStrings(gauges),
    bold: ink.bold,
    dim: ink.dim,
  };
  const lines = [
    ...bold(pen, wrapText(clean.creek.name, { width: pen.width })),
    ...dim(pen, wrapText(LEGEND, { width: pen.width })),
    ...clean.runs.flatMap((run) => ['', ...runLines(run, pen)]),
    ...quickLines(pen),
    ...keeperLines(pen),
    ...notUsedLines(clean, pen),
    '',
    pen.bold('Before anyone goes'),
    ...clean.cautions.flatMap((caution) => wrapText(caution, { width: pen.width, first: '  ! ' })),
  ];
  return `${lines.join('\n')}\n`;
}

function runLines(run: RunChart, pen: Pen): string[] {
  const rule = '═'.repeat(Math.max(3, pen.width - textWidth(run.name) - 4));
  return [
    pen.bold(`══ ${run.name} ${rule}`.slice(0, pen.width)),
    ...wrapText(run.classes.join(' < '), { width: pen.width, first: '   ' }),
    ...(run.verdictFrom === undefined
      ? []
      : wrapText(`Nobody gives verdicts here: the classes are translated from ${featureName(run, run.verdictFrom)}.`, {
          width: pen.width,
          first: '   ',
        })),
    ...(run.gauges.length === 0 ? ['', '   No gauge could be read for this run.'] : []),
    ...gaugesBestFirst(run).flatMap((gauge, i) => ['', ...gaugeLines(run, gauge, i + 1, pen)]),
    ...whichLines(run, pen),
  ];
}

function gaugeLines(run: RunChart, gauge: GaugeChart, place: number, pen: Pen): string[] {
  const { trust } = gauge;
  const away = gauge.gauge.distanceKm === undefined ? '' : `, ${gauge.gauge.distanceKm} km away`;
  const title = `${place}. ${gauge.gauge.name} (${gauge.gauge.parameter}${away}): ${trust.grade}`;
  const judgement = judgementOf(pen.trust, run.id, gauge.gauge.id);
  // Without a relation there is no lag either, whatever the best fit says.
  const lag = trust.grade === 'no usable relation' ? [] : [gauge.lag.sentence];
  const evidence = evidenceText(gauge, pen.timeZone);
  const why =
    judgement === undefined
      ? [
          `   Why ${trust.grade}:`,
          ...[...trust.reasons, evidence, ...lag].flatMap((text) =>
            wrapText(text, { width: pen.width, first: '   - ' }),
          ),
        ]
      : [
          ...lag.flatMap((text) => wrapText(text, { width: pen.width, first: '   ' })),
          ...trustLines(judgement, { width: pen.width, evidence }),
        ];
  return [...bold(pen, wrapText(title, { width: pen.width, rest: '   ' })), ...readingLines(run, gauge, pen), ...why];
}

/** Which gauge to read, with loggers and lags; the judged gauges beside each other where they were not ranked: two lists with two skills would only puzzle. */
function whichLines(run: RunChart, pen: Pen): string[] {
  const own = pen.gauges?.runs.find(({ id }) => id === run.id);
  // Without a relation there is no lag to doubt either.
  const related = (id: string) =>
    run.gauges.some(({ gauge, trust }) => gauge.id === id && trust.grade !== 'no usable relation');
  const shown = own === undefined ? undefined : { ...own, lags: own.lags.filter(({ gauge }) => related(gauge)) };
  const lines = shown === undefined ? [] : gaugesLines(shown, { width: pen.width, indent: '   ', units: pen.units });
  return [
    ...(own === undefined || own.ranking === null ? comparedLines(run, pen) : []),
    ...(lines.length === 0 ? [] : ['', ...lines]),
  ];
}

/** The gauges of a run beside each other, a line each; one alone needs no table. */
function comparedLines(run: RunChart, pen: Pen): string[] {
  const gauges = pen.trust?.runs.find(({ id }) => id === run.id)?.gauges ?? [];
  return gauges.length < 2 ? [] : ['', ...gaugesTable(gauges, { width: pen.width, indent: '   ' })];
}

function quickLines({ trust, width }: Pen): string[] {
  const note = trust === undefined ? undefined : quickNote(trust);
  return note === undefined ? [] : ['', ...wrapText(note, { width })];
}

/** What is for the keeper of the log, not for who wants to paddle. */
function keeperLines(pen: Pen): string[] {
  const notes = pen.trust === undefined ? [] : keeperNotes(pen.trust);
  if (notes.length === 0) return [];
  return [
    '',
    pen.bold('For whoever keeps the log'),
    ...notes.flatMap(({ runName, gaugeName, parts }) => [
      ...wrapText(`${runName} by ${gaugeName}`, { width: pen.width, first: '  ' }),
      ...parts.flatMap(({ label, notes: [first = '', ...rest] }) => [
        ...wrapText(`${label}: ${first}`, { width: pen.width, first: '  - ' }),
        ...rest.flatMap((note) => wrapText(note, { width: pen.width, first: '      ', rest: '        ' })),
      ]),
    ]),
  ];
}

/** Both ways of reading the gauge, or a plain no where the grade forbids to plan with it. */
function readingLines(run: RunChart, gauge: GaugeChart, pen: Pen): string[] {
  if (gauge.trust.grade === 'no usable relation')
    return wrapText('No levels are given: this gauge does not tell the classes of this run apart.', {
      width: pen.width,
      first: '   ',
    });
  const { level, other } = gauge;
  const warn =
    isUsable(gauge.trust.grade) || level === undefined ? [] : wrapText(TOO_THIN, { width: pen.width, first: '   ' });
  return [
    ...bold(pen, warn),
    ...(level === undefined ? [] : levelLines(run, gauge, level, pen)),
    ...(other === undefined ? [] : ['', ...wrapText(otherText(other), { width: pen.width, first: '   ' })]),
  ];
}

const LABEL_WIDTH = 18;

function levelLines(run: RunChart, gauge: GaugeChart, level: LevelChart, pen: Pen): string[] {
  const { units, rows } = staffRows(run, gauge, { level, units: pen.units });
  const name = level.way === 'effective' ? 'By the effective reading' : 'By one reading';
  const cellWidths = units.map((_, c) => Math.max(24, ...rows.map((row) => textWidth(plainCell(row, c)) + 2)));
  const put = (label: string, cells: readonly string[]) =>
    `     ${padText(label, LABEL_WIDTH)}${cells.map((text, c) => padText(text, cellWidths[c]!)).join('')}`.trimEnd();
  return [
    ...wrapText(`${name}: ${level.howToRead}`, { width: pen.width, first: '   ' }),
    ...(level.status === 'converged' ? [] : wrapText(level.statusSentence, { width: pen.width, first: '   ' })),
    pen.dim(put('', units)),
    ...rows.flatMap((row) => {
      const plain = units.map((_, c) => plainCell(row, c));
      if (row.kind === 'not-seen') return [pen.dim(put(`(${row.label})`, plain))];
      if (row.kind === 'edge')
        return [
          put(
            '─'.repeat(LABEL_WIDTH - 2),
            units.map((_, c) => plainCell(row, c, pen.bold)),
          ),
        ];
      return textWidth(row.label) < LABEL_WIDTH ? [put(row.label, plain)] : [put(row.label, []), put('', plain)];
    }),
  ];
}

function plainCell(row: StaffRow, c: number, mark: (text: string) => string = (text) => text): string {
  const { value, rest } = row.cells[c]!;
  return value === '' ? rest : `${mark(value)}  ${rest}${row.seenBothSides ? '' : ' *'}`;
}

function notUsedLines(chart: CreekChart, pen: Pen): string[] {
  if (chart.notUsed.length === 0) return [];
  const counts = chart.notUsed.map(({ code, rows }) => `${plural(rows, 'row')} ${code}`).join(', ');
  return ['', ...wrapText(`Not used: ${counts}. Each row with its reason: not-used.csv.`, { width: pen.width })];
}

/** Escape codes go on whole lines after wrapping, so that they are never counted or cut. */
function bold(pen: Pen, lines: readonly string[]): string[] {
  return lines.map((line) => pen.bold(line));
}

function dim(pen: Pen, lines: readonly string[]): string[] {
  return lines.map((line) => pen.dim(line));
}
