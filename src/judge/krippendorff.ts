import { groupNumbers, resampleFloods } from './resampleFloods.js';
import type { Interval } from './types.js';

export type MeasurementLevel = 'nominal' | 'ordinal' | 'interval' | 'ratio';

/** Agreement of several observers over units. */
export interface KrippendorffAlpha {
  readonly kind: 'krippendorff-alpha';
  readonly level: MeasurementLevel;
  /** 1 perfect, 0 what chance gives, below 0 worse; null where nothing is pairable or all values are one. */
  readonly alpha: number | null;
  readonly i80: Interval;
  readonly observedDisagreement: number;
  readonly expectedDisagreement: number;
  /** Units with at least two values. */
  readonly units: number;
  /** Values in those units. */
  readonly pairable: number;
  /** o_ck over the distinct values, ascending: coincidences[c·V + k]; rows sum to how often a value occurs. */
  readonly values: readonly number[];
  readonly coincidences: Float64Array;
}

/**
 * Krippendorff's α: 1 - D_o/D_e, D_o = Σ o_ck δ²_ck/n, D_e = Σ n_c n_k δ²_ck/(n(n - 1)), with o_ck the coincidences (each unit of m values
 * gives every ordered pair 1/(m - 1)), n_c their row sums and n their total. δ²: nominal [c ≠ k]; ordinal (Σ_{g=c..k} n_g - (n_c +
 * n_k)/2)²; interval (c - k)²; ratio ((c - k)/(c + k))². Source: K. Krippendorff, "Computing Krippendorff's alpha-reliability", Univ. of
 * Pennsylvania (2011), asc_papers/43.
 *
 * Missing values (NaN) and units with fewer than two values drop out. The interval comes from resampling groups of units.
 *
 * @param units one array of values a unit, in any order.
 * @param options.level default 'ordinal'. For 'ratio' no value may be negative.
 * @param options.group group of each unit (same flood, same group); default each unit for itself.
 * @param options.seed default 1.
 * @param options.resamples default 2000.
 * @throws RangeError when group has another length than units, or for a negative value at level 'ratio'.
 * @example krippendorffAlpha([[1, 1], [2, 2], [3, 2]]).alpha
 */
export function krippendorffAlpha(
  units: readonly ArrayLike<number>[],
  {
    level = 'ordinal',
    group,
    seed = 1,
    resamples = 2000,
  }: { level?: MeasurementLevel; group?: ArrayLike<number>; seed?: number; resamples?: number } = {},
): KrippendorffAlpha {
  if (group !== undefined && group.length !== units.length)
    throw new RangeError(`krippendorffAlpha: group has ${group.length} entries for ${units.length} units`);
  const kept: Float64Array[] = [];
  const keptGroup: number[] = [];
  units.forEach((unit, u) => {
    const there = Float64Array.from(unit).filter((v) => v === v);
    if (there.length < 2) return;
    kept.push(there);
    keptGroup.push(group === undefined ? u : group[u]);
  });
  const values = [...new Set(kept.flatMap((unit) => [...unit]))].sort((a, b) => a - b);
  if (level === 'ratio' && values[0] < 0)
    throw new RangeError(`krippendorffAlpha: a ratio scale has no negative values, got ${values[0]}`);
  const place = new Map(values.map((v, at) => [v, at]));
  const coded = kept.map((unit) => Int32Array.from(unit, (v) => place.get(v)!));
  const { group: groupOf, groups } = groupNumbers(keptGroup);
  const times = new Float64Array(coded.length).fill(1);
  const whole = disagreement(coded, { times, values, level });
  const [i80] = resampleFloods(
    groups,
    (picked) => {
      for (let u = 0; u < times.length; u++) times[u] = picked[groupOf[u]];
      const { observed, expected } = disagreement(coded, { times, values, level });
      return [expected > 0 ? 1 - observed / expected : NaN];
    },
    { seed, resamples },
  );
  return {
    kind: 'krippendorff-alpha',
    level,
    alpha: whole.expected > 0 ? 1 - whole.observed / whole.expected : null,
    i80,
    observedDisagreement: whole.observed,
    expectedDisagreement: whole.expected,
    units: coded.length,
    pairable: coded.reduce((sum, unit) => sum + unit.length, 0),
    values: values,
    coincidences: coincidences(coded, values.length),
  };
}

function coincidences(units: readonly Int32Array[], V: number): Float64Array {
  const o = new Float64Array(V * V);
  for (const unit of units)
    for (let a = 0; a < unit.length; a++)
      for (let b = 0; b < unit.length; b++) if (a !== b) o[unit[a] * V + unit[b]] += 1 / (unit.length - 1);
  return o;
}

/** D_o and D_e of units that stand `times` times each. */
function disagreement(
  units: readonly Int32Array[],
  { times, values, level }: { times: Float64Array; values: readonly number[]; level: MeasurementLevel },
): { observed: number; expected: number } {
  const V = values.length;
  const count = new Float64Array(V);
  let n = 0;
  for (let u = 0; u < units.length; u++)
    for (const v of units[u]) {
      count[v] += times[u];
      n += times[u];
    }
  const below = new Float64Array(V);
  for (let v = 1; v < V; v++) below[v] = below[v - 1] + count[v - 1];
  const apart = (c: number, k: number): number => {
    if (c === k) return 0;
    if (level === 'nominal') return 1;
    if (level === 'interval') return (values[c] - values[k]) ** 2;
    if (level === 'ratio') return ((values[c] - values[k]) / (values[c] + values[k])) ** 2;
    const [low, high] = c < k ? [c, k] : [k, c];
    return (below[high] + count[high] / 2 - below[low] - count[low] / 2) ** 2;
  };
  let observed = 0;
  for (let u = 0; u < units.length; u++) {
    if (times[u] === 0) continue;
    const unit = units[u];
    let sum = 0;
    for (let a = 1; a < unit.length; a++) for (let b = 0; b < a; b++) sum += apart(unit[a], unit[b]);
    observed += (times[u] * 2 * sum) / (unit.length - 1);
  }
  let expected = 0;
  for (let c = 1; c < V; c++) for (let k = 0; k < c; k++) expected += 2 * count[c] * count[k] * apart(c, k);
  return { observed: observed / n, expected: expected / (n * (n - 1)) };
}
