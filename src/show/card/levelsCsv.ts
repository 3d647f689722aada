import type { CreekChart, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { VERDICT } from '../../series/visits.js';
import { seenTexts, unitColumns, type UnitColumn } from '../text/inUnits.js';
import { csvTable, type CsvValue } from '../text/csvTable.js';
import { dayText } from '../text/trustTexts.js';
import { usableGauges } from './usableGauges.js';

const HEADINGS = [
  'Run',
  'Gauge',
  'Grade',
  'Way of reading',
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
 * The levels of every usable gauge as a sheet for people: one row a level, way of reading and unit, numbers as they are on
 * the card (edges rounded to the safer side), days as yyyy-mm-dd, and the cautions below. Starts with a byte order mark and
 * ends lines with CR LF, so that a spreadsheet opens it as UTF-8 by a double click; cells from outside can't act as formulas.
 * @param options.decimal which decimal mark the spreadsheet expects. Default 'point'.
 */
export function levelsCsv(chart: CreekChart, { decimal = 'point' }: { decimal?: Decimal } = {}): string {
  const rows = chart.runs.flatMap((run) =>
    usableGauges(run).flatMap(({ gauge, level }) =>
      unitColumns(gauge.gauge, 'both').flatMap((column) =>
        levelRows(run, gauge, { level, column, timeZone: chart.creek.timeZone }),
      ),
    ),
  );
  const cautions = chart.cautions.map((text): CsvValue[] => ['Caution', text]);
  const text = csvTable(HEADINGS, [...rows, ...cautions], { decimal });
  return `\ufeff${text.replaceAll('\n', '\r\n')}`;
}

function levelRows(
  run: RunChart,
  { gauge, trust }: GaugeChart,
  { level, column, timeZone }: { level: LevelChart; column: UnitColumn; timeZone: string },
): CsvValue[][] {
  const edges = level.edges.filter(({ feature }) => feature === VERDICT);
  const own = column.unit === column.own;
  const edge = (k: number) => (own ? edges[k]?.rounded : edges[k]?.roundedOther);
  const seen = seenTexts(level, column);
  return run.classes.map((word, k) => {
    const sure = level.sureRanges.find((range) => range.class === word);
    return [
      run.name,
      gauge.name,
      trust.grade,
      level.way,
      level.howToRead,
      word,
      column.label,
      edge(k - 1),
      edge(k),
      own ? sure?.roundedFrom : sure?.roundedFromOther,
      own ? sure?.roundedTo : sure?.roundedToOther,
      Number(seen.from),
      Number(seen.to),
      dayText(trust.evidence.firstVisitMs, timeZone),
      dayText(trust.evidence.lastVisitMs, timeZone),
    ];
  });
}
