import type { RunGauges } from '../../../chart/gauges/types.js';
import type { RunChart } from '../../../chart/types.js';
import type { Figure } from '../../../chart/figures/figure.js';
import type { Panel } from '../panel.js';
import type { Thrift } from '../pageFigures.js';
import { gaugesFigures } from './gaugesFigures.js';

/** What tells of a run beyond its gauges' charts, with what of it goes onto the page. */
export interface GaugesContent {
  /** Unique on the page, and made of digits only: no name from a file becomes an id. */
  readonly id: string;
  readonly run: RunChart;
  readonly gauges: RunGauges;
  /** The run's gauges as the page shows them, in its order. */
  readonly panels: readonly Panel[];
  readonly timeZone: string;
  /** By the id that a figure has on the page. */
  readonly figures: ReadonlyMap<string, Figure>;
  /** Whether the folded pieces are there; the choice always is. */
  readonly details: boolean;
}

/** Everything that can be shown of a run's gauges. */
export function wholeGauges(content: Omit<GaugesContent, 'figures' | 'details'>): GaugesContent {
  return { ...content, figures: new Map(gaugesFigures(content)), details: true };
}

/** What is left under a thrift: levels of loggers are the heaviest and go first. */
export function thriftyGauges(content: GaugesContent, thrift: Thrift): GaugesContent {
  const kept = [...content.figures].filter(([id]) => {
    const place = /-logger\d+-(\d+)$/.exec(id)?.[1];
    return thrift.figures > 0 && (place === undefined || Number(place) < thrift.loggers);
  });
  return { ...content, figures: new Map(kept), details: thrift.details > 0 };
}
