import type { GaugeRead } from '../../src/read/types.js';
import type { Gauge } from '../../src/series/creek.js';
import type { RawSeries } from '../../src/series/gaugeRecord.js';
import { issueSentence } from '../../src/series/issue.js';

export const base: Gauge = {
  id: 'g',
  name: 'gauge',
  parameter: 'discharge',
  unit: 'ft3/s',
  files: ['f'],
  format: 'rdb',
};
export const utc = (ms: number) => new Date(ms).toISOString().slice(0, 16);
export const sentences = (read: GaugeRead) => read.issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`);
/** `time value code row` of every row. */
export const table = (series: RawSeries | undefined) =>
  Array.from(series!.timesMs, (ms, i) => [utc(ms), series!.values[i], series!.codes[i], series!.rows[i]]);
