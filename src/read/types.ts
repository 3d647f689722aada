import type { Forecast } from '../series/forecast.js';
import type { Said } from './readSaid.js';
import type { Creek } from '../series/creek.js';
import type { GaugeRecord, RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import type { Visit } from '../series/visits.js';

/** A file as bytes under the name people know it by (relative to the creek folder). */
export interface NamedFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Everything read from a creek's folder. `creek` is undefined when creek.json itself is unusable. */
export interface CreekInput {
  readonly kind: 'creek-input';
  readonly creek: Creek | undefined;
  /** What was said on past days, where somebody kept it. */
  readonly said?: readonly Said[];
  /** Official forecasts by gauge, the oldest first, where creek.json names a file of them. */
  readonly forecasts?: ReadonlyMap<string, readonly Forecast[]>;
  readonly visits: readonly Visit[];
  /** One per gauge that could be read, in the order of creek.json, derived gauges last. */
  readonly records: readonly GaugeRecord[];
  /** One per logger that could be read, in the order of creek.json; absent where it names none. */
  readonly loggers?: readonly GaugeRecord[];
  /** Everything wrong or noteworthy, in file order; `fatal` ones stop a chart. */
  readonly issues: readonly Issue[];
  /** The files that were read, with their SHA-256 (hex) and size in bytes, by name. */
  readonly files: readonly { readonly name: string; readonly sha256: string; readonly bytes: number }[];
  readonly counts: {
    readonly sightingRows: number;
    readonly sightingsUsed: number;
    /** Lines of visits.csv that are comments; absent where there are none. */
    readonly comments?: number;
    readonly gaugeRows: number;
    readonly gaugeValuesUsed: number;
  };
}

/** What a gauge reader returns: the series as the file has them, and every row it could not make a time of. */
export interface GaugeRead {
  readonly series: readonly RawSeries[];
  readonly issues: readonly Issue[];
}
