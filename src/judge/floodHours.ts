import { floodStarts } from '../align/floods.js';
import { quantile } from '../kernel/quantile.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';

const HOUR = 3_600_000;

/**
 * Usual length of a flood on the gauge, hours: from the trough where it starts (`floodStarts`) until ln(reading - offset) has fallen half
 * way back from its peak, or until the next flood starts; the median over the record's floods. The record's first flood is left away, as
 * nobody saw it start.
 *
 * @returns NaN with fewer than two floods.
 */
export function floodHours(record: GaugeRecord): number {
  const { timesMs, values } = record;
  const offset = record.zeroFlowStage ?? 0;
  const starts = floodStarts(record);
  const lengths: number[] = [];
  let i = 0;
  for (let s = 1; s < starts.length; s++) {
    const until = s + 1 < starts.length ? starts[s + 1] : Infinity;
    while (i < timesMs.length && timesMs[i] < starts[s]) i++;
    const foot = Math.log(values[i] - offset);
    let peak = foot;
    let endMs = NaN;
    for (; i < timesMs.length && timesMs[i] < until; i++) {
      const y = Math.log(values[i] - offset);
      if (!Number.isFinite(y)) continue;
      endMs = timesMs[i];
      if (y > peak) peak = y;
      else if (peak > foot && y <= (foot + peak) / 2) break;
    }
    lengths.push((endMs - starts[s]) / HOUR);
  }
  return quantile(Float64Array.from(lengths), 0.5);
}
