import type { PlotlyObject } from '../../chart/figures/figure.js';

/** Columns and text lines that many traces share, each written into the page once. */
export interface PackedTables {
  /** Columns of numbers (null breaks a line). Moments are minutes since the one before: in an even record the same few digits over and over. */
  readonly columns: readonly (
    readonly (number | null)[] | { readonly startMs: number; readonly minutes: readonly number[] }
  )[];
  /** Lines of the texts that traces show when pointed at. */
  readonly lines: readonly string[];
}

/** A trace whose long columns are `{ column: i }`, whose texts are `{ texts: [[line, …], …] }` and whose looks, which many traces share, stand under `same`. */
export type PackedTrace = PlotlyObject;

/** Below this a column is shorter than its reference is worth. */
const SHORT = 8;
/** Numbers above this are moments in ms (1973 and later), not gauge values. */
const MOMENT = 1e11;

/** A packer that collects the tables while traces pass through it, in a fixed order. */
export function tracePacker(): {
  readonly tables: () => PackedTables;
  readonly pack: (trace: PlotlyObject) => PackedTrace;
} {
  const columns: PackedTables['columns'][number][] = [];
  const lines: string[] = [];
  const columnAt = new Map<string, number>();
  const lineAt = new Map<string, number>();
  const column = (values: readonly (number | null)[]) => {
    const key = JSON.stringify(values);
    let at = columnAt.get(key);
    if (at === undefined) {
      at = columns.length;
      columnAt.set(key, at);
      columns.push(packed(values));
    }
    return { column: at };
  };
  const line = (text: string) => {
    let at = lineAt.get(text);
    if (at === undefined) {
      at = lines.length;
      lineAt.set(text, at);
      lines.push(text);
    }
    return at;
  };
  const pack = (trace: PlotlyObject): PackedTrace => {
    const own: Record<string, unknown> = {};
    const same: Record<string, unknown> = {};
    for (const [key, value] of Object.entries(trace)) {
      if (!Array.isArray(value)) same[key] = value;
      else if (key === 'text') own[key] = { texts: value.map((text: string) => text.split('<br>').map(line)) };
      else {
        const numbers = value.length >= SHORT && value.every((item) => item === null || typeof item === 'number');
        own[key] = numbers ? column(value) : value;
      }
    }
    return { same, ...own };
  };
  return { tables: () => ({ columns, lines }), pack };
}

/** Moments lose the seconds, which no figure shows; steps are taken between rounded moments, so that nothing adds up. */
function packed(values: readonly (number | null)[]): PackedTables['columns'][number] {
  if (!values.every((value) => value !== null && value > MOMENT)) return values;
  const moments = values as readonly number[];
  const startMs = moments[0]!;
  const since = moments.map((ms) => Math.round((ms - startMs) / 60_000));
  return { startMs, minutes: since.map((minute, i) => minute - (since[i - 1] ?? 0)) };
}

/**
 * A trace, a layout or a whole figure as the plot library wants it: columns, texts and shared pieces put back.
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 */
export function unpackTrace<T>(packed: T, tables: PackedTables & { readonly pieces?: readonly unknown[] }): T {
  const open = (value: unknown): unknown => {
    if (typeof value !== 'object' || value === null) return value;
    if (Array.isArray(value)) return value.map(open);
    if ('piece' in value) return open(tables.pieces![value.piece as number]);
    if ('column' in value) {
      const column = tables.columns[value.column as number]!;
      if (!('minutes' in column)) return column;
      let at = column.startMs;
      return column.minutes.map((minute) => (at += 60_000 * minute));
    }
    if ('texts' in value)
      return (open(value.texts) as number[][]).map((text) => text.map((at) => tables.lines[at]!).join('<br>'));
    const { same, ...own } = value as { readonly same?: unknown };
    const opened = Object.fromEntries(Object.entries(own).map(([key, inner]) => [key, open(inner)]));
    return same === undefined ? opened : { ...(open(same) as object), ...opened };
  };
  return open(packed) as T;
}
