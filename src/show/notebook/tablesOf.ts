import { estimate } from '../../chart/estimate.js';
import { valueText } from '../../chart/figures/valueText.js';
import type { CreekChart, Estimate, GaugeChart, LevelChart } from '../../chart/types.js';
import type { LevelFit } from '../../fit/types.js';
import type { TrustSummary } from '../../judge/types.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { table, type Cell, type Table } from './table.js';

/** A data frame of danfojs, known by its shape: this file needs nothing of the library. */
export interface FrameLike {
  readonly columns: readonly string[];
  readonly values: readonly unknown[] | readonly (readonly unknown[])[];
}

/** Results that have a table of their own. */
export type Tabular = CreekChart | GaugeChart | LevelChart | LevelFit | TrustSummary | FrameLike;

/**
 * The tables that say what a result says: a chart by run and gauge, a gauge's level charts and trust, a fit at a glance, a
 * verdict by its checks, a data frame as it is.
 * @throws TypeError for a value that is none of these.
 */
export function tablesOf(thing: Tabular): readonly Table[] {
  if ('runs' in thing && 'cautions' in thing) return [...thing.runs.map((run) => runTable(run)), cautionTable(thing)];
  if ('trust' in thing && 'hydrograph' in thing) return gaugeTables(thing);
  if ('sureRanges' in thing && 'odds' in thing) return [levelTable(thing, '')];
  if ('kind' in thing && thing.kind === 'level-fit') return [fitTable(thing)];
  if ('grade' in thing && 'checks' in thing) return [trustTable(thing)];
  if ('columns' in thing && 'values' in thing) return [frameTable(thing)];
  throw new TypeError('show: expected a figure, a table, a chart, a fit, a trust summary, a data frame or a text');
}

function runTable({ name, gauges }: CreekChart['runs'][number]): Table {
  return table(
    name,
    gauges.map(({ gauge, trust, effective, oneReading }) => ({
      gauge: gauge.name,
      grade: trust.grade,
      'skill, effective': trust.skill.effective?.againstFrequencies ?? null,
      'skill, one reading': trust.skill.oneReading?.againstFrequencies ?? null,
      visits: trust.visits,
      floods: trust.floods,
      'how to read it': (effective ?? oneReading)?.howToRead ?? trust.reasons[0] ?? '',
    })),
    { digits: { 'skill, effective': 2, 'skill, one reading': 2 } },
  );
}

function cautionTable({ cautions }: CreekChart): Table {
  return table(
    'Before anyone goes',
    cautions.map((caution) => ({ caution })),
  );
}

function gaugeTables(chart: GaugeChart): readonly Table[] {
  const levels = [chart.effective, chart.oneReading].filter((level): level is LevelChart => level !== undefined);
  return [
    ...levels.map((level) => levelTable(level, `${chart.gauge.name}, ${unitLabel(chart.gauge.unit)}. `)),
    trustTable(chart.trust),
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
    const end = (value: number | null) => (value === null ? 'open' : valueText(value));
    return k >= edges.length ? '' : `${end(low)} to ${end(high)}`;
  };
  return table(
    `${prefix}${level.howToRead}`,
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

function trustTable({ grade, checks }: TrustSummary): Table {
  return table(
    `How far to trust it: ${grade}`,
    checks.map(({ check, statistic, operator, threshold, unit, pass, comment }) => ({
      check,
      found: statistic,
      needed: `${operator} ${threshold} ${unit}`.trim(),
      pass,
      comment,
    })),
  );
}

function frameTable({ columns, values }: FrameLike): Table {
  const rows = values.map((row) => {
    const cells: readonly unknown[] = Array.isArray(row) ? row : [row];
    return Object.fromEntries(columns.map((key, c) => [key, cellOf(cells[c])]));
  });
  return table(`${rows.length} ${rows.length === 1 ? 'row' : 'rows'}`, rows, { columns });
}

function cellOf(value: unknown): Cell {
  return typeof value === 'number' || typeof value === 'boolean' || value === null || value === undefined
    ? value
    : String(value);
}

/** `1.2 (0.9 to 1.6)`: median and 80 % interval, for tables and sentences. */
export function estimateText({ median, i80 }: Estimate, { digits = 2 }: { digits?: number } = {}): string {
  const end = (value: number | null) => value?.toFixed(digits) ?? 'open';
  return `${median.toFixed(digits)} (${end(i80[0])} to ${end(i80[1])})`;
}
