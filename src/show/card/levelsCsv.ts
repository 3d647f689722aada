import type { CreekChart, GaugeChart, RunChart } from '../../chart/types.js';
import { goodClasses } from '../../judge/goodClasses.js';
import { isUsableGrade } from '../../judge/grade.js';
import { day, significant } from '../../series/format.js';
import { convertUnit, unitLabel } from '../../series/units.js';
import { answerOf } from '../../tell/answersOf.js';
import type { AnswerReading } from '../../tell/runAnswer.js';
import { csvTable, type CsvValue } from '../text/csvTable.js';

const HEADINGS = [
  'Run',
  'Gauge',
  'Grade',
  'How to read it',
  'Level',
  'Unit',
  'From',
  'To',
  'Sure from',
  'Sure to',
  'Seen from',
  'Seen to',
  'First visit',
  'Last visit',
] as const;

/** How a spreadsheet's own country writes numbers: `point` with commas between cells, `comma` with semicolons. */
export type Decimal = 'point' | 'comma';

/**
 * The levels of every usable gauge as a sheet for people: one row a level and unit, numbers as they are on
 * the card (edges rounded to the safer side), days as yyyy-mm-dd, and the cautions below. Starts with a byte order mark and
 * ends lines with CR LF, so that a spreadsheet opens it as UTF-8 by a double click; cells from outside can't act as formulas.
 * @param options.decimal which decimal mark the spreadsheet expects. Default 'point'.
 */
export function levelsCsv(chart: CreekChart, { decimal = 'point' }: { decimal?: Decimal } = {}): string {
  const rows = chart.runs.flatMap((run) =>
    run.gauges
      .filter((gauge) => isUsableGrade(gauge.trust.grade))
      .flatMap((gauge) => {
        const { reading } = answerOf(run, { gauge });
        return reading === null ? [] : levelRowsOf(gauge, { run, reading, timeZone: chart.creek.timeZone });
      }),
  );
  const cautions = chart.cautions.map((text): CsvValue[] => ['Caution', text]);
  const text = csvTable(HEADINGS, [...rows, ...cautions], { decimal });
  return `\ufeff${text.replaceAll('\n', '\r\n')}`;
}

function levelRowsOf(
  { gauge, trust }: GaugeChart,
  { run, reading, timeZone }: { run: RunChart; reading: AnswerReading; timeZone: string },
): CsvValue[][] {
  const { classes, edges, seen, sureGood } = reading;
  const [low, high] = goodClasses(classes.map(({ word }) => word));
  return [gauge.unit, gauge.otherUnit].flatMap((unit) => {
    const own = unit === gauge.unit;
    const inUnit = (value: number | undefined) =>
      value === undefined || own ? value : significant(convertUnit(value, gauge.unit, unit), 3);
    const edge = (k: number) => (own ? edges[k]?.value : edges[k]?.valueOther);
    return classes.map(({ word }, k) => [
      run.name,
      gauge.name,
      trust.grade,
      reading.instruction,
      word,
      unitLabel(unit),
      edge(k - 1),
      edge(k),
      k === low ? inUnit(sureGood?.[0]) : undefined,
      k === high ? inUnit(sureGood?.[1]) : undefined,
      inUnit(seen[0]),
      inUnit(seen[1]),
      day(trust.evidence.firstVisitMs, timeZone),
      day(trust.evidence.lastVisitMs, timeZone),
    ]);
  });
}
