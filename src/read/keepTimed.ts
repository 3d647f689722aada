import type { RawSeries } from '../series/gaugeRecord.js';

/** The series without the rows whose time is NaN (they have been listed), in arrays of exactly their size. */
export function keepTimed(series: RawSeries): RawSeries {
  const { timesMs, values, codes, rows, unreadable } = series;
  const n = timesMs.length;
  let kept = 0;
  for (let i = 0; i < n; i++) if (timesMs[i] === timesMs[i]) kept++;
  if (kept === n)
    return Object.freeze({ ...series, timesMs: timesMs.slice(), values: values.slice(), rows: rows.slice() });

  const out = { timesMs: new Float64Array(kept), values: new Float64Array(kept), rows: new Int32Array(kept) };
  const keptCodes: string[] = [];
  const keptUnreadable = new Map<number, string>();
  let k = 0;
  for (let i = 0; i < n; i++) {
    if (!(timesMs[i] === timesMs[i])) continue;
    out.timesMs[k] = timesMs[i]!;
    out.values[k] = values[i]!;
    out.rows[k] = rows[i]!;
    keptCodes.push(codes[i]!);
    const cell = unreadable?.get(i);
    if (cell !== undefined) keptUnreadable.set(k, cell);
    k++;
  }
  return Object.freeze({ ...series, ...out, codes: keptCodes, unreadable: keptUnreadable });
}
