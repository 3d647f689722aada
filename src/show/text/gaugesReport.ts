import pc from 'picocolors';
import type { CreekGauges, LoggerReport, RunGauges, StaffRating, StaffReport } from '../../chart/gauges/types.js';
import type { GaugeRanking } from '../../judge/gauges/types.js';
import { plain } from '../../judge/numbers.js';
import { unitLabel } from '../../series/units.js';
import {
  breakWords,
  combinedColumns,
  meanSeen,
  hoursText,
  hundredths,
  loggerDates,
  peakCorrelation,
  shareText,
} from './gaugeTexts.js';
import { edgeTexts, intervalText, type UnitsChoice } from './inUnits.js';
import { plainStrings } from './plainText.js';
import { plainTable } from './plainTable.js';
import { rankingTable } from './rankingTable.js';
import { tidyCellText } from './tidyText.js';
import { plural } from './trustTexts.js';
import { wrapText } from './wrapText.js';

export interface GaugesReportOptions {
  /** Bold by escape codes; default false. */
  readonly colour?: boolean;
  /** Columns of the terminal; kept between 60 and 120. Default 80. */
  readonly width?: number;
  /** Units of a combined gauge's edges; default both. */
  readonly units?: UnitsChoice;
}

interface Pen {
  readonly width: number;
  readonly units: UnitsChoice;
  readonly timeZone: string;
  bold(text: string): string;
}

const INDENT = '   ';
const INNER = '     ';
/** Rows of a staff's curve that are printed, between the lowest and the highest flow that a visit has read it at; the whole one stands in gauges.json. */
const CURVE_ROWS = 6;

/**
 * Everything of gauges.json as text for a terminal: for each run all candidates with their reasons, a combined gauge's edges, the loggers, the lags, the staffs. Ends
 * with the cautions. Times are days of the creek's zone; staffs and loggers keep their own unit.
 * @param options colour (default false), width (default 80, kept between 60 and 120), units of a combined gauge's edges (default both)
 * @returns lines; those of a part that has nothing to say are left out.
 * @example console.log(gaugesReport(gauges, { width: 100 }).join('\n'))
 */
export function gaugesReport(
  gauges: CreekGauges,
  { colour = false, width = 80, units = 'both' }: GaugesReportOptions = {},
): readonly string[] {
  const clean = plainStrings(gauges);
  const pen: Pen = {
    width: Math.min(120, Math.max(60, Math.floor(width) || 80)),
    units,
    timeZone: clean.creek.timeZone,
    bold: pc.createColors(colour).bold,
  };
  return [
    ...wrapText(`Gauges, loggers and staffs of ${clean.creek.name}`, { width: pen.width }).map(pen.bold),
    ...clean.runs.flatMap((run) => ['', ...runLines(run, pen)]),
    '',
    pen.bold('Before anyone goes'),
    ...clean.cautions.flatMap((caution) => wrapText(caution, { width: pen.width, first: '  ! ' })),
  ];
}

function runLines(run: RunGauges, pen: Pen): string[] {
  const { ranking, noRanking, chosenCaution } = run;
  return [
    ...wrapText(`══ ${run.name} ══`, { width: pen.width }).map(pen.bold),
    ...section('Which gauge to read', pen, [
      ...(ranking === null
        ? say(noRanking ?? 'There is no gauge to choose from.', pen)
        : rankingTable(ranking, { width: pen.width, indent: INDENT, cautions: false })),
      ...say(chosenCaution ?? '', pen),
    ]),
    ...section('How often one scores better than another', pen, beatsLines(ranking, pen)),
    ...section('How to read the chosen gauge', pen, combinedLines(run, pen)),
    ...run.loggers.flatMap((logger) => section(loggerTitle(logger, pen), pen, loggerLines(logger, pen))),
    ...section('Lag', pen, lagLines(run, pen)),
    ...run.staffs.flatMap((staff) => section(`${staff.name} (${staff.unit})`, pen, staffLines(staff, pen))),
  ];
}

/** A titled part; nothing where it has no line. */
function section(title: string, pen: Pen, lines: readonly string[]): readonly string[] {
  return lines.length === 0
    ? []
    : ['', ...wrapText(title, { width: pen.width, first: INDENT }).map((line) => pen.bold(line)), ...lines];
}

function say(text: string, { width }: Pen, first = INDENT): string[] {
  return text === '' ? [] : wrapText(text, { width, first });
}

function table(
  headings: readonly (string | { readonly right: string })[],
  rows: readonly (readonly string[])[],
  { width }: Pen,
): readonly string[] {
  return plainTable(
    headings.map((h) => (typeof h === 'string' ? { heading: h } : { heading: h.right, right: true })),
    rows,
    { width, indent: INNER },
  );
}

/** Ranks stand for names, so that the table is narrow. */
function beatsLines(ranking: GaugeRanking | null, pen: Pen): readonly string[] {
  if (ranking === null || ranking.warning.length < 2) return [];
  const { warning, beats } = ranking;
  return table(
    ['better', ...warning.map(({ rank }) => ({ right: `than ${rank}.` }))],
    warning.map(({ rank }, a) => [`${rank}.`, ...warning.map((_, b) => (a === b ? '' : shareText(beats[a]![b]!)))]),
    pen,
  );
}

