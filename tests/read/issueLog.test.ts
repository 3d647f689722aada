import { describe, expect, it } from 'vitest';
import { issueLog } from '../../src/read/issueLog.js';
import type { Issue } from '../../src/series/issue.js';

describe('issueLog', () => {
  const issue = (row: number | undefined, found = 'no value', code: Issue['code'] = 'value-missing'): Issue => ({
    code,
    severity: 'warning',
    file: 'a.csv',
    ...(row !== undefined && { row }),
    found,
  });
  const folded = (...issues: Issue[]) => {
    const log = issueLog();
    issues.forEach(log.add);
    return log.issues().map(({ row, found, count }) => [row, found, count ?? 1]);
  };
  it('folds equal neighbours, and only those', () => {
    expect(folded(issue(5), issue(6), issue(7), issue(9), issue(10, 'x'), issue(11))).toEqual([
      [5, 'no value', 3],
      [9, 'no value', 1],
      [10, 'x', 1],
      [11, 'no value', 1],
    ]);
  });
  it('folds through issues of another code in between', () => {
    expect(folded(issue(5), issue(5, 'y', 'not-positive'), issue(6), issue(6, 'y', 'not-positive'))).toEqual([
      [5, 'no value', 2],
      [5, 'y', 2],
    ]);
  });
  it('folds issues without a row by their words, and adds counts', () => {
    expect(folded({ ...issue(undefined), count: 3 }, { ...issue(undefined), count: 2 })).toEqual([
      [undefined, 'no value', 5],
    ]);
  });
  it('stays small on a file that is broken throughout, and still counts every row', () => {
    const log = issueLog();
    for (let row = 1; row <= 20_000; row += 2) log.add(issue(row, `'${row}'`));
    const all = log.issues();
    expect(all.map(({ found }) => found)).toEqual(["'1'", "'3'", "'5'", "'7'", "'9'", "'11', '13', '15' and others"]);
    expect(all.reduce((sum, one) => sum + (one.count ?? 1), 0)).toBe(10_000);
    expect(all.at(-1)!).toMatchObject({ row: 11, count: 9_995 });
    expect(all.at(-1)!.hint).toBe(
      'This stands for 9995 further places like the 5 above, down to row 19999. Mend the cause of those first.',
    );
  });
  it('lists up to twelve each, and of thirteen the first five', () => {
    const odd = (rows: number) =>
      Array.from({ length: rows }, (_, i) => ({ ...issue(2 * i + 1), hint: `on day ${i}` }));
    expect(folded(...odd(12)).map(([row, , count]) => [row, count])).toEqual(odd(12).map(({ row }) => [row, 1]));
    const log = issueLog();
    const more = { ...issue(26), hint: 'on day 12' };
    [...odd(13), more, { ...issue(40), count: 4 }, { ...issue(44), count: 2 }].forEach(log.add);
    expect(log.issues().map(({ row, count }) => [row, count ?? 1])).toEqual([
      [1, 1],
      [3, 1],
      [5, 1],
      [7, 1],
      [9, 1],
      [11, 15],
    ]);
    expect(log.issues().at(-1)).toMatchObject({
      found: 'no value',
      hint: 'This stands for 9 further places like the 5 above, down to row 45. Mend the cause of those first.',
    });
  });
  it('gives each file, column, severity and code a list of its own', () => {
    const log = issueLog();
    for (let row = 1; row < 40; row += 2) {
      log.add(issue(row));
      log.add({ ...issue(row), column: 'q' });
      log.add({ ...issue(row), file: 'b.csv' });
      log.add({ ...issue(row), severity: 'note' });
      log.add(issue(row, 'x', 'not-positive'));
    }
    const counts = log.issues().map(({ count }) => count ?? 1);
    expect(counts).toEqual([...Array<number>(25).fill(1), ...Array<number>(5).fill(15)]);
  });
});
