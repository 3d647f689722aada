import type { CreekGauges, RunGauges } from '../../../chart/gauges/types.js';
import type { Estimate } from '../../../chart/types.js';
import { tidyTable, type ColumnType, type TidyTable } from '../tidyTable.js';

/** Where a row of the gauges' part belongs. */
export interface RunKey {
  readonly run: string;
}

/** A median with its intervals; null where there is none. */
export interface EstimateCells {
  readonly median: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

export const ESTIMATE = {
  median: 'number',
  low80: 'number',
  high80: 'number',
  low95: 'number',
  high95: 'number',
} as const;

export function estimateCells({ median, i80, i95 }: Estimate): EstimateCells {
  return { median, low80: i80[0], high80: i80[1], low95: i95[0], high95: i95[1] };
}

/** One table over every run: the key's column first, then those of `columns`. */
export function runsTable<Row extends object>(
  name: string,
  columns: { readonly [Key in keyof Row]: ColumnType },
  { gauges, rows }: { gauges: CreekGauges; rows: (run: RunGauges) => readonly Row[] },
): TidyTable<RunKey & Row> {
  const all = { run: 'text', ...columns } as { readonly [Key in keyof (RunKey & Row)]: ColumnType };
  return tidyTable<RunKey & Row>(
    name,
    all,
    gauges.runs.flatMap((run) => rows(run).map((row) => ({ run: run.id, ...row }))),
  );
}
