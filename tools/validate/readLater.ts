import { parse } from 'csv-parse/sync';

/** The creek's true class at moments after the last visit (H of them). */
export interface LaterClasses {
  /** UTC ms, in the order of the file. */
  readonly timesMs: Float64Array;
  /** Lowest class 0. */
  readonly classIndex: Int32Array;
}

/**
 * Reads a table `time,class` of the later record: times in ISO 8601 with an offset, classes in the words of the run.
 *
 * @throws RangeError for a time or a class that is none, naming the line.
 */
export function readLater(text: string, classes: readonly string[]): LaterClasses {
  const rows = parse<{ time: string; class: string }>(text, { columns: true, skip_empty_lines: true, trim: true });
  const timesMs = new Float64Array(rows.length);
  const classIndex = new Int32Array(rows.length);
  rows.forEach((row, i) => {
    timesMs[i] = Date.parse(row.time);
    classIndex[i] = classes.indexOf(row.class);
    if (!Number.isFinite(timesMs[i])) throw new RangeError(`later record, row ${i + 1}: "${row.time}" is no time`);
    if (classIndex[i] < 0)
      throw new RangeError(`later record, row ${i + 1}: "${row.class}" is no class of the run (${classes.join(', ')})`);
  });
  return { timesMs, classIndex };
}
