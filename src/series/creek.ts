import type { GaugeUnit, Parameter } from './units.js';

/** The creek folder's description, validated. One object per creek.json. */
export interface Creek {
  readonly schema: 1;
  readonly name: string;
  /** IANA zone of the times in visits.csv that carry no offset. */
  readonly timeZone: string;
  readonly runs: readonly Run[];
  readonly gauges: readonly Gauge[];
  readonly derivedGauges?: readonly DerivedGauge[];
  readonly loggers?: readonly Logger[];
  /** Spreadsheets of visits beside visits.csv, read as they are. */
  readonly tripLogs?: readonly TripLog[];
  /** Other spellings of a person's name, by the name that stands for them. */
  readonly people?: Readonly<Record<string, readonly string[]>>;
  /** Other words for a class, a run or a feature, by the word that stands for them. */
  readonly words?: Readonly<Record<string, readonly string[]>>;
  /** Windows of the words for a part of the day, `08:00-12:00`; the empty word stands for a row without a time of day. */
  readonly partsOfDay?: Readonly<Record<string, string>>;
  /** Bounds of the lag searched, hours; positive: the gauge leads. Default -24 to 48. */
  readonly lagHours?: { readonly min: number; readonly max: number };
  /** Bounds of the storage searched, hours. Default -24 to 48. */
  readonly storageHours?: { readonly min: number; readonly max: number };
  /** Speed at which a rise travels along the run, km/h; default 6 (common practice: a wave outruns a floating stick). */
  readonly waveSpeedKmH?: number;
}

export interface Run {
  readonly id: string;
  readonly name: string;
  /** Classes of the verdict, lowest first; at least 2. */
  readonly classes: readonly string[];
  readonly catchmentAreaKm2?: number;
  readonly features: readonly Feature[];
  /** For a run that nobody gives verdicts: how a feature's sightings translate into the run's classes. */
  readonly verdictFrom?: VerdictFrom;
}

/** A thing on or beside the run that shows the level: either ordered `classes` or a numeric `unit`. */
export interface Feature {
  readonly id: string;
  readonly name: string;
  readonly kmFromPutIn?: number;
  /** What it looks like, per class; keys are class words. */
  readonly looks?: Readonly<Record<string, string>>;
  readonly classes?: readonly string[];
  readonly unit?: string;
}

/**
 * `classes`: feature class -> run class, never descending along the feature's order.
 * `edges`: for a numeric feature, the readings between neighbouring run classes, ascending, one fewer than the run's classes.
 */
export type VerdictFrom =
  | { readonly feature: string; readonly classes: Readonly<Record<string, string>> }
  | { readonly feature: string; readonly edges: readonly number[] };

/** How a gauge’s files are written. */
export type GaugeFormat = 'rdb' | 'waterml2' | 'waterml1' | 'delimited';

/** How a text table is written. */
export interface TableLayout {
  /** Default a comma. */
  readonly delimiter?: string;
  readonly decimalMark?: '.' | ',';
  readonly encoding?: 'utf-8' | 'latin1';
  /** Lines before the header row. Default 0. */
  readonly skipLines?: number;
  /** Date pattern: `iso` (default), or the tokens yyyy (or yy) MM dd HH mm ss with separators, e.g. `dd/MM/yyyy HH:mm:ss`. */
  readonly datePattern?: string;
  /** Cell texts that mean "no value", besides the empty cell. */
  readonly missing?: readonly string[];
}

/**
 * How a spreadsheet of visits maps onto sightings, columns by their names in its header row. With `features` a row is a visit and each of
 * these columns a feature (column name -> feature id, or `verdict`); with `columns.feature` and `columns.saw` a row is a sighting, as in
 * visits.csv.
 */
export interface TripLog extends TableLayout {
  /** Path relative to the folder, never outside it. */
  readonly file: string;
  readonly columns: {
    readonly time?: string;
    readonly date?: string;
    readonly clock?: string;
    readonly giveOrTakeMin?: string;
    readonly visit?: string;
    readonly run?: string;
    readonly feature?: string;
    readonly saw?: string;
    readonly observer?: string;
    readonly note?: string;
  };
  readonly features?: Readonly<Record<string, string>>;
  /** Run of all rows, where no column says it. */
  readonly run?: string;
}

