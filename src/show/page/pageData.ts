import type { Figure, PlotlyObject } from '../../chart/figures/figure.js';
import { convertUnit, unitLabel, type GaugeUnit } from '../../series/units.js';
import { packLine, type PackedLine } from './pageFigures.js';
import type { Panel, PanelLevel } from './panel.js';
import { needsChange } from './nowPanel.js';

/** What the page's script works on: the figures and the odds, nothing else. */
export interface PageData {
  readonly figures: Readonly<Record<string, PageFigure>>;
  /** Records, one a gauge however many runs use it. */
  readonly lines: Readonly<Record<string, PackedLine>>;
  readonly levels: Readonly<Record<string, PageLevel>>;
}

export interface PageFigure {
  readonly data: readonly PlotlyObject[];
  readonly layout: PlotlyObject;
  readonly narrow: PlotlyObject;
  /** Key in `lines` of the first trace's points, where it has none of its own. */
  readonly line?: string;
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

/** Collects the figures and levels of all panels. */
export function pageData(
  panels: readonly { readonly panel: Panel; readonly figures: ReadonlyMap<string, Figure> }[],
): PageData {
  const figures: Record<string, PageFigure> = {};
  const lines: Record<string, PackedLine> = {};
  const levels: Record<string, PageLevel> = {};
  const lineKeys = new Map<string, string>();
  for (const { panel, figures: drawn } of panels) {
    for (const level of panel.levels) if (panel.usable) levels[level.id] = pageLevel(panel, level);
    for (const [id, figure] of drawn) {
      const { data, layout, narrow } = figure;
      if (!id.endsWith('-record')) {
        figures[id] = { data, layout, narrow };
        continue;
      }
      const { x, y, ...first } = data[0] as { x: number[]; y: (number | null)[] } & PlotlyObject;
      const gauge = panel.gauge.gauge.id;
      let line = lineKeys.get(gauge);
      if (line === undefined) {
        line = `l${lineKeys.size}`;
        lineKeys.set(gauge, line);
        lines[line] = packLine(x, y);
      }
      figures[id] = { data: [first, ...data.slice(1)], layout, narrow, line };
    }
  }
  return { figures, lines, levels };
}

function pageLevel({ gauge, scale }: Panel, panelLevel: PanelLevel): PageLevel {
  const { level } = panelLevel;
  const { unit, otherUnit, parameter } = gauge.gauge;
  return {
    classes: level.odds.classes,
    gaugeValues: level.odds.gaugeValues,
    probability: level.odds.probability.map((row) => row.map((p) => Number(p.toFixed(5)))),
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
