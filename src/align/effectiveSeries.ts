import type { GaugeRecord } from '../series/gaugeRecord.js';

const HOUR = 3_600_000;

/** After a gap the reservoir has forgotten all but e^-3 = 5 % of its unknown start. */
const TIME_CONSTANTS_TO_FORGET = 3;

/** The inflow estimate Q + |k|·dQ/dt is floored at this share of Q: a steep fall can't make a creek run backwards. */
const INFLOW_FLOOR = 0.1;

/** Slope window, hours, for inflow estimates: wide enough that coarse rounding of readings doesn't become noise. */
export function slopeWindowHours(storageHours: number, stepMs: number): number {
  return Math.max(Math.min(Math.abs(storageHours) / 4, 3), 1, (2 * stepMs) / HOUR);
}

/**
 * Effective reading e at every reading of a record, after one linear reservoir of `storageHours` k between gauge and creek.
 *
 * k = 0: e = Q. k > 0: the creek is the slower one; dE/dt = (Q - E)/k, exact for Q linear between readings. k < 0: the gauge is
 * the slower one; e = Q + |k|·dQ/dt, the inflow of the gauge's own reservoir, with the slope of a least-squares line over the
 * readings of a trailing window (one-sided: nothing later than the reading enters), floored at a tenth of Q.
 *
 * Here Q is reading - offset (zero-flow stage for a stage gauge where known, else 0). Missing readings (NaN) and gaps wider
 * than the record's maxGap interrupt e: it is NaN until 3k hours (k > 0) or one window (k < 0) have passed.
 *
 * @returns e for each reading (length n, gauge unit), NaN where interrupted or not positive.
 */
export function effectiveSeries(record: GaugeRecord, storageHours: number): Float64Array {
  const { timesMs, values, stepMs, maxGapMs } = record;
  const offset = record.zeroFlowStage ?? 0;
  const n = values.length;
  const out = new Float64Array(n);
  if (storageHours === 0) for (let i = 0; i < n; i++) out[i] = values[i] - offset;
  else if (storageHours > 0) store(out, timesMs, values, offset, storageHours * HOUR, maxGapMs);
  else unstore(out, timesMs, values, offset, -storageHours, slopeWindowHours(storageHours, stepMs), maxGapMs);
  for (let i = 0; i < n; i++) if (!(out[i] > 0)) out[i] = NaN;
  return out;
}

function store(
  out: Float64Array,
  timesMs: Float64Array,
  values: Float64Array,
  offset: number,
  kMs: number,
  maxGapMs: number,
): void {
  let e = NaN;
  let startedMs = 0;
  let q0 = NaN;
  for (let i = 0; i < values.length; i++) {
    const q1 = values[i] - offset;
    const dt = i > 0 ? timesMs[i] - timesMs[i - 1] : Infinity;
    if (!(q1 === q1)) {
      e = NaN;
    } else if (!(e === e) || dt > maxGapMs) {
      e = q1;
      startedMs = timesMs[i];
    } else {
      const decay = Math.exp(-dt / kMs);
      const slopeTimesK = ((q1 - q0) / dt) * kMs;
      e = q1 - slopeTimesK + (e - q0 + slopeTimesK) * decay;
    }
    q0 = q1;
    out[i] = timesMs[i] - startedMs >= TIME_CONSTANTS_TO_FORGET * kMs ? e : NaN;
  }
}

function unstore(
  out: Float64Array,
  timesMs: Float64Array,
  values: Float64Array,
  offset: number,
  kHours: number,
  windowHours: number,
  maxGapMs: number,
): void {
  // Running sums over the trailing window, in hours relative to the segment's start so that they stay small.
  let first = 0;
  let count = 0;
  let st = 0;
  let sq = 0;
  let stt = 0;
  let stq = 0;
  let originMs = timesMs.length > 0 ? timesMs[0] : 0;
  const restart = (i: number) => {
    first = i;
    count = st = sq = stt = stq = 0;
    originMs = timesMs[Math.min(i, timesMs.length - 1)];
  };
  for (let i = 0; i < values.length; i++) {
    const q = values[i] - offset;
    if (!(q === q)) {
      restart(i + 1);
      out[i] = NaN;
      continue;
    }
    if (i > 0 && timesMs[i] - timesMs[i - 1] > maxGapMs) restart(i);
    const t = (timesMs[i] - originMs) / HOUR;
    count++;
    st += t;
    sq += q;
    stt += t * t;
    stq += t * q;
    while (t - (timesMs[first] - originMs) / HOUR > windowHours + 1e-9) {
      const tf = (timesMs[first] - originMs) / HOUR;
      const qf = values[first] - offset;
      count--;
      st -= tf;
      sq -= qf;
      stt -= tf * tf;
      stq -= tf * qf;
      first++;
    }
    // Re-base every few hundred hours: differences of large sums would lose digits.
    if (t > 500) {
      const from = first;
      restart(from);
      for (let j = from; j <= i; j++) {
        const tj = (timesMs[j] - originMs) / HOUR;
        const qj = values[j] - offset;
        count++;
        st += tj;
        sq += qj;
        stt += tj * tj;
        stq += tj * qj;
      }
    }
    const full = count >= 2 && timesMs[i] - timesMs[first] >= 0.5 * windowHours * HOUR;
    const spread = stt - (st * st) / count;
    const slope = full && spread > 0 ? (stq - (st * sq) / count) / spread : NaN;
    out[i] = Math.max(q + kHours * slope, INFLOW_FLOOR * q);
  }
}
