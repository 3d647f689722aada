import type { DerivedGauge } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { convertUnit, type GaugeUnit } from '../series/units.js';
import { usualStepMs } from './recordSpacing.js';

const HOUR_MS = 3_600_000;

/**
 * A discharge record computed from others, on the clock of the first gauge of `of`:
 *
 *     sum          Q(t) = Q₁(t) + Σ Qⱼ(t − τⱼ)
 *     difference   Q(t) = Q₁(t) − Σ Qⱼ(t − τⱼ)      the branch that has no gauge, where the first stands below the confluence
 *     area-scaled  Q(t) = Q₁(t − τ₁) · A / A₁
 *     mean         Q(t) = Π Qⱼ(t − τⱼ)^wⱼ           weights wⱼ that sum to 1
 *
 * τⱼ is the travel time from gauge j to the first, hours (positive: j lies upstream). Readings are linear in time between neighbours and
 * never taken across a missing reading or a gap wider than the record bridges; there the derived value is NaN. A difference of zero or
 * below stays and is noted: it says that the travel time or a gauge is off. In more than half of the readings it is a warning: then a unit
 * or the order of the gauges is. Units are converted to the first gauge's.
 *
 * @returns no record (and a fatal issue) where a gauge of `of` could not be read
 * @throws RangeError when an area to scale by is missing (a validated creek.json has both)
 */
export function deriveRecord(
  derived: DerivedGauge,
  records: readonly GaugeRecord[],
  { file = 'creek.json' }: { file?: string } = {},
): { readonly record: GaugeRecord | undefined; readonly issues: readonly Issue[] } {
  const sources = derived.of.map((id) => records.find((record) => record.gauge === id));
  const absent = derived.of.find((_, j) => sources[j] === undefined);
  const place = { file, column: `derivedGauges '${derived.id}'` };
  if (absent !== undefined)
    return {
      record: undefined,
      issues: [
        {
          code: 'series-missing',
          severity: 'fatal',
          ...place,
          found: `no record of gauge '${absent}'`,
          expected: 'a record of every gauge it is made of',
        },
      ],
    };
  const all = sources as GaugeRecord[];
  const first = all[0]!;
  const otherKind = all.find((record) => !record.dayMeans !== !first.dayMeans);
  if (otherKind !== undefined)
    return {
      record: undefined,
      issues: [
        {
          code: 'series-ambiguous',
          severity: 'fatal',
          ...place,
          found: `daily values of one of '${first.gauge}' and '${otherKind.gauge}', and readings of moments of the other`,
          expected: 'one kind in all gauges it is made of',
          hint: 'A daily value is known only when its day is over. Download the same kind for each.',
        },
      ],
    };
  const travelMs = derived.of.map((_, j) => (derived.travelHours?.[j] ?? 0) * HOUR_MS);
  const scaled = derived.kind === 'area-scaled';
  const timesMs = scaled ? first.timesMs.map((time) => time + travelMs[0]!) : first.timesMs;
  if (scaled && !(derived.catchmentAreaKm2! > 0 && first.catchmentAreaKm2! > 0))
    throw new RangeError(
      `deriveRecord: '${derived.id}' is scaled by area and needs catchmentAreaKm2 of both gauges, above 0`,
    );
  const factor = scaled ? derived.catchmentAreaKm2! / first.catchmentAreaKm2! : 1;
  const mean = derived.kind === 'mean';
  const values = first.values.map((value) => (mean ? value ** derived.weights![0]! : value * factor));
  for (let j = 1; j < all.length; j++) {
    const other = aligned(timesMs, all[j]!, { travelMs: travelMs[j]!, unit: first.unit });
    const weight = mean ? derived.weights![j]! : derived.kind === 'sum' ? 1 : -1;
    for (let i = 0; i < values.length; i++)
      values[i] = mean ? values[i]! * other[i]! ** weight : values[i]! + weight * other[i]!;
  }

  let lost = 0;
  let low = 0;
  let firstLow = NaN;
  for (let i = 0; i < values.length; i++) {
    if (!(values[i] === values[i]) && first.values[i] === first.values[i]) lost++;
    if (values[i]! <= 0) {
      if (low === 0) firstLow = timesMs[i]!;
      low++;
    }
  }
  const issues: Issue[] = [];
  if (lost > 0)
    issues.push({
      code: 'value-missing',
      severity: 'note',
      ...place,
      found: `readings of '${first.gauge}' with none of the others near enough`,
      expected: 'readings of all',
      count: lost,
    });
  const readings = values.reduce((count, value) => (value === value ? count + 1 : count), 0);
  if (low > 0) {
    const since = `first at ${new Date(firstLow).toISOString().slice(0, 16)}Z`;
    const mostly = low * 2 > readings;
    issues.push({
      code: 'not-positive',
      severity: mostly ? 'warning' : 'note',
      ...place,
      found: mostly
        ? `a derived discharge of zero or below in ${low} of ${readings} readings, ${since}`
        : `a derived discharge of zero or below, ${since}`,
      expected: 'a discharge above 0',
      hint: mostly
        ? likelyCause(derived, all)
        : 'It stays in the record and is left out of the fit. Check travelHours and the gauges: more water seems to ' +
          'come from one branch than passes below.',
      count: low,
    });
  }
  const record: GaugeRecord = Object.freeze({
    kind: 'gauge-record',
    gauge: derived.id,
    name: derived.name,
    parameter: 'discharge',
    unit: first.unit,
    timesMs,
    values,
    stepMs: usualStepMs(timesMs),
    maxGapMs: first.maxGapMs,
    ...(derived.catchmentAreaKm2 !== undefined && { catchmentAreaKm2: derived.catchmentAreaKm2 }),
    ...(first.dayMeans && { dayMeans: true }),
    ...(all.some(({ jumps }) => jumps !== undefined) && {
      jumps: Object.freeze(all.flatMap(({ jumps = [] }) => jumps)),
    }),
    approval: Object.freeze(approvalOf(all, readings)),
    codes: Object.freeze({}),
  });
  return { record, issues };
}

