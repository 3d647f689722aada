import type { GaugeRecord } from '../series/gaugeRecord.js';

const HOUR = 3_600_000;

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
 * Hours of the mean that a storage of k hours asks for, k > 0. Half of the weight on the reading and half on a mean of W hours have a mean
 * age of W/4, and exponential weights of time constant k one of k: equal ages give W = 4k.
 */
export function meanWindowHours(storageHours: number): number {
  return 4 * storageHours;
}

/**
 * Effective reading e at every reading of a record: what a person works out who follows the chart, for `storageHours` k between gauge and
 * creek.
 *
 * k = 0: e = Q. k > 0: the creek is the slower one; e is half way between Q and its mean over the last 4k hours, with Q
 * straight between readings. k < 0: the gauge is the slower one; e = Q + |k|·dQ/dt, with the slope of a least-squares line over the
 * readings of a trailing window (one-sided: nothing later than the reading enters), floored at a tenth of Q. Both are what one linear
 * reservoir does, in the form that people can follow.
 *
 * Here Q is reading - offset (zero-flow stage for a stage gauge where known, else 0). Missing readings (NaN) and gaps wider
 * than the record's maxGap interrupt e: it is NaN until 4k hours (k > 0) or half a window (k < 0) have passed.
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

/** Half way between q (n) and its mean over the last 4k hours, q straight between readings; NaN until so many hours are unbroken. */
function store({ timesMs, maxGapMs }: GaugeRecord, q: Float64Array, kHours: number): Float64Array {
  const windowMs = meanWindowHours(kHours) * HOUR;
  const out = new Float64Array(q.length).fill(NaN);
  // Integral of q from the start of its unbroken stretch.
  const area = new Float64Array(q.length);
  let start = 0;
  let from = 0;
  for (let i = 0; i < q.length; i++) {
    if (i === 0 || !(q[i - 1] === q[i - 1]) || !(q[i] === q[i]) || timesMs[i] - timesMs[i - 1] > maxGapMs) {
      start = i;
      from = i;
      continue;
    }
    area[i] = area[i - 1] + 0.5 * (q[i - 1] + q[i]) * (timesMs[i] - timesMs[i - 1]);
    const sinceMs = timesMs[i] - windowMs;
    if (sinceMs < timesMs[start]) continue;
    while (timesMs[from + 1] <= sinceMs) from++;
    const part = (sinceMs - timesMs[from]) / (timesMs[from + 1] - timesMs[from]);
    const edge = q[from] + part * (q[from + 1] - q[from]);
    const before = area[from] + 0.5 * (q[from] + edge) * (sinceMs - timesMs[from]);
    out[i] = 0.5 * q[i] + (0.5 * (area[i] - before)) / windowMs;
  }
  return out;
}

/**
 * The inflow of the reservoir whose outflow is q (n). Every window is summed by itself: running sums lose digits, and windows are short.
 */
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
