/** The rows of one block in column arrays that grow by doubling: no object per row, and no array sized for the whole file per block. */
export interface RdbBlock {
  n: number;
  timesMs: Float64Array;
  local: Uint8Array;
  rows: Int32Array;
  readonly values: Float64Array[];
  readonly codes: string[][];
  readonly unreadable: Map<number, string>[];
  /** Where each run of rows of one site begins. */
  readonly sites: { readonly site: string; readonly from: number }[];
}

/** An empty block for a number of value columns. */
export function newBlock(valueColumns: number): RdbBlock {
  const size = 4096;
  const each = <T>(make: () => T) => Array.from({ length: valueColumns }, make);
  return {
    n: 0,
    timesMs: new Float64Array(size),
    local: new Uint8Array(size),
    rows: new Int32Array(size),
    values: each(() => new Float64Array(size)),
    codes: each(() => []),
    unreadable: each(() => new Map()),
    sites: [],
  };
}

/** Makes room for twice as many rows. */
export function growBlock(block: RdbBlock): void {
  const size = block.timesMs.length * 2;
  const timesMs = new Float64Array(size);
  timesMs.set(block.timesMs);
  block.timesMs = timesMs;
  const local = new Uint8Array(size);
  local.set(block.local);
  block.local = local;
  const rows = new Int32Array(size);
  rows.set(block.rows);
  block.rows = rows;
  block.values.forEach((column, v) => {
    const values = new Float64Array(size);
    values.set(column);
    block.values[v] = values;
  });
}
