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
    expect(log.issues().length).toBe(2000);
    expect(log.issues().reduce((sum, one) => sum + (one.count ?? 1), 0)).toBe(10_000);
    expect(log.issues().at(-1)!.hint).toBe('This row and further ones with other causes, too many to list one by one.');
  });
});
