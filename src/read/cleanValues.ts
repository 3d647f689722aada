import type { RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import type { CodeMeaning } from './codeMeanings.js';
import type { IssueLog } from './issueLog.js';

/**
 * The values of a series with NaN where a reading is missing, unreadable or refused. Each run of rows lost for the same reason is listed
 * once, with the first row, their number and the time they span: a week of ice is one line. Where not one value can be read, all cells that
 * are no numbers are one line, with what the mapping in creek.json probably has wrong.
 *
 * @param decimalMark the mark that numbers were read with; left out for formats that have no choice
 */
export function cleanValues(
  file: string,
  series: RawSeries,
  meaningOf: (code: string, tellsApproval: boolean) => CodeMeaning,
  { log, decimalMark }: { log: IssueLog; decimalMark?: '.' | ',' },
): Float64Array {
  const { timesMs, codes, rows, unreadable } = series;
  const values = series.values.slice();
  const told = series.tellsApproval === true;
  const column = series.column === undefined ? {} : { column: series.column };
  const cells = unreadable === undefined ? [] : [...unreadable.values()];
  const allUnreadable = cells.length > 0 && values.every((value) => !(value === value));
  let from = -1;
  let open: Lost | undefined;

  const close = (to: number) => {
    if (open === undefined) return;
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

  if (allUnreadable) {
    const row = rows[unreadable!.keys().next().value!]!;
    log.add({
      code: 'value-unreadable',
      severity: 'warning',
      file,
      ...(row > 0 && { row }),
      ...column,
      found: `not one readable value, but values such as '${cells[0]!}'`,
      expected: 'numbers',
      hint: mappingFault(cells, decimalMark) ?? 'Check columns, series and missing of the gauge in creek.json.',
      count: cells.length,
    });
  }
  for (let i = 0; i < values.length; i++) {
    if (allUnreadable && unreadable!.has(i)) {
      close(i);
      open = undefined;
      continue;
    }
    const { refusal } = meaningOf(codes[i]!, told);
    if (refusal === undefined && values[i] === values[i]) {
      if (open !== undefined) close(i);
      open = undefined;
      continue;
    }
    const lost = whyLost(values[i]!, codes[i]!, refusal, unreadable?.get(i), decimalMark);
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

/** Cells that are looked at for what they have in common. */
const CELLS_LOOKED_AT = 50;

/** What creek.json says of numbers that these cells contradict, and what to write there; undefined where they do not tell. */
function mappingFault(cells: readonly string[], decimalMark: '.' | ',' | undefined): string | undefined {
  const all = (pattern: RegExp) => cells.slice(0, CELLS_LOOKED_AT).every((cell) => pattern.test(cell));
  if (decimalMark === undefined) return undefined;
  if (decimalMark === '.' && all(/^[+-]?\d*,\d+$/)) return "Set decimalMark to ',' for the gauge in creek.json.";
  if (decimalMark === ',' && all(/^[+-]?\d*\.\d+$/)) return "Set decimalMark to '.' for the gauge in creek.json.";
  if (all(/^[+-]?\d{1,3}([.,' ]\d{3})*[.,]\d+$/))
    return 'Export the file again without marks between thousands, and set decimalMark to the mark of its decimals.';
  if (all(/^[+-]?\d+([.,]\d+)?\s*[^\d\s.,]+$/))
    return 'Export the file again with the unit in the header and not in each cell.';
  if (all(/\d:\d\d|^\d{4}-\d\d-\d\d/))
    return 'These look like times: correct columns.value of the gauge in creek.json.';
  return (
    'Check that columns.value of the gauge in creek.json names the column of the readings; if the cells mean ' +
    '"no value", add them to missing.'
  );
}

function whyLost(
  value: number,
  code: string,
  refusal: string | undefined,
  cell: string | undefined,
  decimalMark: '.' | ',' | undefined,
): Lost {
  if (cell !== undefined)
    return {
      code: 'value-unreadable',
      found: `'${cell}'`,
      expected: 'a number',
      hint:
        decimalMark === '.' && /^[+-]?\d*,\d+$/.test(cell)
          ? "If this is a decimal comma, set decimalMark to ',' for the gauge in creek.json."
          : 'If this text means "no value", add it to missing of the gauge in creek.json; check decimalMark too.',
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
