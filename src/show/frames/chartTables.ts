import type { CreekChart, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { tidyTable, type TidyTable } from './tidyTable.js';

/** Where a row of a chart belongs. */
export interface ChartKey {
  readonly run: string;
  readonly gauge: string;
  /** `effective` or `one-reading`. */
  readonly reading: string;
  /** How far to trust the gauge: nobody plans with the numbers of one that has no usable relation. */
  readonly grade: string;
}

const CHART_KEY = { run: 'text', gauge: 'text', reading: 'text', grade: 'text' } as const;

export interface EdgeRow extends ChartKey {
  readonly feature: string;
  readonly lower: string;
  readonly upper: string;
  readonly unit: string;
  readonly median: number;
  readonly low80: number | null;
  readonly high80: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly rounded: number;
  readonly seenBothSides: boolean;
}

/**
 * Edges of the verdict and of every feature with classes, in the gauge's unit; one row an edge, run, gauge and way of reading.
 * @example toFrame(edgesTable(chart)).groupby(['run', 'gauge']).col(['median']).count()
 */
export function edgesTable(chart: CreekChart): TidyTable<EdgeRow> {
  return tidyTable<EdgeRow>(
    'edges',
    {
      ...CHART_KEY,
      feature: 'text',
      lower: 'text',
      upper: 'text',
      unit: 'text',
      median: 'number',
      low80: 'number',
      high80: 'number',
      low95: 'number',
      high95: 'number',
      rounded: 'number',
      seenBothSides: 'truth',
    },
    levelsOf(chart).flatMap(({ key, gauge, level }) =>
      level.edges.map((edge) => ({
        ...key,
        feature: edge.feature,
        lower: edge.between[0],
        upper: edge.between[1],
        unit: gauge.gauge.unit,
        median: edge.median,
        low80: edge.i80[0],
        high80: edge.i80[1],
        low95: edge.i95[0],
        high95: edge.i95[1],
        rounded: edge.rounded,
        seenBothSides: edge.seenBothSides,
      })),
    ),
  );
}

export interface OddsRow extends ChartKey {
  readonly unit: string;
  readonly gaugeValue: number;
  readonly class: string;
  readonly odds: number;
  /** Whether a visit has met readings on both sides of this value. */
  readonly seen: boolean;
}

/** Odds of each class over gauge values, in the gauge's unit; the rows of one gauge value sum to 1. */
export function oddsTable(chart: CreekChart): TidyTable<OddsRow> {
  return tidyTable<OddsRow>(
    'odds',
    { ...CHART_KEY, unit: 'text', gaugeValue: 'number', class: 'text', odds: 'number', seen: 'truth' },
    levelsOf(chart).flatMap(({ key, gauge, level }) =>
      level.odds.gaugeValues.flatMap((gaugeValue, v) =>
        level.odds.classes.map((word, k) => ({
          ...key,
          unit: gauge.gauge.unit,
          gaugeValue,
          class: word,
          odds: level.odds.probability[v]![k]!,
          seen: gaugeValue >= level.seen.from && gaugeValue <= level.seen.to,
        })),
      ),
    ),
  );
}

export interface SureRangeRow extends ChartKey {
  readonly class: string;
  readonly unit: string;
  readonly empty: boolean;
  readonly from: number | null;
  readonly to: number | null;
  readonly roundedFrom: number | null;
  readonly roundedTo: number | null;
  readonly bestOdds: number;
}

/** Gauge values where a class has odds of at least 80 %, in the gauge's unit; `empty` where there are none. */
export function sureRangesTable(chart: CreekChart): TidyTable<SureRangeRow> {
  return tidyTable<SureRangeRow>(
    'sure ranges',
    {
      ...CHART_KEY,
      class: 'text',
      unit: 'text',
      empty: 'truth',
      from: 'number',
      to: 'number',
      roundedFrom: 'number',
      roundedTo: 'number',
      bestOdds: 'number',
    },
    levelsOf(chart).flatMap(({ key, gauge, level }) =>
      level.sureRanges.map((range) => ({
        ...key,
        class: range.class,
        unit: gauge.gauge.unit,
        empty: range.empty,
        from: range.from,
        to: range.to,
        roundedFrom: range.roundedFrom,
        roundedTo: range.roundedTo,
        bestOdds: range.bestOdds,
      })),
    ),
  );
}

export interface ObserverRow extends ChartKey {
  readonly observer: string;
  readonly sightings: number;
  /** Bias in ln units of the effective reading; positive: sees more water than the others. */
  readonly median: number;
  readonly low80: number | null;
  readonly high80: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

/** The observers' biases (ln units), one row an observer, run, gauge and way of reading. */
export function observersTable(chart: CreekChart): TidyTable<ObserverRow> {
  return tidyTable<ObserverRow>(
    'observers',
    {
      ...CHART_KEY,
      observer: 'text',
      sightings: 'number',
      median: 'number',
      low80: 'number',
      high80: 'number',
      low95: 'number',
      high95: 'number',
    },
    levelsOf(chart).flatMap(({ key, level }) =>
      level.observers.map(({ observer, sightings, median, i80, i95 }) => ({
        ...key,
        observer,
        sightings,
        median,
        low80: i80[0],
        high80: i80[1],
        low95: i95[0],
        high95: i95[1],
      })),
    ),
  );
}

export interface VisitRow {
  readonly run: string;
  readonly gauge: string;
  readonly visit: string;
  /** UTC, ISO 8601. */
  readonly time: string;
  readonly unit: string;
  /** The gauge by the chart's instruction, and what its record shows at that lag; null where the record has a gap. */
  readonly reading: number | null;
  readonly onRecord: number | null;
  /** Verdict, null where none was given. */
  readonly class: string | null;
  readonly classIndex: number | null;
  readonly observer: string;
  readonly flood: number;
  readonly limb: string;
}

/** The visits with the readings that the chart matched them with, one row a visit, run and gauge. */
export function visitsTable(chart: CreekChart): TidyTable<VisitRow> {
  return tidyTable<VisitRow>(
    'visits',
    {
      run: 'text',
      gauge: 'text',
      visit: 'text',
      time: 'text',
      unit: 'text',
      reading: 'number',
      onRecord: 'number',
      class: 'text',
      classIndex: 'number',
      observer: 'text',
      flood: 'number',
      limb: 'text',
    },
    gaugesOf(chart).flatMap(({ run, gauge }) =>
      gauge.visits.map((mark) => ({
        run: run.id,
        gauge: gauge.gauge.id,
        visit: mark.visit,
        time: new Date(mark.timeMs).toISOString(),
        unit: gauge.gauge.unit,
        reading: mark.reading,
        onRecord: mark.onRecord,
        class: run.classes[mark.classIndex] ?? null,
        classIndex: mark.classIndex < 0 ? null : mark.classIndex,
        observer: mark.observer,
        flood: mark.flood,
        limb: mark.limb,
      })),
    ),
  );
}

export interface GridRow {
  readonly run: string;
  readonly gauge: string;
  readonly lagHours: number;
  readonly storageHours: number;
  readonly probability: number;
}

/** Joint posterior of lag and storage; the rows of one run and gauge sum to 1 where anything was fitted. */
export function gridTable(chart: CreekChart): TidyTable<GridRow> {
  return tidyTable<GridRow>(
    'grid',
    { run: 'text', gauge: 'text', lagHours: 'number', storageHours: 'number', probability: 'number' },
    gaugesOf(chart).flatMap(({ run, gauge }) =>
      gauge.surface.storagesHours.flatMap((storageHours, s) =>
        gauge.surface.lagsHours.map((lagHours, l) => ({
          run: run.id,
          gauge: gauge.gauge.id,
          lagHours,
          storageHours,
          probability: gauge.surface.probability[s]![l]!,
        })),
      ),
    ),
  );
}

function gaugesOf(chart: CreekChart): readonly { readonly run: RunChart; readonly gauge: GaugeChart }[] {
  return chart.runs.flatMap((run) => run.gauges.map((gauge) => ({ run, gauge })));
}

function levelsOf(
  chart: CreekChart,
): readonly { readonly key: ChartKey; readonly gauge: GaugeChart; readonly level: LevelChart }[] {
  return gaugesOf(chart).flatMap(({ run, gauge }) =>
    [gauge.level].flatMap((level) =>
      level === undefined
        ? []
        : [
            {
              key: { run: run.id, gauge: gauge.gauge.id, reading: level.way, grade: gauge.trust.grade },
              gauge,
              level,
            },
          ],
    ),
  );
}
