import type { GaugeRecord } from '../series/gaugeRecord.js';
import { effectiveSeries } from './effectiveSeries.js';

const HOUR = 3_600_000;

/** After a gap the reservoir has forgotten all but e^-3 = 5 % of its unknown start. */
const TIME_CONSTANTS_TO_FORGET = 3;

/**
 * A record (n) after one linear reservoir of `storageHours` k, as water itself goes: dE/dt = (Q - E)/k, exact for Q straight between
 * readings. It explains a logger's levels; people are told `effectiveSeries`, which has the same mean age. For k ≤ 0 both are one.
 *
 * @returns E in the gauge's unit above zero flow; NaN until 3k hours after a missing reading or a gap wider than maxGap, and where not
 * positive.
 */
export function reservoirSeries(record: GaugeRecord, storageHours: number): Float64Array {
  if (!(storageHours > 0)) return effectiveSeries(record, storageHours);
  const { timesMs, maxGapMs } = record;
  const q = effectiveSeries(record, 0);
  const kMs = storageHours * HOUR;
  const out = new Float64Array(q.length);
  let e = NaN;
  let startedMs = 0;
  for (let i = 0; i < q.length; i++) {
    const dt = i > 0 ? timesMs[i] - timesMs[i - 1] : Infinity;
    if (!(q[i] === q[i])) e = NaN;
    else if (!(e === e) || dt > maxGapMs) {
      e = q[i];
      startedMs = timesMs[i];
    } else {
      const slopeTimesK = ((q[i] - q[i - 1]) / dt) * kMs;
      e = q[i] - slopeTimesK + (e - q[i - 1] + slopeTimesK) * Math.exp(-dt / kMs);
    }
    out[i] = timesMs[i] - startedMs >= TIME_CONSTANTS_TO_FORGET * kMs ? e : NaN;
  }
  return out;
}
