import type { Link } from '../../fit/types.js';
import type { GaugeCandidate, GaugeRanking } from '../../judge/gauges/types.js';
import type { Creek, DerivedGauge } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Visit } from '../../series/visits.js';
import type { LagReport } from './types.js';

/** Everything about a creek's gauges that needs fits of its own: plain data, so that it can go to other cores. */
export interface GaugesPlan {
  readonly kind: 'gauges-plan';
  readonly context: GaugesContext;
  readonly tasks: readonly GaugesTask[];
}

/** What all tasks of a creek share. */
export interface GaugesContext {
  /** In words, for progress and errors. */
  readonly label: string;
  readonly creek: Creek;
  readonly records: readonly GaugeRecord[];
  /** Of each run, in the order of creek.json. */
  readonly candidates: readonly { readonly run: string; readonly of: readonly GaugeCandidate[] }[];
  readonly visits: readonly Visit[];
  readonly seed: number;
  readonly link: Link;
  readonly leadHours: number;
  /** Draws of a fit whose edges are shown. */
  readonly draws: number;
  readonly lagsHours: readonly number[];
}

/**
 * `rank`: all candidates of a run, and weighted means of the best `combine` of them. `flow-lag`: does a gauge's lag shorten as the flow
 * grows. `id` is unique.
 */
export type GaugesTask =
  | { readonly kind: 'rank'; readonly id: string; readonly run: string; readonly combine: number }
  | {
      readonly kind: 'flow-lag';
      readonly id: string;
      readonly run: string;
      readonly gauge: string;
      /** The chart's, tried beside none. */
      readonly storageHours: number;
    };

/** What came of one task; plain data. */
export type GaugesResult =
  | {
      readonly kind: 'rank';
      readonly id: string;
      readonly run: string;
      readonly ranking: GaugeRanking;
      /** A weighted mean that the ranking would choose; to be derived and ranked again as any gauge. */
      readonly proposal: DerivedGauge | null;
    }
  | {
      readonly kind: 'flow-lag';
      readonly id: string;
      readonly run: string;
      readonly gauge: string;
      readonly flow: LagReport['flow'];
    };
