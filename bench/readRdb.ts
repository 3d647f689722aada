/** One side of the reading benchmark: `ours` makes a whole cleaned series of the text, `peer` only times and numbers. */
import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { readRdb } from '../src/read/readRdb.js';
import type { Gauge } from '../src/series/creek.js';
import { report } from './inChild.js';

const [side, path, rows] = [process.argv[2], process.argv[3]!, Number(process.argv[4])];
const bytes = readFileSync(path);
const gauge: Gauge = { id: 'g', name: 'g', parameter: 'discharge', unit: 'ft3/s', files: ['g.rdb'], format: 'rdb' };

function sum(values: Float64Array): number {
  let total = 0;
  for (const value of values) if (!Number.isNaN(value)) total += value;
  return Math.round(total);
}

report(() => {
  if (side === 'ours') {
    const { series } = readRdb({ name: 'g.rdb', bytes }, gauge, 'UTC');
    return sum(series[0]!.values);
  }
  const times = new Float64Array(rows);
  const values = new Float64Array(rows);
  let row = -2;
  parse(new TextDecoder().decode(bytes), {
    delimiter: '\t',
    comment: '#',
    quote: false,
    on_record: (cells: readonly string[]) => {
      if (row >= 0) {
        times[row] = Date.parse(`${cells[2]!.replace(' ', 'T')}Z`);
        values[row] = Number(cells[4]);
      }
      row++;
      // Nothing is kept: the peer gets its lowest memory too.
      return null;
    },
  });
  return sum(values);
});
