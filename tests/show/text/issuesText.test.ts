import { describe, expect, it } from 'vitest';
import type { Issue } from '../../../src/series/issue.js';
import { countIssues, issuesText } from '../../../src/show/text/issuesText.js';

const issues: readonly Issue[] = [
  { code: 'time-ambiguous', severity: 'note', file: 'visits.csv', row: 7, hint: 'Taken as give or take 60 min.' },
  {
    code: 'class-unknown',
    severity: 'warning',
    file: 'visits.csv',
    row: 41,
    column: 'saw',
    found: "'brwn\u001b[31m'",
    expected: 'a class of feature ledge (dry < wet)',
    hint: 'Fix the row, or add the class in creek.json.',
  },
  { code: 'file-missing', severity: 'fatal', file: 'gauges/river.csv', hint: 'Put the file there.' },
];

describe('issuesText', () => {
  it('says file, row, column, found, expected and what to do, fatal first', () => {
    expect(issuesText(issues)).toBe(
      [
        'Fatal: no chart until these are mended',
        '  - gauges/river.csv: file-missing. Put the file there. [file-missing]',
        '',
        'Warnings: these rows or values are not used',
        "  - visits.csv row 41, column saw: found 'brwn', expected a class of feature",
        '    ledge (dry < wet). Fix the row, or add the class in creek.json.',
        '    [class-unknown]',
        '',
        'Notes: used, and you should know how',
        '  - visits.csv row 7: time-ambiguous. Taken as give or take 60 min.',
        '    [time-ambiguous]',
        '',
        '1 fatal, 1 warning, 1 note.',
        '',
      ].join('\n'),
    );
  });

  it('says so when there is nothing wrong', () => {
    expect(issuesText([])).toBe('No problems found.\n');
    expect(countIssues([])).toEqual({ fatal: 0, warnings: 0, notes: 0 });
  });

  it('tells issues of one cause together where not all are asked for, with the first rows and how many there are', () => {
    const lost = (row: number, found: string): Issue => ({
      code: 'value-missing',
      severity: 'warning',
      file: 'g.csv',
      row,
      found,
      hint: `Code 'M' is refused. At 2023-02-2${row}T08:00Z.`,
      count: 2,
    });
    const issues = [lost(1, 'a'), lost(2, 'b'), lost(3, 'c'), lost(4, 'd'), lost(5, 'e')];
    const told = issuesText(issues, { all: false, width: 200 });
    expect(told).toContain(
      "g.csv row 1: found a (row 1), b (row 2), c (row 3) and 2 more (10 rows). Code 'M' is refused. [",
    );
    expect(told).toContain('5 warnings');
    expect(issuesText(issues, { width: 200 }).match(/\[value-missing\]/g)).toHaveLength(5);
    expect(issuesText(issues.slice(0, 3), { all: false, width: 200 }).match(/\[value-missing\]/g)).toHaveLength(3);
  });
});
