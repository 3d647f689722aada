import type { Measured } from '../../../judge/floodRatios.js';
import type { CreekTrust, Judgement } from '../../../judge/judgement.js';
import { tidyTable, type ColumnType, type TidyTable } from '../tidyTable.js';

/** Where a row of a judgement belongs. */
export interface TrustKey {
  readonly run: string;
  readonly gauge: string;
  /** How far to trust the gauge: nobody plans with the numbers of one that has no usable relation. */
  readonly grade: string;
}

/** A number with its 80 % interval; null where there is none. */
export interface MeasuredCells {
  readonly value: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
}

export const MEASURED = { value: 'number', low80: 'number', high80: 'number' } as const;

export function measuredCells({ value, i80: [low80, high80] }: Measured): MeasuredCells {
  return { value, low80, high80 };
}

/** One table over every run and gauge: the key's columns first, then those of `columns`. */
export function trustTable<Row extends object>(
  name: string,
  columns: { readonly [Key in keyof Row]: ColumnType },
  { trust, rows }: { trust: CreekTrust; rows: (judgement: Judgement) => readonly Row[] },
): TidyTable<TrustKey & Row> {
  const all = { run: 'text', gauge: 'text', grade: 'text', ...columns } as {
    readonly [Key in keyof (TrustKey & Row)]: ColumnType;
  };
  return tidyTable<TrustKey & Row>(
    name,
    all,
    trust.runs.flatMap(({ gauges }) =>
      gauges.flatMap((judgement) =>
        rows(judgement).map((row) => ({
          run: judgement.run,
          gauge: judgement.gauge,
          grade: judgement.grade,
          ...row,
        })),
      ),
    ),
  );
}

/** UTC, ISO 8601. */
export function isoTime(timeMs: number): string {
  return new Date(timeMs).toISOString();
}
