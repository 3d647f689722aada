import type { Figure } from '../../chart/figures/figure.js';
import { hydrographFigure } from '../../chart/figures/hydrographFigure.js';
import { lagFigure, storageFigure } from '../../chart/figures/lagFigure.js';
import { oddsFigure } from '../../chart/figures/oddsFigure.js';
import { surfaceFigure } from '../../chart/figures/surfaceFigure.js';
import { thriftyGauges, type GaugesContent } from './gauges/gaugesContent.js';
import type { Panel } from './panel.js';
import { trustFigures } from './trust/trustFigures.js';

/** A run with what of it goes onto the page. */
export interface RunContent {
  readonly panels: readonly PanelContent[];
  /** Which gauge to read, loggers and staffs; undefined where nobody asked. */
  readonly gauges?: GaugesContent;
}

/** A panel with what of it goes onto the page. */
export interface PanelContent {
  readonly panel: Panel;
  /** By the id that a figure has on the page. */
  readonly figures: ReadonlyMap<string, Figure>;
  /** Whether the folded tables are there. */
  readonly details: boolean;
}

/** How many gauges of a run, best first, keep what; a creek with many gauges gets less, so that the file stays small. */
export interface Thrift {
  /** The record and the lag-storage surface. */
  readonly records: number;
  /** Official gauges that a logger's levels are drawn against. */
  readonly loggers: number;
  /** The other figures; those of a whole run stay as long as one gauge keeps its own. */
  readonly figures: number;
  /** The folded tables, with the same rule for those of a whole run. */
  readonly details: number;
  /** A place on the page at all. */
  readonly gauges: number;
}

const ALL: Thrift = { records: Infinity, loggers: Infinity, figures: Infinity, details: Infinity, gauges: Infinity };
const CARDS: Thrift = { records: 0, loggers: 0, figures: 0, details: 0, gauges: Infinity };

/** From everything to the best gauge's card alone: the first that fits is taken. */
export const THRIFT: readonly Thrift[] = [
  ALL,
  { ...ALL, loggers: 1 },
  { ...ALL, loggers: 1, records: 2 },
  { ...ALL, loggers: 1, records: 1 },
  { ...ALL, loggers: 0, records: 0 },
  { ...ALL, loggers: 0, records: 0, figures: 2 },
  { ...ALL, loggers: 0, records: 0, figures: 1 },
  { ...ALL, loggers: 0, records: 0, figures: 1, details: 1 },
  CARDS,
  { ...CARDS, gauges: 3 },
  { ...CARDS, gauges: 1 },
];

/** Everything that can be drawn of a panel. */
export function wholeContent(panel: Panel): PanelContent {
  const { gauge, scale, timeZone, run, id } = panel;
  const all: (readonly [string, Figure | undefined])[] = [
    ...panel.levels.map(
      ({ id: levelId }) => [`${levelId}-odds`, oddsFigure(gauge, { scale, timeZone, features: run.features })] as const,
    ),
    [`${id}-lag`, lagFigure(gauge)],
    [`${id}-storage`, storageFigure(gauge)],
    [`${id}-surface`, surfaceFigure(gauge)],
    [`${id}-record`, hydrographFigure(gauge, { scale, classes: run.classes, timeZone, features: run.features })],
    ...trustFigures(panel),
  ];
  const drawn = all.filter((pair): pair is readonly [string, Figure] => pair[1] !== undefined);
  return { panel, figures: new Map(drawn), details: true };
}

/** What is left of a run, best gauge first, under a thrift. */
export function thriftyContent({ panels, gauges }: RunContent, thrift: Thrift): RunContent {
  return {
    panels: thriftyPanels(panels, thrift),
    ...(gauges === undefined ? {} : { gauges: thriftyGauges(gauges, thrift) }),
  };
}

function thriftyPanels(panels: readonly PanelContent[], thrift: Thrift): readonly PanelContent[] {
  return panels.slice(0, thrift.gauges).map(({ panel, figures }, place) => ({
    panel,
    figures: new Map(
      [...figures].filter(([id]) => place < (/-(record|surface)$/.test(id) ? thrift.records : thrift.figures)),
    ),
    details: place < thrift.details,
  }));
}
