/** What can be wrong with an input, as a closed set: a program can switch on it, a person reads the sentence. */
export type IssueCode =
  | 'file-missing'
  | 'file-unreadable'
  | 'wrong-format'
  | 'not-a-time-series'
  | 'creek-invalid'
  | 'column-missing'
  | 'row-shape'
  | 'time-unreadable'
  | 'time-nonexistent'
  | 'time-ambiguous'
  | 'value-unreadable'
  | 'value-refused'
  | 'value-missing'
  | 'unit-mismatch'
  | 'series-ambiguous'
  | 'series-missing'
  | 'duplicate-time'
  | 'unsorted'
  | 'datum-change'
  | 'record-jump'
  | 'values-repeat'
  | 'reading-slip'
  | 'zone-unknown'
  | 'run-unknown'
  | 'feature-unknown'
  | 'class-unknown'
  | 'class-between'
  | 'observer-missing'
  | 'duplicate-row'
  | 'visit-spread'
  | 'verdict-translated'
  | 'not-positive'
  | 'unmatched'
  | 'no-overlap'
  | 'no-sightings'
  | 'file-not-named'
  | 'observer-similar'
  | 'visit-split'
  | 'visit-contradiction'
  | 'classes-order'
  | 'example-row'
  | 'many-unused'
  | 'path-outside'
  | 'limit-exceeded';

/** fatal: nothing can be made of it. warning: this row or value is not used. note: used, and you should know how. */
export type Severity = 'fatal' | 'warning' | 'note';

/** One thing wrong in the input: where, what was expected, what was found, what to do. */
export interface Issue {
  readonly code: IssueCode;
  readonly severity: Severity;
  /** File name as given by the caller, relative to the creek folder. */
  readonly file: string;
  /** 1-based line of the file as a text editor counts; undefined for the file as a whole. */
  readonly row?: number;
  readonly column?: string;
  readonly found?: string;
  readonly expected?: string;
  readonly hint?: string;
  /** How many rows this stands for when equal neighbours were folded into one issue (default 1). */
  readonly count?: number;
}

/** The issue as one sentence: `visits.csv row 41, column saw: found 'brwn', expected …. Fix the row, or …` */
export function issueSentence(issue: Issue): string {
  const where =
    issue.file +
    (issue.row === undefined ? '' : ` row ${issue.row}`) +
    (issue.column === undefined ? '' : `, column ${issue.column}`);
  const parts = [
    issue.found === undefined ? issue.code : `found ${issue.found}`,
    ...(issue.expected === undefined ? [] : [`expected ${issue.expected}`]),
  ];
  const times = issue.count !== undefined && issue.count > 1 ? ` (${issue.count} rows)` : '';
  return `${where}: ${parts.join(', ')}${times}.${issue.hint === undefined ? '' : ` ${issue.hint}`}`;
}
