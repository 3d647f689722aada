import type { Link } from '../../fit/types.js';
import type { GaugeCandidate, GaugeRanking } from '../../judge/gauges/types.js';
import type { Creek } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Visit } from '../../series/visits.js';
import type { CombinedReading, LagReport } from './types.js';

/** A combined gauge as its own fit makes it; what the grades of its parts say is added from the chart. */
export type FittedCombined = Omit<CombinedReading, 'aloneUsable' | 'caution'>;

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

/** `rank`: all candidates of a run. `flow-lag`: does a gauge's lag shorten as the flow grows. `id` is unique. */
export type GaugesTask =
  | { readonly kind: 'rank'; readonly id: string; readonly run: string }
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
      readonly ranking: GaugeRanking;
      readonly combined: FittedCombined | null;
    }
  | { readonly kind: 'flow-lag'; readonly id: string; readonly flow: LagReport['flow'] };