/** How a delimited text table maps onto times and values. */
export interface DelimitedMapping extends TableLayout {
  /** Column names as in the header row (trimmed). `date` + `clock` may stand in place of `time`. */
  readonly columns: {
    readonly time?: string;
    readonly date?: string;
    readonly clock?: string;
    readonly value: string;
    readonly quality?: string;
  };
  /** Quality codes whose values are refused. */
  readonly refuse?: readonly string[];
  /** Rows from this text on (a disclaimer after the data) are not data. */
  readonly stopAt?: string;
}

export interface Gauge extends Partial<DelimitedMapping> {
  readonly id: string;
  readonly name: string;
  readonly parameter: Parameter;
  readonly unit: GaugeUnit;
  /** Paths relative to the folder, never outside it. */
  readonly files: readonly string[];
  readonly format: GaugeFormat;
  /** Stage at which flow ceases, in the gauge's unit; makes the log scale of a stage gauge ln(h - zeroFlowStage). */
  readonly zeroFlowStage?: number;
  readonly catchmentAreaKm2?: number;
  readonly distanceKm?: number;
  /** IANA zone of times without an offset in the files; default: the creek's. A fixed zone such as `UTC` or `Etc/GMT+5` works. */
  readonly timeZone?: string;
  /** Which series of a file that holds several: site number, parameter code, statistic, or column name. */
  readonly series?: {
    readonly site?: string;
    readonly parameterCode?: string;
    readonly statisticCode?: string;
    readonly column?: string;
  };
  /** What the quality codes say of approval, where the format does not say it itself. A code under both counts as provisional. */
  readonly approval?: { readonly approved?: readonly string[]; readonly provisional?: readonly string[] };
  /**
   * Times at which the gauge's datum or place changed, ISO 8601, local in its zone where without an offset. Nothing is interpolated across
   * one.
   */
  readonly datumChanges?: readonly string[];
  /** Widest gap bridged, hours. Default: 3 × the usual step, at least 2, at most 6; for daily records 3 × the step. */
  readonly maxGapHours?: number;
  /** Where newer readings come from, when somebody asks for them. */
  readonly fetch?: GaugeFetch;
  /** A table of official forecasts, this one and past ones: `issued,time,value`. No input of the fit. */
  readonly forecast?: string;
  /** How the gauge lies to the run along the water; left out where its water never passes the run. */
  readonly reach?: GaugeReach;
}

/**
 * A service that answers with readings in the gauge's own format. `{env:NAME}` in the address or header stands for a variable of the
 * environment, so that no key lies in the folder.
 */
export interface GaugeFetch {
  /** https address with {from} and {to}; http only on this machine. */
  readonly address: string;
  /** How {from} and {to} are written: `time` ISO 8601 in UTC (default), `day` the day in UTC, `seconds` since 1970. */
  readonly times?: 'time' | 'day' | 'seconds';
  readonly header?: { readonly name: string; readonly value: string };
  /** One of the gauge's `files`: what was fetched is kept there. */
  readonly file: string;
}

/** The way along the water between a gauge and the put-in of the lowest run: what a travel time is reckoned from. */
export interface GaugeReach {
  /** Seen from the run. */
  readonly lies: 'upstream' | 'downstream';
  readonly lengthKm: number;
  /** Mean slope of the channel in between, m/m. */
  readonly slope?: number;
  /** Mean discharge of a year at the gauge, in the gauge's unit. */
  readonly meanFlow?: number;
}

/** A level logger that somebody hung into the creek for some weeks; read like a gauge, and never charted as one. */
export interface Logger extends Omit<Gauge, 'reach'> {
  readonly parameter: 'stage';
  /** Run that it stood at. */
  readonly run: string;
  readonly kmFromPutIn?: number;
}

export interface DerivedGauge {
  readonly id: string;
  readonly name: string;
  readonly kind: 'sum' | 'difference' | 'area-scaled' | 'mean';
  /**
   * Gauge ids: all added; or the first minus the rest; or one, scaled to `catchmentAreaKm2`; or their weighted geometric mean, which is
   * found and not written in creek.json.
   */
  readonly of: readonly string[];
  /** Of a mean, one for each of `of`; they sum to 1. */
  readonly weights?: readonly number[];
  /** Travel time from each gauge of `of` to the first, hours; default 0. */
  readonly travelHours?: readonly number[];
  readonly catchmentAreaKm2?: number;
}
