/**
 * The effective reading of an evenly spaced record after one linear reservoir of `storageHours`, written as plainly as it can be: the truth must not
 * lean on the code that it is going to judge.
 * 0: the reading. Positive: exponentially weighted mean of the past with that time constant, exact for straight lines between readings.
 * Negative: Q + |storage| · dQ/dt, the inflow of the gauge's own reservoir; the slope is a least-squares line over the last quarter of the storage (1 to
 * 3 h, at least two steps), the result at least a tenth of Q.
 * `values` are readings above zero flow; NaN is a gap, after which e is missing for three time constants.
 */
export function effectiveReading(
  values: Float64Array,
  { storageHours, stepHours }: { storageHours: number; stepHours: number },
): Float64Array {
  if (storageHours === 0) return values.slice();
  return storageHours > 0 ? slowed(values, storageHours / stepHours) : inflow(values, { storageHours, stepHours });
}

function slowed(values: Float64Array, storageSteps: number): Float64Array {
  const keep = Math.exp(-1 / storageSteps);
  const now = 1 - (1 - keep) * storageSteps;
  const before = (1 - keep) * storageSteps - keep;
  const out = new Float64Array(values.length).fill(NaN);
  let level = NaN;
  let since = 0;
  for (let i = 0; i < values.length; i++) {
    const known = !Number.isNaN(level) && !Number.isNaN(values[i]!);
    level = known ? keep * level + now * values[i]! + before * values[i - 1]! : values[i]!;
    since = known ? since + 1 : 0;
    if (since >= 3 * storageSteps) out[i] = level;
  }
  return out;
}

function inflow(
  values: Float64Array,
  { storageHours, stepHours }: { storageHours: number; stepHours: number },
): Float64Array {
  const window = Math.max(Math.min(Math.abs(storageHours) / 4, 3), 1, 2 * stepHours);
  const back = Math.floor(window / stepHours + 1e-9);
  const centre = back / 2;
  let spread = 0;
  for (let j = 0; j <= back; j++) spread += (j - centre) ** 2;
  const out = new Float64Array(values.length).fill(NaN);
  for (let i = back; i < values.length; i++) {
    let slope = 0;
    for (let j = 0; j <= back; j++) slope += ((j - centre) * values[i - back + j]!) / spread;
    const e = values[i]! - (storageHours * slope) / stepHours;
    out[i] = e < 0.1 * values[i]! ? 0.1 * values[i]! : e; // a NaN compares as false and stays
  }
  return out;
}
