import type { IssueLog } from './issueLog.js';
import type { RecordPart } from './buildRecord.js';

/**
 * Row indices in time order (rows of the same time in the order they came), or undefined where they are in order already. A file that is
 * out of order within itself is noted; files that merely follow each other in another order are not.
 *
 * @param times n times of all parts, one part after the other
 */
export function timeOrder(times: Float64Array, parts: readonly RecordPart[], log: IssueLog): Int32Array | undefined {
  let sorted = true;
  let at = 0;
  for (const { file, series } of parts) {
    let back = 0;
    let first = -1;
    for (let i = 0; i < series.timesMs.length; i++, at++) {
      if (at === 0 || times[at]! >= times[at - 1]!) continue;
      sorted = false;
      if (i === 0) continue;
      if (back === 0) first = i;
      back++;
    }
    if (back === 0) continue;
    const row = series.rows[first]!;
    log.add({
      code: 'unsorted',
      severity: 'note',
      file,
      ...(row > 0 && { row }),
      found: `a row earlier than the one before it${back > 1 ? `, and ${back - 1} more` : ''}`,
      expected: 'rows in time order',
      hint: 'They are put in order.',
    });
  }
  if (sorted) return undefined;
  const order = new Int32Array(times.length);
  for (let i = 0; i < order.length; i++) order[i] = i;
  return order.sort((a, b) => times[a]! - times[b]! || a - b);
}
