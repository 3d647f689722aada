import type { RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import type { CodeMeaning } from './codeMeanings.js';
import type { IssueLog } from './issueLog.js';

/**
 * The values of a series with NaN where a reading is missing, unreadable or refused. Each run of rows lost for the same reason is listed once, with the first
 * row, their number and the time they span: a week of ice is one line.
 */
export function cleanValues(
  file: string,
  series: RawSeries,
  meaningOf: (code: string, tellsApproval: boolean) => CodeMeaning,
  log: IssueLog,
): Float64Array {
  const { timesMs, codes, rows, unreadable } = series;
  const values = series.values.slice();
  const told = series.tellsApproval === true;
  let from = -1;
  let open: Lost | undefined;

  const close = (to: number) => {
    if (open === undefined) return;
    const column = series.column === undefined ? {} : { column: series.column };
    const row = rows[from]! > 0 ? { row: rows[from]! } : {};
    const span =
      to - from === 1 ? `At ${utc(timesMs[from]!)}.` : `From ${utc(timesMs[from]!)} to ${utc(timesMs[to - 1]!)}.`;
    const hint = [open.hint, span].filter((part) => part !== undefined).join(' ');
    log.add({
      code: open.code,
      severity: 'warning',
      file,
      ...row,
      ...column,
      found: open.found,
      expected: open.expected,
      hint,
      count: to - from,
    });
  };

  for (let i = 0; i < values.length; i++) {
    const { refusal } = meaningOf(codes[i]!, told);
    if (refusal === undefined && values[i] === values[i]) {
      if (open !== undefined) close(i);
      open = undefined;
      continue;
    }
    const lost = whyLost(values[i]!, codes[i]!, refusal, unreadable?.get(i));
    values[i] = NaN;
    if (open !== undefined && open.code === lost.code && open.found === lost.found && open.hint === lost.hint) continue;
    if (open !== undefined) close(i);
    open = lost;
    from = i;
  }
  close(values.length);
  return values;
}

type Lost = Pick<Issue, 'code' | 'found' | 'expected' | 'hint'>;

function whyLost(value: number, code: string, refusal: string | undefined, cell: string | undefined): Lost {
  if (cell !== undefined)
    return {
      code: 'value-unreadable',
      found: `'${cell}'`,
      expected: 'a number',
      hint: 'If this text means "no value", add it to missing of the gauge in creek.json; check decimalMark too.',
    };
  if (!(value === value))
    return {
      code: 'value-missing',
      found: code === '' ? 'no value' : `no value, code '${code}'`,
      expected: 'a reading',
      hint: refusal,
    };
  return {
    code: 'value-refused',
    found: `a reading with code '${code}'`,
    expected: 'a reading that can be used',
    hint: refusal,
  };
}

/** `2024-04-28T14:30Z` */
export function utc(timeMs: number): string {
  return `${new Date(timeMs).toISOString().slice(0, 16)}Z`;
}