function combinedLines({ combined, ranking }: RunGauges, pen: Pen): readonly string[] {
  if (combined === null) return [];
  const columns = combinedColumns(combined.unit, pen.units);
  const names = new Map((ranking?.warning ?? []).map(({ id, name }) => [id, name]));
  return [
    ...say(combined.howToRead, pen),
    ...say(`${meanSeen(combined, pen.units)} ${combined.caution}`, pen),
    ...table(
      ['edge on the mean', ...columns.map(({ label }) => ({ right: `${label} (80 %)` }))],
      combined.edges.map((edge) => [
        edge.between.join(' / '),
        ...columns.map((column) => {
          const { value, interval80 } = edgeTexts(edge, column);
          return `${value} (${interval80})${edge.seenBothSides ? '' : ' *'}`;
        }),
      ]),
      pen,
    ),
    ...(combined.edges.every(({ seenBothSides }) => seenBothSides)
      ? []
      : say('*: no visit stands on one side; an assumption, not an observation.', pen, INNER)),
    ...table(
      ['part', { right: 'weight' }, { right: 'lag' }, { right: 'storage' }],
      combined.parts.map(({ gauge, weight, lagHours, storageHours }) => [
        names.get(gauge) ?? gauge,
        hundredths(weight),
        `${hoursText(lagHours)} h`,
        `${hoursText(storageHours)} h`,
      ]),
      pen,
    ),
  ];
}

function loggerTitle(logger: LoggerReport, { timeZone }: Pen): string {
  const { name, unit, kmFromPutIn } = logger;
  const where = kmFromPutIn === null ? '' : `, ${plain(kmFromPutIn, 1)} km from the put-in`;
  const dates = loggerDates(logger, timeZone);
  return `${name} (${unitLabel(unit)}${where}${dates === '' ? '' : `, ${dates}`})`;
}

function loggerLines({ gauges, unit, fromMs }: LoggerReport, pen: Pen): readonly string[] {
  if (gauges.length === 0)
    return say(fromMs === null ? 'None of its levels could be read.' : 'There is no gauge to hold it against.', pen);
  return gauges.flatMap(({ gaugeName, sentence, form, residualSd, rows, effectiveRows, ccf, withVisits }) => [
    ...say(`${gaugeName}: ${sentence}`, pen, `${INDENT}- `),
    ...(form === null || residualSd === null || effectiveRows === null
      ? []
      : say(
          `${form === 'power' ? 'A power law with offset' : 'A straight line in ln'}, levels within ${tidyCellText(residualSd)} ${unitLabel(unit)} (sd); ${rows} rows, worth ${Math.round(effectiveRows)} independent ones.`,
          pen,
          INNER,
        )),
    ...(ccf === null ? [] : say(ccfWords(ccf), pen, INNER)),
    ...(withVisits === null ? [] : say(withVisits.sentence, pen, INNER)),
  ]);
}

function ccfWords(ccf: NonNullable<LoggerReport['gauges'][number]['ccf']>): string {
  const peak = peakCorrelation(ccf);
  const how = peak === null ? '' : ` (correlation ${hundredths(peak)})`;
  return `The changes of both agree most at a lag of ${hoursText(ccf.peakLagHours)} h${how}; two unrelated rivers of the same memory stay within ${hundredths(ccf.band)}.`;
}

function lagLines({ lags }: RunGauges, pen: Pen): readonly string[] {
  return lags.flatMap(({ gaugeName, travel, flow }) => {
    const sentences = [travel?.sentence, flow?.sentence].filter((s) => s !== undefined && s !== '');
    return sentences.length === 0 ? [] : say(`${gaugeName}: ${sentences.join(' ')}`, pen, `${INDENT}- `);
  });
}

function staffLines({ classes, gauges, sentence, unit }: StaffReport, pen: Pen): readonly string[] {
  const seen = classes.filter(({ readings }) => readings.length > 0);
  return [
    ...say(sentence, pen),
    ...table(
      ['class', { right: 'visits' }, { right: 'lowest' }, { right: 'median' }, { right: 'highest' }],
      seen.map(({ word, readings, median }) => [
        word,
        String(readings.length),
        tidyCellText(Math.min(...readings)),
        tidyCellText(median),
        tidyCellText(Math.max(...readings)),
      ]),
      pen,
    ),
    ...gauges.flatMap((rating) => ratingLines(rating, unit, pen)),
  ];
}

function ratingLines(rating: StaffRating, unit: string, pen: Pen): readonly string[] {
  const { gaugeName, gaugeValues, median, curve80, reading80, formSentence, noiseSentence, offset, points } = rating;
  const words = [formSentence, breakWords(rating), noiseSentence].filter((text) => text !== undefined).join(' ');
  // The curve goes on where no visit has read the staff; here it ends with them.
  const met = points.map(({ gaugeValue }) => gaugeValue);
  const inside = [...gaugeValues.keys()].filter(
    (v) => gaugeValues[v]! >= Math.min(...met) && gaugeValues[v]! <= Math.max(...met),
  );
  const rows = inside.length <= CURVE_ROWS ? inside : evenly(inside.length, CURVE_ROWS).map((i) => inside[i]!);
  return [
    ...say(`By ${gaugeName}, ${plural(points.length, 'visit')}: ${words}`, pen, `${INDENT}- `),
    ...(offset === null
      ? []
      : say(`${offset.sentence} 95 % sure: below ${tidyCellText(offset.below95)} ${unit}.`, pen, INNER)),
    ...table(
      [{ right: unitLabel(rating.unit) }, { right: unit }, { right: 'curve (80 %)' }, { right: 'one reading (80 %)' }],
      rows.map((v) => [
        tidyCellText(gaugeValues[v]!),
        tidyCellText(median[v]!),
        intervalText(curve80[v]!, tidyCellText),
        intervalText(reading80[v]!, tidyCellText),
      ]),
      pen,
    ),
  ];
}

function evenly(n: number, most: number): readonly number[] {
  return Array.from({ length: most }, (_, i) => Math.round((i * (n - 1)) / (most - 1)));
}
