import type { GaugeRecord } from '../series/gaugeRecord.js';

/** Standard deviation of ln(reading - offset) over a record's usable readings; 0 with fewer than 2, NaN with none. */
export function lnSpread({ values, zeroFlowStage: offset = 0 }: GaugeRecord): number {
  let count = 0;
  let mean = 0;
  let m2 = 0;
  for (let i = 0; i < values.length; i++) {
    const y = Math.log(values[i] - offset);
    if (!Number.isFinite(y)) continue;
    count++;
    const d = y - mean;
    mean += d / count;
    m2 += d * (y - mean);
  }
  return count === 0 ? NaN : Math.sqrt(m2 / Math.max(1, count - 1));
}
