import type {
  CombinedReading,
  CreekGauges,
  LagReport,
  LoggerReport,
  RunGauges,
  StaffReport,
} from '../../chart/gauges/types.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { GaugeRanking, RankedGauge } from '../../judge/gauges/types.js';
import { unitLabel } from '../../series/units.js';
import { combinedColumns, meanSeen } from '../text/gaugeTexts.js';
import { edgeTexts } from '../text/inUnits.js';
import { estimateText } from './estimateText.js';
import { cautionTable } from './judgementTables.js';
import { table, type Cell, type Table } from './table.js';

/** Gauges to read before going, gauges that only confirm, gauges that stand aside, the choice, the cautions. */
export function rankingTables(ranking: GaugeRanking): readonly Table[] {
  return [...rankedTables(ranking, `Run ${ranking.run}`), cautionTable(ranking.cautions)];
}

function rankedTables(
  { warning, confirming, aside, choice, visits, floods, leadHours }: GaugeRanking,
  name: string,
  chosenCaution: string | null = null,
): readonly Table[] {
  const when = leadHours === 0 ? 'at the moment of going' : `${leadHours} h before going`;
  return [
    table(
      `${name}: gauges read ${when}, best first, over ${visits} visits and ${floods} floods that all share. ${choice.sentence}${chosenCaution === null ? '' : ` ${chosenCaution}`}`,
      rankedRows(warning),
      { digits: SKILL_DIGITS },
    ),
    ...(confirming.length === 0
      ? []
      : [table(`${name}: gauges that only confirm afterwards`, rankedRows(confirming), { digits: SKILL_DIGITS })]),
    ...(aside.length === 0
      ? []
      : [
          table(
            `${name}: gauges that stand aside`,
            aside.map(({ name, reason }) => ({ gauge: name, reason })),
          ),
        ]),
  ];
}

const SKILL_DIGITS = { skill: 2, 'low 80 %': 2, 'high 80 %': 2 };

/** Where there is one alone, it is the best of its list and nothing is said by that. */
function rankedRows(rows: readonly RankedGauge[]) {
  return rows.map((row) => rankedRow(row, { others: rows.length > 1 }));
}

function rankedRow(
  { name, kind, skill, best, lagHours, storageHours, reason, parts }: RankedGauge,
  { others }: { others: boolean },
) {
  const [low, high] = skill.againstFrequencies.i80;
  const half = (hours: number): Cell => (parts.length > 0 ? null : Math.round(2 * hours) / 2 + 0);
  return {
    gauge: name,
    kind,
    skill: skill.againstFrequencies.value,
    'low 80 %': low,
    'high 80 %': high,
    ...(others && { 'best, %': Math.round(100 * best) }),
    'lag, h': half(lagHours),
    'storage, h': half(storageHours),
    reason,
  };
}

/** Which gauge to read for each run and what else is known of it: what gauges.json holds. */
export function creekGaugesTables({ runs, cautions }: CreekGauges): readonly Table[] {
  return [...runs.flatMap(runTables), cautionTable(cautions)];
}

function runTables({
  name,
  ranking,
  noRanking,
  chosenCaution,
  combined,
  loggers,
  lags,
  staffs,
}: RunGauges): readonly Table[] {
  return [
    ...(ranking === null
      ? [table(`${name}: which gauge`, [{ 'no ranking': noRanking ?? '' }])]
      : rankedTables(ranking, name, chosenCaution)),
    ...(combined === null ? [] : [combinedTable(name, combined)]),
    ...loggers.map(loggerTable),
    ...lagTable(name, lags),
    ...staffs.map(staffTable),
  ];
}

/** Edges as on the chart: rounded to the safer side, a star where no visit stands on one side. */
function combinedTable(run: string, combined: CombinedReading): Table {
  const { name, unit, howToRead, caution, edges } = combined;
  const columns = combinedColumns(unit, 'both');
  const assumed = edges.some(({ seenBothSides }) => !seenBothSides);
  return table(
    `${run}: ${name}, ${unitLabel(unit)}. ${howToRead} ${meanSeen(combined)} ${caution}${assumed ? ' (* no visit on one side: an assumption)' : ''}`,
    edges.map((edge) => ({
      edge: edge.between.join(' / '),
      ...Object.fromEntries(
        columns.map((column) => {
          const { value, interval80 } = edgeTexts(edge, column);
          return [`${column.label} (80 %)`, `${value}${edge.seenBothSides ? '' : ' *'} (${interval80})`];
        }),
      ),
    })),
  );
}

function loggerTable({ name, gauges }: LoggerReport): Table {
  return table(
    `Logger: ${name}`,
    gauges.map(({ gaugeName, lag, storage, explained, floods, sentence, withVisits }) => ({
      gauge: gaugeName,
      'lag, h (80 %)': lag === null ? '' : estimateText(lag, { digits: 1 }),
      'storage, h (80 %)': storage === null ? '' : estimateText(storage, { digits: 1 }),
      'explained, %': explained === null ? null : Math.round(100 * explained),
      floods,
      'in words': [sentence, withVisits?.sentence ?? ''].filter((text) => text !== '').join(' '),
    })),
  );
}

/** Only gauges of which something can be said. */
function lagTable(run: string, lags: readonly LagReport[]): readonly Table[] {
  const rows = lags
    .filter(({ travel, flow }) => travel !== null || flow !== null)
    .map(({ gaugeName, travel, flow }) => ({
      gauge: gaugeName,
      'by the distance': travel?.sentence ?? '',
      'as the flow grows': flow?.sentence ?? '',
    }));
  const said = (['gauge', 'by the distance', 'as the flow grows'] as const).filter((key) =>
    rows.some((row) => row[key] !== ''),
  );
  return rows.length === 0 ? [] : [table(`${run}: the lag in depth`, rows, { columns: said })];
}

function staffTable({ name, unit, classes, sentence }: StaffReport): Table {
  return table(
    `Staff: ${name}, ${unitLabel(unit)}. ${sentence}`,
    classes.map(({ word, readings, median }) => ({
      'run was': word,
      readings: readings.length,
      lowest: readings.length === 0 ? null : Math.min(...readings),
      median,
      highest: readings.length === 0 ? null : Math.max(...readings),
    })),
  );
}

/** One row a quantity, the glance of a logger's fit. */
export function loggerFitTable(fit: LoggerFit): Table {
  const found = fit.status === 'converged';
  const { rating } = fit;
  const rows: readonly (readonly [string, Cell])[] = [
    ['status', fit.statusSentence],
    ['hours, floods', `${fit.rows}, ${fit.floods}`],
    ...(found
      ? ([
          ['hours that count for themselves', Math.round(fit.effectiveRows)],
          ['lag, h (80 %)', estimateText(fit.lag)],
          ['storage, h (80 %)', estimateText(fit.storage)],
          [
            'curve',
            rating.form === 'line' ? 'straight line in ln' : `power law, exponent ${rating.exponent.toFixed(1)}`,
          ],
          ['explained, %', Math.round(100 * fit.explained)],
          [`levels around the curve, sd, ${unitLabel(fit.unit)}`, Number(fit.residualSd.toPrecision(2))],
        ] as const)
      : []),
  ];
  return table(
    `Logger ${fit.logger} explained by ${fit.gaugeName}`,
    rows.map(([quantity, value]) => ({ quantity, value })),
  );
}
