import type { RawSeries } from '../series/gaugeRecord.js';

/** Pieces of one series in the order of the file as one. The first piece gives the identification. */
export function joinSeries(pieces: readonly RawSeries[]): RawSeries {
  const first = pieces[0];
  if (first === undefined) throw new RangeError('joinSeries: no pieces');
  if (pieces.length === 1) return first;
  const n = pieces.reduce((sum, piece) => sum + piece.timesMs.length, 0);
  const timesMs = new Float64Array(n);
  const values = new Float64Array(n);
  const rows = new Int32Array(n);
  const codes: string[] = [];
  const unreadable = new Map<number, string>();
  let at = 0;
  for (const piece of pieces) {
    timesMs.set(piece.timesMs, at);
    values.set(piece.values, at);
    rows.set(piece.rows, at);
    for (const code of piece.codes) codes.push(code);
    for (const [i, cell] of piece.unreadable ?? []) unreadable.set(at + i, cell);
    at += piece.timesMs.length;
  }
  const dayMeans = pieces.some((piece) => piece.dayMeans);
  return Object.freeze({ ...first, timesMs, values, codes, rows, unreadable, ...(dayMeans && { dayMeans }) });
}
