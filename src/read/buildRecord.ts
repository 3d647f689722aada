import type { Gauge } from '../series/creek.js';
import type { GaugeRecord, RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { cleanValues } from './cleanValues.js';
import { codeMeanings } from './codeMeanings.js';
import { datumBarriers } from './datumBarriers.js';
import { issueLog } from './issueLog.js';
import { plausibleRecord } from './plausibleRecord.js';
import { usualStepMs, widestGapMs } from './recordSpacing.js';
import { timeOrder } from './timeOrder.js';

/** The chosen series of one file of a gauge. */
export interface RecordPart {
  readonly file: string;
  readonly series: RawSeries;
}

export interface BuiltRecord {
  /** Undefined where there is no row at all. */
  readonly record: GaugeRecord | undefined;
  readonly issues: readonly Issue[];
  /** Rows that came in, and how many of them stand in the record as a number. */
  readonly rowsIn: number;
  readonly rowsUsed: number;
}

/**
 * One gauge's record from the series of its files: joined, put in time order, each time once, refused codes out. A reading that is
 * missing, unreadable,
 * refused or contradicted stays as NaN, so that nothing is interpolated across it. Readings of the same time that agree count once;
 * those that differ are
 * all refused. A discharge of zero or below stays and is noted. Where the datum of the gauge changed, a row without a reading is put
 * between the two
 * readings around it, so that nothing is interpolated across. What the record's own numbers say against some of them: `plausibleRecord`.
 *
 * Every row is accounted for: rowsIn = rowsUsed + the rows that the issues value-missing, value-unreadable, value-refused and
 * duplicate-time count.
 */
export function buildRecord(
  gauge: Gauge,
  parts: readonly RecordPart[],
  { zone = 'UTC' }: { zone?: string } = {},
): BuiltRecord {
  const log = issueLog();
  const rowsIn = parts.reduce((sum, part) => sum + part.series.timesMs.length, 0);
  if (rowsIn === 0) {
    log.add({
      code: 'not-a-time-series',
      severity: 'fatal',
      file: parts.map((part) => part.file).join(', '),
      found: 'no row with a time',
      expected: `readings of gauge '${gauge.id}'`,
      hint: 'Download the file again, or check format and columns in creek.json.',
    });
    return { record: undefined, issues: log.issues(), rowsIn, rowsUsed: 0 };
  }

  // The rows of all parts one after the other.
  const meaningOf = codeMeanings(gauge);
  const decimalMark = gauge.format === 'delimited' ? (gauge.decimalMark ?? '.') : undefined;
  const times = new Float64Array(rowsIn);
  const values = new Float64Array(rowsIn);
  const firsts: number[] = [];
  const codes = new Map<string, number>();
  let n = 0;
  for (const { file, series } of parts) {
    firsts.push(n);
    times.set(series.timesMs, n);
    values.set(cleanValues(file, series, meaningOf, { log, decimalMark }), n);
    for (let i = 0; i < series.codes.length; i++) codes.set(series.codes[i]!, (codes.get(series.codes[i]!) ?? 0) + 1);
    n += series.timesMs.length;
  }
  const order = timeOrder(times, parts, log);
  const at = (k: number) => (order === undefined ? k : order[k]!);

  const barriers = datumBarriers(gauge, parts, zone);
  barriers.issues.forEach(log.add);
  const outTimes = new Float64Array(rowsIn + barriers.timesMs.length);
  const outValues = new Float64Array(rowsIn + barriers.timesMs.length);
  const origin = new Int32Array(rowsIn + barriers.timesMs.length).fill(-1);
  const outDoubt = new Uint8Array(rowsIn + barriers.timesMs.length);
  let barrier = 0;
  const approval = { approved: 0, provisional: 0, unknown: 0 };
  let kept = 0;
  let rowsUsed = 0;
  for (let k = 0; k < rowsIn;) {
    const time = times[at(k)]!;
    let end = k + 1;
    while (end < rowsIn && times[at(end)] === time) end++;
    const reading = end === k + 1 ? at(k) : settleDuplicates(k, end);
    const value = reading < 0 ? NaN : values[reading]!;
    for (; barrier < barriers.timesMs.length && barriers.timesMs[barrier]! <= time; barrier++) {
      const before = kept > 0 ? outTimes[kept - 1]! : NaN;
      if (!(barriers.timesMs[barrier]! > before && time > before)) continue;
      outTimes[kept] = before + (time - before) / 2;
      outValues[kept++] = NaN;
    }
    outTimes[kept] = time;
    origin[kept] = Math.max(0, reading);
    outValues[kept++] = value;
    k = end;
    if (!(value === value)) continue;
    rowsUsed++;
    const p = partAt(reading);
    const { series } = parts[p]!;
    const meaning = meaningOf(series.codes[reading - firsts[p]!]!, series.tellsApproval === true);
    approval[meaning.approval]++;
    outDoubt[kept - 1] = meaning.estimated ? 2 : meaning.approval === 'provisional' ? 1 : 0;
    if (gauge.parameter === 'discharge' && value <= 0)
      log.add({
        code: 'not-positive',
        severity: 'note',
        ...placeOf(reading),
        found: 'a discharge of zero or below',
        expected: 'a discharge above 0',
        hint: 'It stays in the record and is left out of the fit, which is on a log scale.',
      });
  }

  const timesMs = outTimes.slice(0, kept);
  const ownValues = outValues.slice(0, kept);
  const { refused, jumps, issues: odd } = plausibleRecord({ timesMs, values: ownValues, parameter: gauge.parameter });
  for (const { at: place, ...issue } of odd) log.add({ ...issue, ...placeOf(origin[place]!) });
  for (const place of refused) ownValues[place] = NaN;
  rowsUsed -= refused.length;
  const stepMs = usualStepMs(timesMs);
  const record: GaugeRecord = Object.freeze({
    kind: 'gauge-record',
    gauge: gauge.id,
    name: gauge.name,
    parameter: gauge.parameter,
    unit: gauge.unit,
    timesMs,
    values: ownValues,
    stepMs,
    maxGapMs: widestGapMs(stepMs, gauge.maxGapHours),
    ...(gauge.zeroFlowStage !== undefined && { zeroFlowStage: gauge.zeroFlowStage }),
    ...(gauge.catchmentAreaKm2 !== undefined && { catchmentAreaKm2: gauge.catchmentAreaKm2 }),
    ...(gauge.distanceKm !== undefined && { distanceKm: gauge.distanceKm }),
    ...(parts.some(({ series }) => series.dayMeans) && { dayMeans: true }),
    ...(outDoubt.some((doubt) => doubt > 0) && { doubt: outDoubt.slice(0, kept) }),
    ...(jumps.length > 0 && { jumps: Object.freeze(jumps) }),
    approval: Object.freeze(approval),
    codes: Object.freeze(Object.fromEntries([...codes].sort(([a], [b]) => (a < b ? -1 : 1)))),
  });
  return { record, issues: log.issues(), rowsIn, rowsUsed };

  /** Index of the part that a row of the joined arrays comes from. */
  function partAt(joined: number): number {
    let p = firsts.length - 1;
    while (firsts[p]! > joined) p--;
    return p;
  }

  function placeOf(joined: number): Pick<Issue, 'file' | 'row'> {
    const p = partAt(joined);
    const row = parts[p]!.series.rows[joined - firsts[p]!]!;
    return row > 0 ? { file: parts[p]!.file, row } : { file: parts[p]!.file };
  }

  /**
   * The row that stands for the rows at(from..to) of one time; -1 where their readings contradict each other. Rows without a reading
   * are listed already.
   */
  function settleDuplicates(from: number, to: number): number {
    let first = -1;
    let differ = false;
    for (let k = from; k < to; k++) {
      const value = values[at(k)]!;
      if (!(value === value)) continue;
      if (first < 0) first = at(k);
      else if (value !== values[first]) differ = true;
    }
    if (first < 0) return at(from);
    const later = differ ? fetchedOf(from, to) : -1;
    if (later >= 0) first = later;
    for (let k = from; k < to; k++) {
      const joined = at(k);
      if (!(values[joined] === values[joined]) || ((!differ || later >= 0) && joined === first)) continue;
      log.add({
        code: 'duplicate-time',
        severity: differ && later < 0 ? 'warning' : 'note',
        ...placeOf(joined),
        found: differ ? 'another reading for the same time' : 'the same reading for the same time',
        expected: 'each time once',
        hint:
          later >= 0
            ? 'The fetched one is used: services revise their readings.'
            : differ
              ? 'None of the readings of that time is used. Remove the wrong one; if the file keeps local time, check timeZone.'
              : 'It is used once.',
      });
    }
    return differ && later < 0 ? -1 : first;
  }

  /** The only reading among the rows at(from..to) that stands in the fetched file; -1 where there is none or several. */
  function fetchedOf(from: number, to: number): number {
    const found: number[] = [];
    for (let k = from; k < to; k++)
      if (values[at(k)] === values[at(k)] && parts[partAt(at(k))]!.file === gauge.fetch?.file) found.push(at(k));
    return found.length === 1 ? found[0]! : -1;
  }
}
