import { estimate } from '../../chart/types.js';
import { figures } from '../../series/format.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, GaugeChart, LevelChart } from '../../chart/types.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { LevelFit } from '../../fit/types.js';
import type { GaugeRanking } from '../../judge/gauges/types.js';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import type { TrustSummary } from '../../judge/types.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { estimateText } from './estimateText.js';
import { creekGaugesTables, loggerFitTable, rankingTables } from './gaugeTables.js';
import { cautionTable, checksOf, creekTrustTables, judgementTables } from './judgementTables.js';
import { table, type Cell, type Table } from './table.js';

/** A data frame of danfojs, known by its shape: this file needs nothing of the library. */
export interface FrameLike {
  readonly columns: readonly string[];
  readonly values: readonly unknown[] | readonly (readonly unknown[])[];
}

/** Results that show themselves. */
export type Tabular =
  | CreekChart
  | GaugeChart
  | LevelChart
  | LevelFit
  | LoggerFit
  | TrustSummary
  | Judgement
  | CreekTrust
  | JudgedLike
  | GaugeRanking
  | CreekGauges
  | TidyLike
  | FrameLike;

/** A JudgedCreek, or a chart and a trust file that were read back. */
export interface JudgedLike {
  readonly kind: 'judged-creek';
  readonly chart: CreekChart;
  readonly trust: CreekTrust;
}

/** A tidy table of `sightstage/frames`, whatever its rows. */
export interface TidyLike {
  readonly kind: 'tidy-table';
  readonly name: string;
  readonly columns: Readonly<Record<string, string>>;
  readonly rows: readonly object[];
}

const KNOWN =
  'a figure, a table, a chart, a fit, a judgement, a ranking of gauges, a trust summary, a data frame or a text';

/**
 * The tables that say what a result says: a chart by run and gauge, a gauge's level charts and trust, a fit at a glance, a
 * judgement by its sentences and checks, gauges by their ranking, a data frame as it is.
 * @throws TypeError for a value that is none of these.
 */
export function tablesOf(thing: Tabular): readonly Table[] {
  // A frame answers to the names of its columns, one of which may be `kind`.
  if (isFrame(thing)) return [frameTable(thing)];
  if ('kind' in thing)
    switch (thing.kind) {
      case 'creek-chart':
        return chartTables(thing);
      case 'level-fit':
        return [fitTable(thing)];
      case 'logger-fit':
        return [loggerFitTable(thing)];
      case 'judgement':
        return judgementTables(thing);
      case 'creek-trust':
        return creekTrustTables(thing);
      case 'judged-creek':
        return [...thing.chart.runs.map(runTable), ...creekTrustTables(thing.trust)];
      case 'gauge-ranking':
        return rankingTables(thing);
      case 'creek-gauges':
        return creekGaugesTables(thing);
      case 'tidy-table':
        return [tidyTableOf(thing)];
      default:
        throw new TypeError(`show: expected ${KNOWN}, found '${String((thing as { kind: unknown }).kind)}'`);
    }
  if ('trust' in thing && 'hydrograph' in thing) return gaugeTables(thing);
  if ('sureRanges' in thing && 'odds' in thing) return [levelTable(thing, '')];
  if ('grade' in thing && 'checks' in thing) return [checksOf(thing)];
  throw new TypeError(`show: expected ${KNOWN}`);
}

export function isFrame(thing: Tabular): thing is FrameLike {
  return 'columns' in thing && 'values' in thing;
}

function chartTables({ runs, cautions }: CreekChart): readonly Table[] {
  return [...runs.map(runTable), cautionTable(cautions)];
}

function runTable({ name, gauges }: CreekChart['runs'][number]): Table {
  return table(
    name,
    gauges.map(({ gauge, trust, level }) => ({
      gauge: gauge.name,
      grade: trust.grade,
      skill: trust.skill?.againstFrequencies.value ?? null,
      visits: trust.evidence.visits,
      floods: trust.evidence.floods,
      // Nobody is told how to read a gauge that says nothing.
      'how to read it': (carriesLevels(trust) ? level?.howToRead : undefined) ?? trust.reasons[0] ?? '',
    })),
    { digits: { skill: 2 } },
  );
}