/** Why most of a derived record is at zero or below, and what to do. */
function likelyCause({ kind, of }: DerivedGauge, sources: readonly GaugeRecord[]): string {
  const units = sources.map(({ gauge, unit }) => `'${gauge}' in ${unit}`).join(', ');
  if (kind !== 'difference')
    return `Its gauges are at zero or below themselves (${units}): check their files and columns.`;
  return (
    `Likely the unit of one of its gauges is wrong (${units}), or the order of of: '${of[0]}' must be the gauge below the confluence, ` +
    'the others the branches above it. Correct creek.json; as it is, these readings are left out of the fit.'
  );
}

/** The record's readings at timesMs[i] − travel, in this unit; NaN where it has nothing there. One pass over both. */
function aligned(
  timesMs: Float64Array,
  record: GaugeRecord,
  { travelMs, unit }: { travelMs: number; unit: GaugeUnit },
): Float64Array {
  const factor = convertUnit(1, record.unit, unit);
  const { timesMs: t, values: q, maxGapMs } = record;
  let k = 0;
  return timesMs.map((at) => {
    const time = at - travelMs;
    while (k + 1 < t.length && t[k + 1]! <= time) k++;
    if (t[k] === time) return factor * q[k]!;
    const within = t[k]! < time && k + 1 < t.length && t[k + 1]! - t[k]! <= maxGapMs;
    return within ? factor * (q[k]! + ((q[k + 1]! - q[k]!) * (time - t[k]!)) / (t[k + 1]! - t[k]!)) : NaN;
  });
}

/**
 * A derived reading is as approved as the worst of its parts. The codes of single rows are not carried this far, so the parts' shares stand
 * for them, as if no two bad ones fell on the same hour.
 */
function approvalOf(sources: readonly GaugeRecord[], readings: number): GaugeRecord['approval'] {
  const shares = (state: 'provisional' | 'unknown'): number =>
    sources.reduce((sum, { approval }) => {
      const all = approval.approved + approval.provisional + approval.unknown;
      return sum + (all > 0 ? approval[state] / all : 0);
    }, 0);
  const provisional = Math.round(readings * Math.min(1, shares('provisional')));
  const unknown = Math.min(readings - provisional, Math.round(readings * Math.min(1, shares('unknown'))));
  return { approved: readings - provisional - unknown, provisional, unknown };
}
