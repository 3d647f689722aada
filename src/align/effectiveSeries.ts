import type { GaugeRecord } from '../series/gaugeRecord.js';

const HOUR = 3_600_000;

/** After a gap the reservoir has forgotten all but e^-3 = 5 % of its unknown start. */
const TIME_CONSTANTS_TO_FORGET = 3;

/**
 * Inflow of a reservoir from its outflow Q: Q + k·dQ/dt, floored at a tenth of Q, because a steep fall can't make a creek run backwards.
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 * @param q above the stage of no flow. @param change of q in an hour. @param hours k > 0.
 */
export function inflow(q: number, change: number, hours: number): number {
  return Math.max(q + hours * change, 0.1 * q);
}

/**
 * Slope window, hours: the last hour, or one step of a slower record. People follow the chart as "plus 10 times its change in the last
 * hour", so that is what is fitted; a wider window smooths more but answers to another sentence.
 */
export function slopeWindowHours(stepMs: number): number {
  return Math.max(1, stepMs / HOUR);
}

/**
 * Effective reading e at every reading of a record, after one linear reservoir of `storageHours` k between gauge and creek.
 *
 * k = 0: e = Q. k > 0: the creek is the slower one; dE/dt = (Q - E)/k, exact for Q linear between readings. k < 0: the gauge is
 * the slower one; e = Q + |k|·dQ/dt, the inflow of the gauge's own reservoir, with the slope of a least-squares line over the
 * readings of a trailing window (one-sided: nothing later than the reading enters), floored at a tenth of Q.
 *
 * Here Q is reading - offset (zero-flow stage for a stage gauge where known, else 0). Missing readings (NaN) and gaps wider
 * than the record's maxGap interrupt e: it is NaN until 3k hours (k > 0) or half a window (k < 0) have passed.
 *
 * @returns e for each reading (length n, gauge unit), NaN where interrupted or not positive.
 */
export function effectiveSeries(record: GaugeRecord, storageHours: number): Float64Array {
  const offset = record.zeroFlowStage ?? 0;
  const q = record.values.map((v) => v - offset);
  const out =
    storageHours === 0 ? q : storageHours > 0 ? store(record, q, storageHours) : unstore(record, q, -storageHours);
  for (let i = 0; i < out.length; i++) if (!(out[i] > 0)) out[i] = NaN;
  return out;
}

/** The mean of the reservoir's inflow q (n), weighted exponentially: a linear piece of q decays towards itself exactly. */
function store({ timesMs, maxGapMs }: GaugeRecord, q: Float64Array, kHours: number): Float64Array {
  const kMs = kHours * HOUR;
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

/** The inflow of the reservoir whose outflow is q (n). Every window is summed by itself: running sums lose digits, and windows are short. */
function unstore({ timesMs, stepMs, maxGapMs }: GaugeRecord, q: Float64Array, kHours: number): Float64Array {
  const windowHours = slopeWindowHours(stepMs);
  const windowMs = windowHours * HOUR + 1;
  const halfMs = 0.5 * windowHours * HOUR;
  const out = new Float64Array(q.length);
  let barrier = 0;
  let first = 0;
  for (let i = 0; i < q.length; i++) {
    if (!(q[i] === q[i])) barrier = i + 1;
    else if (i > 0 && timesMs[i] - timesMs[i - 1] > maxGapMs) barrier = i;
    first = Math.max(first, barrier);
    // A window thinned by late readings reaches back to one that is half a window old: two readings close together are no slope.
    while (first < i && timesMs[i] - timesMs[first] > windowMs && timesMs[i] - timesMs[first + 1] >= halfMs) first++;
    if (first >= i || timesMs[i] - timesMs[first] < halfMs) {
      out[i] = NaN;
      continue;
    }
    const count = i - first + 1;
    let st = 0;
    let sq = 0;
    let stt = 0;
    let stq = 0;
    for (let j = first; j <= i; j++) {
      const t = (timesMs[j] - timesMs[i]) / HOUR;
      const d = q[j] - q[i];
      st += t;
      sq += d;
      stt += t * t;
      stq += t * d;
    }
    const slope = (stq - (st * sq) / count) / (stt - (st * st) / count);
    out[i] = inflow(q[i], slope, kHours);
  }
  return out;
}
