/** What one observer saw at one feature at one time. */
export interface Sighting {
  /** 1-based line in its file. */
  readonly row: number;
  /** The spreadsheet that it stands in; left out: visits.csv. */
  readonly file?: string;
  readonly timeMs: number;
  /** Half width of the time window, minutes; 0: exact. */
  readonly giveOrTakeMin: number;
  readonly run: string;
  /** Feature id, or `verdict`. */
  readonly feature: string;
  /** Index of the class seen, lowest 0; -1 for a numeric feature. */
  readonly classIndex: number;
  /** Reading of a numeric feature in its unit; NaN for a class feature. */
  readonly value: number;
  readonly observer: string;
  readonly note: string;
}

/** All sightings of one party on one trip; they share the state of the creek. */
export interface Visit {
  readonly id: string;
  readonly run: string;
  /** Time of the verdict, or the mean time of the sightings where none was given; UTC ms. */
  readonly timeMs: number;
  readonly sightings: readonly Sighting[];
}

/** Id of the feature that stands for the whole run: the sighting made after paddling it. */
export const VERDICT = 'verdict';
