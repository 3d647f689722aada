import type { GaugeUnit, Parameter } from './units.js';

/** One official record, in time order. Arrays have length n and are never changed after reading. */
export interface GaugeRecord {
  readonly kind: 'gauge-record';
  readonly gauge: string;
  readonly name: string;
  readonly parameter: Parameter;
  readonly unit: GaugeUnit;
  /** UTC milliseconds, strictly ascending. */
  readonly timesMs: Float64Array;
  /** In `unit`; NaN where a reading is missing or refused (such a row is a barrier: nothing is interpolated across it). */
  readonly values: Float64Array;
  /** The usual step, ms (median of the differences); NaN with fewer than 2 rows. */
  readonly stepMs: number;
  /** Widest gap that is bridged, ms. */
  readonly maxGapMs: number;
  /** Stage at zero flow in `unit`, for stage gauges where known. */
  readonly zeroFlowStage?: number;
  readonly catchmentAreaKm2?: number;
  readonly distanceKm?: number;
  /** True where each value stands for a whole local day and its time for the day's noon: nobody has it before that day is over. */
  readonly dayMeans?: boolean;
  /** Count of readings by approval state. */
  readonly approval: { readonly approved: number; readonly provisional: number; readonly unknown: number };
  /** Doubt about each reading (n): 0 none told, 1 provisional, 2 estimated by the agency. Left away where none is told. */
  readonly doubt?: Uint8Array;
  /** Jumps of unit or zero that the record's own numbers show; readings before the last are NaN. Left away where none is seen. */
  readonly jumps?: readonly RecordJump[];
  /** Count of rows by quality code or flag, as written in the file. */
  readonly codes: Readonly<Record<string, number>>;
}

/** A change of a record from one reading to the next that lasts: of its unit or its zero. */
export interface RecordJump {
  /** The first reading after it, UTC ms. */
  readonly timeMs: number;
  /** The readings around it, in the unit that the record is given in. */
  readonly before: number;
  readonly after: number;
  /** The factor between two units, or place of the decimal mark, that the change (after over before) fits; undefined where none does. */
  readonly factor?: number;
}

/** One series found in a gauge file before it is chosen, named and cleaned: what a reader returns. */
export interface RawSeries {
  /** Identification as the file gives it, e.g. site `02177000`, parameter code `00060`, statistic `00003`. */
  readonly key: string;
  readonly site?: string;
  readonly parameterCode?: string;
  readonly statisticCode?: string;
  /** Column name in the file, where series are columns. */
  readonly column?: string;
  /** Unit as written in the file, where it is. */
  readonly unitText?: string;
  readonly timesMs: Float64Array;
  /** NaN where missing. Same length as timesMs. */
  readonly values: Float64Array;
  /** Quality code of each row as written ('' where none); rows share strings. */
  readonly codes: readonly string[];
  /** 1-based file line of each row (0 where the format has no lines). */
  readonly rows: Int32Array;
  /** Cell texts that are neither a number nor a known flag, by index into the arrays (where `values` is NaN). */
  readonly unreadable?: ReadonlyMap<number, string>;
  /** True where the codes tell approved (A) from provisional (P) readings. */
  readonly tellsApproval?: boolean;
  /** True where each value stands for a whole local day, and its time for the day's noon. */
  readonly dayMeans?: boolean;
  /** Zero of the stages as the file names it. */
  readonly datum?: string;
  /** Remarks of the file on a change of the gauge's datum or place, as written. */
  readonly datumNotes?: readonly string[];
}
