import type { Gauge } from '../series/creek.js';
import type { GaugeRecord, RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { issueLog, type IssueLog } from './issueLog.js';
import { usualStepMs, widestGapMs } from './recordSpacing.js';
import { codeParts, refusedCodes } from './refusedCodes.js';

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
 * One gauge's record from the series of its files: joined, put in time order, each time once, refused codes out. A reading that is missing, unreadable,
 * refused or contradicted stays as NaN, so that nothing is interpolated across it. Readings of the same time that agree count once; those
 * that differ are all refused. Every row that is no number in the record is in `issues`: rowsIn = rowsUsed + the rows listed as value-missing, value-unreadable,
 * value-refused and duplicate-time. A discharge of zero or below stays and is noted.
 */
export function buildRecord(gauge: Gauge, parts: readonly RecordPart[]): BuiltRecord {
  const log = issueLog();
  const rowsIn = parts.reduce((sum, part) => sum + part.series.timesMs.length, 0);
  if (rowsIn === 0) {
    const files = parts.map((part) => part.file).join(', ');
    log.add({
      code: 'not-a-time-series',
      severity: 'fatal',
      file: files || gauge.id,
      found: 'no row with a time',
      expected: 'readings',
      hint: 'Download the file again.',
    });
    return { record: undefined, issues: log.issues(), rowsIn, rowsUsed: 0 };
  }

  // All rows of all parts in one set of arrays; NaN for what is no reading, and said so.
  const times = new Float64Array(rowsIn);
  const values = new Float64Array(rowsIn);
  const partOf = new Uint8Array(rowsIn);
  const rowOf = new Int32Array(rowsIn);
  const codes: Record<string, number> = Object.create(null) as Record<string, number>;
  const refused = refusedCodes(gauge);
  let n = 0;
  for (let p = 0; p < parts.length; p++) {
    const { file, series } = parts[p]!;
    for (let i = 0; i < series.timesMs.length; i++, n++) {
      const code = series.codes[i]!;
      codes[code] = (codes[code] ?? 0) + 1;
      times[n] = series.timesMs[i]!;
      values[n] = series.values[i]!;
      partOf[n] = p;
      rowOf[n] = series.rows[i]!;
      const refusal = code === '' ? undefined : refused(code);
      if (refusal === undefined && values[n] === values[n]) continue;
      listValue(log, file, series, i, refusal);
      values[n] = NaN;
    }
  }
  const approvals = new Float64Array(rowsIn).fill(0);
  n = 0;
  for (const { series } of parts)
    for (let i = 0; i < series.timesMs.length; i++)
      approvals[n++] = series.tellsApproval === true ? approvalOf(series.codes[i]!) : 0;

  const order = timeOrder(times, parts, partOf, log);
  const at = (k: number) => (order === undefined ? k : order[k]!);
  const issueAt = (i: number): Pick<Issue, 'file' | 'row'> => ({
    file: parts[partOf[i]!]!.file,
    ...(rowOf[i]! > 0 && { row: rowOf[i]! }),
  });

  const outTimes = new Float64Array(rowsIn);
  const outValues = new Float64Array(rowsIn);
  const approval = { approved: 0, provisional: 0, unknown: 0 };
  let kept = 0;
  let rowsUsed = 0;
  for (let k = 0; k < rowsIn;) {
    const time = times[at(k)]!;
    let end = k + 1;
    while (end < rowsIn && times[at(end)] === time) end++;
    const reading = end === k + 1 ? at(k) : settleDuplicates(k, end);
    outTimes[kept] = time;
    outValues[kept] = reading < 0 ? NaN : values[reading]!;
    if (outValues[kept] === outValues[kept]) {
      rowsUsed++;
      const state = approvals[reading];
      if (state === 1) approval.approved++;
      else if (state === 2) approval.provisional++;
      else approval.unknown++;
      if (gauge.parameter === 'discharge' && outValues[kept]! <= 0)
        log.add({
          code: 'not-positive',
          severity: 'note',
          ...issueAt(reading),
          found: 'a discharge of zero or below',
          expected: 'a discharge above 0',
          hint: 'It stays in the record and is left out of the fit, which is on a log scale.',
        });
    }
    kept++;
    k = end;
  }

  const timesMs = outTimes.slice(0, kept);
  const stepMs = usualStepMs(timesMs);
  const record: GaugeRecord = Object.freeze({
    kind: 'gauge-record',
    gauge: gauge.id,
    name: gauge.name,
    parameter: gauge.parameter,
    unit: gauge.unit,
    timesMs,
    values: outValues.slice(0, kept),
    stepMs,
    maxGapMs: widestGapMs(stepMs, gauge.maxGapHours),
    ...(gauge.zeroFlowStage !== undefined && { zeroFlowStage: gauge.zeroFlowStage }),
    ...(gauge.catchmentAreaKm2 !== undefined && { catchmentAreaKm2: gauge.catchmentAreaKm2 }),
    ...(gauge.distanceKm !== undefined && { distanceKm: gauge.distanceKm }),
    approval: Object.freeze(approval),
    codes: Object.freeze({ ...codes }),
  });
  return { record, issues: log.issues(), rowsIn, rowsUsed };

  /** The row that stands for rows order[from, to) of one time; -1 where they contradict each other. Rows without a reading have been listed. */
  function settleDuplicates(from: number, to: number): number {
    let first = -1;
    let differ = false;
    for (let k = from; k < to; k++) {
      const i = at(k);
      if (!(values[i] === values[i])) continue;
      if (first < 0) first = i;
      else if (values[i] !== values[first]) differ = true;
    }
    if (first < 0) return at(from);
    for (let k = from; k < to; k++) {
      const i = at(k);
      if (!(values[i] === values[i]) || (!differ && i === first)) continue;
      log.add({
        code: 'duplicate-time',
        severity: differ ? 'warning' : 'note',
        ...issueAt(i),
        found: differ ? 'another reading for the same time' : 'the same reading for the same time',
        expected: 'each time once',
        hint: differ
          ? 'None of the readings of that time is used. Remove the wrong one; if the file keeps local time, check timeZone.'
          : 'It is used once.',
      });
    }
    return differ ? -1 : first;
  }
}

/** Says why row i of a series is no reading: its code is refused, its cell is no number, or it is empty. */
function listValue(log: IssueLog, file: string, series: RawSeries, i: number, refusal: string | undefined): void {
  const row = series.rows[i]! > 0 ? { row: series.rows[i]! } : {};
  const column = series.column === undefined ? {} : { column: series.column };
  const cell = series.unreadable?.get(i);
  if (refusal !== undefined)
    log.add({
      code: 'value-refused',
      severity: 'warning',
      file,
      ...row,
      ...column,
      found: `a reading with code '${series.codes[i]}'`,
      expected: 'a reading that can be used',
      hint: refusal,
    });
  else if (cell !== undefined)
    log.add({
      code: 'value-unreadable',
      severity: 'warning',
      file,
      ...row,
      ...column,
      found: `'${cell}'`,
      expected: 'a number',
      hint: 'If this text means "no value", add it to missing of the gauge in creek.json; check decimalMark too.',
    });
  else {
    const code = series.codes[i]!;
    log.add({
      code: 'value-missing',
      severity: 'warning',
      file,
      ...row,
      ...column,
      found: code === '' ? 'no value' : `no value, code '${code}'`,
      expected: 'a reading',
    });
  }
}

/** 1 approved, 2 provisional, 0 not told. */
function approvalOf(code: string): number {
  const parts = codeParts(code);
  return parts.includes('A') ? 1 : parts.includes('P') ? 2 : 0;
}

/**
 * Row indices in time order (equal times in the order they came), or undefined where the rows are in order already. Files that are out of order within
 * themselves are noted; files that merely follow each other in another order are not.
 */
function timeOrder(
  times: Float64Array,
  parts: readonly RecordPart[],
  partOf: Uint8Array,
  log: IssueLog,
): Int32Array | undefined {
  let sorted = true;
  const steppedBack = new Map<number, { row: number; count: number }>();
  for (let i = 1; i < times.length; i++) {
    if (times[i]! >= times[i - 1]!) continue;
    sorted = false;
    const p = partOf[i]!;
    if (p !== partOf[i - 1]) continue;
    const seen = steppedBack.get(p);
    if (seen === undefined) {
      const { series } = parts[p]!;
      const first = partOf.indexOf(p);
      steppedBack.set(p, { row: series.rows[i - first]!, count: 1 });
    } else seen.count++;
  }
  for (const [p, { row, count }] of steppedBack)
    log.add({
      code: 'unsorted',
      severity: 'note',
      file: parts[p]!.file,
      ...(row > 0 && { row }),
      found: `a row earlier than the one before it${count > 1 ? `, and ${count - 1} more of them` : ''}`,
      expected: 'rows in time order',
      hint: 'They are put in order.',
    });
  if (sorted) return undefined;
  const order = Int32Array.from(times.keys());
  return order.sort((a, b) => times[a]! - times[b]! || a - b);
}
