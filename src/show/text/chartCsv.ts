import type { CreekChart, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { csvTable, type CsvValue } from './csvTable.js';
import { provenanceItems } from '../../tell/answerDocument.js';
import { levelOf } from '../../tell/levelOf.js';

/** Columns of chart.csv, in order. */
const COLUMNS = [
  'creek',
  'run',
  'gauge',
  'gauge_name',
  'grade',
  'reading',
  'lead_hours',
  'how_to_read',
  'kind',
  'feature',
  'class',
  'next_class',
  'unit',
  'median',
  'low80',
  'high80',
  'low95',
  'high95',
  'from',
  'to',
  'rounded',
  'rounded_to',
  'other_unit',
  'rounded_other',
  'rounded_to_other',
  'seen_both_sides',
  'note',
] as const;

type Row = Partial<Record<(typeof COLUMNS)[number], CsvValue>>;

/**
 * The chart as one tidy table. `kind` says what a row is: `edge` (between class and next_class), `sure-range` (of class),
 * `seen` (lowest and highest gauge value of any visit), `no-levels` (a gauge that does not tell the classes apart),
 * `caution` and `provenance` (text in note). Values are in `unit`, unrounded, except those named `rounded`.
 * @example chartCsv(chart).split('\n')[0] // 'creek,run,gauge,…'
 */
export function chartCsv(chart: CreekChart): string {
  const rows: Row[] = [
    ...chart.runs.flatMap((run) => run.gauges.flatMap((gauge) => gaugeRows(run, gauge))),
    ...chart.cautions.map((note) => ({ kind: 'caution', note })),
    ...provenanceItems(chart).map((note) => ({ kind: 'provenance', note })),
  ];
  return csvTable(
    COLUMNS,
    rows.map((row) => COLUMNS.map((column) => (column === 'creek' ? chart.creek.name : row[column]))),
  );
}

function gaugeRows(run: RunChart, gauge: GaugeChart): Row[] {
  const base: Row = { run: run.id, gauge: gauge.gauge.id, gauge_name: gauge.gauge.name, grade: gauge.trust.grade };
  const level = levelOf(gauge);
  // Numbers without a relation behind them look like a chart in a spreadsheet; chart.json keeps them for the curious.
  if (level === undefined) return [{ ...base, kind: 'no-levels', note: gauge.trust.reasons.join(' ') }];
  return levelRows(gauge, level).map((row) => ({ ...base, ...row }));
}

function levelRows({ gauge }: GaugeChart, level: LevelChart): Row[] {
  const base: Row = {
    reading: level.way,
    lead_hours: level.leadHours,
    how_to_read: level.howToRead,
    unit: gauge.unit,
    other_unit: gauge.otherUnit,
  };
  const edges = level.edges.map((edge) => ({
    ...base,
    kind: 'edge',
    feature: edge.feature,
    class: edge.between[0],
    next_class: edge.between[1],
    median: edge.median,
    low80: edge.i80[0],
    high80: edge.i80[1],
    low95: edge.i95[0],
    high95: edge.i95[1],
    rounded: edge.rounded,
    rounded_other: edge.roundedOther,
    seen_both_sides: edge.seenBothSides,
  }));
  const sure = level.sureRanges.map((range) => ({
    ...base,
    kind: 'sure-range',
    feature: 'verdict',
    class: range.class,
    from: range.from,
    to: range.to,
    rounded: range.roundedFrom,
    rounded_to: range.roundedTo,
    rounded_other: range.roundedFromOther,
    rounded_to_other: range.roundedToOther,
    note: range.says,
  }));
  return [...edges, ...sure, { ...base, kind: 'seen', from: level.seen.from, to: level.seen.to }];
}
