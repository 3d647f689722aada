import { effectiveSeries } from '../../align/effectiveSeries.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { lagAtFlow } from './lagAtFlow.js';

const HOUR = 3_600_000;

/**
 * A record on the creek's clock: every effective reading at the time its water comes by, s + L(e(s)). High water is faster and overtakes
 * what went before; a reading that was overtaken is passed over, so that times ascend. What the creek shows at t is the latest water that
 * has arrived.
 *
 * @param record the official record. @param options.storageHours as in `effectiveSeries`; the other options as in `lagAtFlow`, flowAt in
 * the record's unit above its offset.
 * @returns a record of effective readings counted from 0 (its offset is taken off); missing ones stay as barriers, moved by the lag at Q0.
 */
export function warpRecord(
  record: GaugeRecord,
  {
    storageHours,
    ...lag
  }: { storageHours: number; lagHours: number; flowAt: number; exponent: number; atLeastHours?: number },
): GaugeRecord {
  const e = effectiveSeries(record, storageHours);
  const n = e.length;
  const at = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const flow = e[i] === e[i] ? e[i] : lag.flowAt;
    at[i] = record.timesMs[i] + lagAtFlow(flow, lag) * HOUR;
  }
  // From the end backwards: a reading stands if it arrives before everything that left later.
  const kept: number[] = [];
  let next = Infinity;
  for (let i = n - 1; i >= 0; i--)
    if (at[i] < next) {
      kept.push(i);
      next = at[i];
    }
  kept.reverse();
  // Waiting for slow water is no gap, a pause of the gauge is one: it becomes a missing reading, and nothing else interrupts.
  const gaps = new Int32Array(n);
  for (let i = 1; i < n; i++)
    gaps[i] = gaps[i - 1] + (record.timesMs[i] - record.timesMs[i - 1] > record.maxGapMs ? 1 : 0);
  const timesMs: number[] = [];
  const values: number[] = [];
  kept.forEach((i, j) => {
    if (j > 0 && gaps[i] > gaps[kept[j - 1]]) {
      timesMs.push(0.5 * (at[kept[j - 1]] + at[i]));
      values.push(NaN);
    }
    timesMs.push(at[i]);
    values.push(e[i]);
  });
  return Object.freeze({
    ...record,
    timesMs: Float64Array.from(timesMs),
    values: Float64Array.from(values),
    maxGapMs: Infinity,
    zeroFlowStage: 0,
  });
}
