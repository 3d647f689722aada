import type { Figure } from '../../chart/figures/figure.js';
import { hydrographFigure } from '../../chart/figures/hydrographFigure.js';
import { lagFigure, storageFigure } from '../../chart/figures/lagFigure.js';
import { oddsFigure } from '../../chart/figures/oddsFigure.js';
import { surfaceFigure } from '../../chart/figures/surfaceFigure.js';
import type { Panel } from './panel.js';

/** How much of the drawing goes onto the page; a creek with many gauges gets less, so that the file stays small. */
export interface Thrift {
  /** How many gauges of a run, best first, keep their record and their lag-storage surface. */
  readonly records: number;
  /** How many keep the rest of their figures. */
  readonly figures: number;
}

/** From everything to nothing: the first that fits is taken. The tables and the odds stay in any case. */
export const THRIFT: readonly Thrift[] = [
  { records: Infinity, figures: Infinity },
  { records: 2, figures: Infinity },
  { records: 1, figures: Infinity },
  { records: 0, figures: Infinity },
  { records: 0, figures: 2 },
  { records: 0, figures: 1 },
  { records: 0, figures: 0 },
];

/** The figures of one panel by the id they have on the page. */
export function panelFigures(panel: Panel, place: number, thrift: Thrift): ReadonlyMap<string, Figure> {
  const { gauge, scale, timeZone, run, id } = panel;
  const full = place < thrift.records;
  if (place >= thrift.figures) return new Map();
  const all: (readonly [string, Figure | undefined])[] = [
    ...panel.levels.map(
      ({ id: levelId, key }) => [`${levelId}-odds`, oddsFigure(gauge, { scale, reading: key, timeZone })] as const,
    ),
    [`${id}-lag`, lagFigure(gauge)],
    [`${id}-storage`, storageFigure(gauge)],
    [`${id}-surface`, full ? surfaceFigure(gauge) : undefined],
    [`${id}-record`, full ? hydrographFigure(gauge, { scale, classes: run.classes, timeZone }) : undefined],
  ];
  return new Map(all.filter((pair): pair is readonly [string, Figure] => pair[1] !== undefined));
}