/** A gauge without a usable relation has no levels to show, whatever was fitted. */
function carriesLevels({ grade }: Pick<TrustSummary, 'grade'>): boolean {
  return grade !== 'no usable relation';
}

function gaugeTables(chart: GaugeChart): readonly Table[] {
  if (!carriesLevels(chart.trust)) return [checksOf(chart.trust, `, ${chart.gauge.name}`)];
  const { level } = chart;
  return [
    ...(level === undefined ? [] : [levelTable(level, `${chart.gauge.name}, ${unitLabel(chart.gauge.unit)}. `)]),
    checksOf(chart.trust, `, ${chart.gauge.name}`),
  ];
}

/** Each class between its edges, lowest first. */
function levelTable(level: LevelChart, prefix: string): Table {
  const edges = level.edges.filter((edge) => edge.feature === VERDICT);
  const text = (k: number) => {
    const edge = edges[k];
    return edge === undefined ? 'not seen' : `${edge.rounded.toFixed(edge.digits)}${edge.seenBothSides ? '' : ' *'}`;
  };
  const between = (k: number) => {
    const [low, high] = edges[k]?.i80 ?? [null, null];
    const end = (value: number | null) => (value === null ? 'open' : figures(value));
    return k >= edges.length ? '' : `${end(low)} to ${end(high)}`;
  };
  const assumed = edges.some((edge) => !edge.seenBothSides);
  return table(
    `${prefix}${level.howToRead}${assumed ? ' (* no visit on one side: an assumption)' : ''}`,
    level.odds.classes.map((word, k) => ({
      class: word,
      'from edge': text(k - 1),
      'to edge': text(k),
      'upper edge, 80 %': between(k),
      'odds of 80 %': level.sureRanges.find((range) => range.class === word)?.says ?? '',
    })),
  );
}

/** One row a quantity, the glance of a fit. */
function fitTable(fit: LevelFit): Table {
  const { draws, diagnostics } = fit;
  const of = (values: Float64Array) => (values.length === 0 ? 'none' : estimateText(estimate(values)));
  const rows: readonly (readonly [string, Cell])[] = [
    ['status', fit.statusSentence],
    ['visits, sightings, floods', `${fit.visits}, ${fit.sightings}, ${fit.floods}`],
    ['lag, h (80 %)', of(draws.lagHours)],
    ['storage, h (80 %)', of(draws.storageHours)],
    ['mismatch, ln units (80 %)', of(draws.mismatch)],
    ["observers' spread, ln units (80 %)", of(draws.observerSd)],
    ['limb term', fit.limbKept ? 'kept' : 'not needed'],
    ['grid points fitted', `${diagnostics.gridPointsFitted} of ${diagnostics.gridPoints}`],
    ['effective draws', `${Math.round(diagnostics.effectiveDraws)} of ${draws.count}`],
  ];
  return table(
    `Fit of ${fit.run} to ${fit.gaugeName}, ${fit.mode}`,
    rows.map(([quantity, value]) => ({ quantity, value })),
  );
}

function frameTable({ columns, values }: FrameLike): Table {
  const rows = values.map((row) => {
    const cells: readonly unknown[] = Array.isArray(row) ? row : [row];
    return Object.fromEntries(columns.map((key, c) => [key, cellOf(cells[c])]));
  });
  return table(`${rows.length} ${rows.length === 1 ? 'row' : 'rows'}`, rows, { columns });
}

function tidyTableOf({ name, columns, rows }: TidyLike): Table {
  return table(name, rows as readonly Readonly<Record<string, Cell>>[], { columns: Object.keys(columns) });
}

function cellOf(value: unknown): Cell {
  return typeof value === 'number' || typeof value === 'boolean' || value === null || value === undefined
    ? value
    : String(value);
}
