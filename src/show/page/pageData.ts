import type { Figure, PlotlyObject } from '../../chart/figures/figure.js';
import { convertUnit, unitLabel, type GaugeUnit } from '../../series/units.js';
import { tracePacker, type PackedTables, type PackedTrace } from './packTraces.js';
import { sharePieces } from './sharePieces.js';
import type { RunContent } from './pageFigures.js';
import type { Panel, PanelLevel } from './panel.js';
import { needsChange } from './nowPanel.js';

/** What the page's script works on: the figures and the odds, nothing else. */
export interface PageData {
  /** Packed: `unpackTrace` opens one. */
  readonly figures: Readonly<Record<string, PageFigure>>;
  readonly tables: PackedTables & { readonly pieces: readonly unknown[] };
  readonly levels: Readonly<Record<string, PageLevel>>;
}

export interface PageFigure {
  readonly traces: readonly PackedTrace[];
  readonly layout: PlotlyObject;
  /** What differs on a phone. */
  readonly narrow: PlotlyObject;
}

export interface PageLevel {
  readonly classes: readonly string[];
  readonly gaugeValues: readonly number[];
  readonly probability: readonly (readonly number[])[];
  readonly seen: { readonly from: number; readonly to: number };
  readonly unit: GaugeUnit;
  readonly unitLabel: string;
  readonly otherUnit: GaugeUnit;
  readonly otherLabel: string;
  /** How many of the other unit make one of the gauge's. */
  readonly otherPerOwn: number;
  /** Hours by which the change over one hour is multiplied and added; 0 where the value typed is the reading itself. */
  readonly changeTimes: number;
  readonly discharge: boolean;
  readonly scale: { readonly log: boolean; readonly from: number; readonly to: number };
}

/** Collects the figures and levels of all runs. */
export function pageData(runs: readonly RunContent[]): PageData {
  const { pack, tables } = tracePacker();
  const figures: Record<string, PageFigure> = {};
  const levels: Record<string, PageLevel> = {};
  const add = (drawn: ReadonlyMap<string, Figure>) => {
    for (const [id, { data, layout, narrow }] of drawn)
      figures[id] = { traces: data.map(pack), layout: lean(layout), narrow: lean(differences(layout, narrow)) };
  };
  for (const { panels, gauges } of runs) {
    for (const { panel, figures: drawn } of panels) {
      for (const level of panel.levels) if (panel.usable) levels[level.id] = pageLevel(panel, level);
      add(drawn);
    }
    if (gauges !== undefined) add(gauges.figures);
  }
  const { packed, pieces } = sharePieces(figures);
  return { figures: packed as PageData['figures'], tables: { ...tables(), pieces }, levels };
}

/** Places in a layout to six digits, a hundredth of a pixel; moments and counts are whole and stay. */
function lean<T>(value: T): T {
  if (typeof value === 'number') return (Number.isInteger(value) ? value : Number(value.toPrecision(6))) as T;
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(lean) as T;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, lean(inner as unknown)])) as T;
}

/** The keys of `narrow` that `layout` does not say already. */
function differences(layout: PlotlyObject, narrow: PlotlyObject): PlotlyObject {
  return Object.fromEntries(
    Object.entries(narrow).filter(([key, value]) => JSON.stringify(layout[key]) !== JSON.stringify(value)),
  );
}

function pageLevel({ gauge, scale }: Panel, panelLevel: PanelLevel): PageLevel {
  const { level } = panelLevel;
  const { unit, otherUnit, parameter } = gauge.gauge;
  return {
    classes: level.odds.classes,
    // Seven digits, so that the ends of what was seen stay inside the table; four decimals are a hundredth of a percent.
    gaugeValues: level.odds.gaugeValues.map((value) => Number(value.toPrecision(7))),
    probability: level.odds.probability.map((row) => row.map((p) => Number(p.toFixed(4)))),
    seen: level.seen,
    unit,
    unitLabel: unitLabel(unit),
    otherUnit,
    otherLabel: unitLabel(otherUnit),
    otherPerOwn: convertUnit(1, unit, otherUnit),
    changeTimes: needsChange(panelLevel) ? -level.reading.storageHours : 0,
    discharge: parameter === 'discharge',
    scale: { log: scale.kind === 'log', from: scale.from, to: scale.to },
  };
}
