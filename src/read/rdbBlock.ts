import type { RawSeries } from '../series/gaugeRecord.js';
import type { ZoneClock } from '../series/time.js';
import type { IssueLog } from './issueLog.js';
import { keepTimed } from './keepTimed.js';
import type { RdbValueColumn } from './rdbHeader.js';
import { settleTimes } from './settleTimes.js';

/** The rows of one block in column arrays that grow by doubling: no object per row, and no array sized for the whole file per block. */
export interface RdbBlock {
  n: number;
  timesMs: Float64Array;
  /** @see settleTimes */
  kind: Uint8Array;
  rows: Int32Array;
  /** Index into `sites`. */
  siteOf: Int32Array;
  readonly values: Float64Array[];
  readonly codes: string[][];
  readonly unreadable: Map<number, string>[];
  readonly sites: string[];
}

/** An empty block for a number of value columns. */
export function newBlock(valueColumns: number): RdbBlock {
  const size = 64;
  const each = <T>(make: () => T) => Array.from({ length: valueColumns }, make);
  return {
    n: 0,
    timesMs: new Float64Array(size),
    kind: new Uint8Array(size),
    rows: new Int32Array(size),
    siteOf: new Int32Array(size),
    values: each(() => new Float64Array(size)),
    codes: each(() => []),
    unreadable: each(() => new Map()),
    sites: [],
  };
}

/** Makes room for twice as many rows. */
export function growBlock(block: RdbBlock): void {
  const size = block.timesMs.length * 2;
  const grown = <T extends Float64Array | Int32Array | Uint8Array>(from: T, to: T): T => {
    to.set(from);
    return to;
  };
  block.timesMs = grown(block.timesMs, new Float64Array(size));
  block.kind = grown(block.kind, new Uint8Array(size));
  block.rows = grown(block.rows, new Int32Array(size));
  block.siteOf = grown(block.siteOf, new Int32Array(size));
  block.values.forEach((column, v) => {
    block.values[v] = grown(column, new Float64Array(size));
  });
}

/**
 * The block's rows as one series a site and value column, its key `site column`. Times are settled site by site: in a block of several
 * sites the clock steps back between them.
 */
export function blockSeries(
  block: RdbBlock,
  columns: readonly RdbValueColumn[],
  { file, clock, log }: { file: string; clock: ZoneClock; log: IssueLog },
): readonly RawSeries[] {
  const sites = block.sites.length > 0 ? block.sites : [''];
  const picks = sites.length === 1 ? [undefined] : rowsOfSites(block);
  return sites.flatMap((site, s) => {
    const pick = picks[s];
    const n = pick?.length ?? block.n;
    const take = <T extends Float64Array | Int32Array | Uint8Array>(from: T, to: (size: number) => T): T => {
      if (pick === undefined) return from.subarray(0, n) as T;
      const out = to(n);
      for (let k = 0; k < n; k++) out[k] = from[pick[k]!]!;
      return out;
    };
    const timesMs = take(block.timesMs, (size) => new Float64Array(size));
    const rows = take(block.rows, (size) => new Int32Array(size));
    const kind = take(block.kind, (size) => new Uint8Array(size));
    const { dayMeans } = settleTimes({ file, timesMs, kind, rows, count: n, column: 'datetime' }, clock, log);
    return columns.map((column, v) => {
      const codes = block.codes[v]!;
      const unreadable = block.unreadable[v]!;
      return keepTimed({
        key: `${site} ${column.name}`.trim(),
        ...(site !== '' && { site }),
        column: column.name,
        ...column.identity,
        timesMs,
        values: take(block.values[v]!, (size) => new Float64Array(size)),
        codes: pick === undefined ? codes : Array.from(pick, (i) => codes[i]!),
        rows,
        unreadable: pick === undefined ? unreadable : ofRows(unreadable, pick),
        tellsApproval: true,
        ...(dayMeans && { dayMeans: true }),
      });
    });
  });
}

/** Rows of each site, in the order of the file. */
function rowsOfSites({ sites, siteOf, n }: RdbBlock): readonly Int32Array[] {
  const counts = new Int32Array(sites.length);
  for (let i = 0; i < n; i++) counts[siteOf[i]!]!++;
  const picks = sites.map((_, s) => new Int32Array(counts[s]!));
  counts.fill(0);
  for (let i = 0; i < n; i++) picks[siteOf[i]!]![counts[siteOf[i]!]!++] = i;
  return picks;
}

function ofRows(unreadable: ReadonlyMap<number, string>, pick: Int32Array): Map<number, string> {
  const out = new Map<number, string>();
  if (unreadable.size === 0) return out;
  pick.forEach((i, k) => {
    const cell = unreadable.get(i);
    if (cell !== undefined) out.set(k, cell);
  });
  return out;
}
