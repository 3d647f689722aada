import type { Issue } from '../series/issue.js';
import type { NamedFile } from './types.js';

/** What was said of a run for one time of arrival. */
export interface Said {
  readonly saidMs: number;
  readonly arrivalMs: number;
  readonly run: string;
  readonly gauge: string;
  /** Odds of each class, lowest first. */
  readonly odds: readonly number[];
}

/** Columns of said.csv; odds stand in one cell, lowest class first, with blanks between. */
export const SAID_COLUMNS = ['said', 'arrival', 'run', 'gauge', 'odds'] as const;

/** said.csv as it was kept by `now --keep`. @returns every row that can be read, and an issue for each other one */
export function readSaid({ name, bytes }: NamedFile): {
  readonly said: readonly Said[];
  readonly issues: readonly Issue[];
} {
  const issues: Issue[] = [];
  const said = new TextDecoder()
    .decode(bytes)
    .split(/\r?\n/)
    .flatMap((line, i): readonly Said[] => {
      if (i === 0 || line.trim() === '') return [];
      const [saidAt = '', arrival = '', run = '', gauge = '', odds = '', ...more] = line.split(',');
      const [saidMs, arrivalMs] = [saidAt, arrival].map((text) => (/Z$/.test(text) ? Date.parse(text) : NaN)) as [
        number,
        number,
      ];
      const numbers = odds.trim().split(/\s+/).map(Number);
      if (more.length === 0 && saidMs <= Infinity && arrivalMs <= Infinity && numbers.every((p) => p >= 0 && p <= 1))
        return [{ saidMs, arrivalMs, run, gauge, odds: numbers }];
      issues.push({
        code: 'row-shape',
        severity: 'warning',
        file: name,
        row: i + 1,
        found: 'a row that cannot be read',
        expected: SAID_COLUMNS.join(','),
        hint: 'Let sightstage now --keep write the file, or remove the row.',
      });
      return [];
    });
  return { said, issues };
}
