import type { RecordJump } from '../series/gaugeRecord.js';
import { figures } from '../series/format.js';
import type { Issue } from '../series/issue.js';
import type { Parameter } from '../series/units.js';
import { utc } from './cleanValues.js';
import { missingNumbers } from './missingNumbers.js';
import { recordJumps, type Readings } from './recordJumps.js';
import { recordSpikes } from './recordSpikes.js';
import { repeatedValues } from './repeatedValues.js';

/** Of a record with fewer readings nothing is said: what is usual in it cannot be known. */
const LEAST_READINGS = 50;
/** More lasting jumps than this are the way of a regulated water, not of its gauge. */
const MOST_JUMPS = 4;

/** What a record's own numbers say against some of them. */
export interface Plausible {
  /** Places of the readings that are not to be used. */
  readonly refused: readonly number[];
  readonly jumps: readonly RecordJump[];
  readonly issues: readonly (Omit<Issue, 'file' | 'row'> & { readonly at: number })[];
}

/**
 * Looks at a record for numbers that no gauge tells: those that stand for "no value", spikes, values that stand still, and jumps that
 * last. The first two are refused. Where the zero or the unit jumped, readings before and after are not those of one gauge; only what
 * follows the last jump is used, since that is what people read today: no chart at all is safer than one by numbers that have moved.
 * @param record times ascending; NaN where there is no reading.
 */
export function plausibleRecord({
  timesMs,
  values,
  parameter,
}: {
  readonly timesMs: Float64Array;
  readonly values: Float64Array;
  readonly parameter: Parameter;
}): Plausible {
  const issues: (Omit<Issue, 'file' | 'row'> & { at: number })[] = [];
  if (counted(values) < LEAST_READINGS) return { refused: [], jumps: [], issues };
  const refused = new Set<number>();
  const refuse = (at: number, found: string, hint: string): void => {
    refused.add(at);
    const expected = 'a reading that can be right';
    issues.push({ at, code: 'value-refused', severity: 'warning', found, expected, hint });
  };
  for (const at of missingNumbers(values))
    refuse(
      at,
      `${values[at]}`,
      'It looks like a number for "no value". If it is one, add it to missing of the gauge in creek.json.',
    );

  const usable = (v: number, i: number): boolean => v === v && !refused.has(i) && (parameter === 'stage' || v > 0);
  const withoutSpikes = readingsOf(usable);
  const before = refused.size;
  for (const k of recordSpikes(withoutSpikes.readings)) {
    const { values: seen } = withoutSpikes.readings;
    const neighbours = `between ${figures(seen[k - 1]!)} and ${figures(seen[k + 1]!)}`;
    refuse(
      withoutSpikes.places[k]!,
      `${figures(seen[k]!)} ${neighbours}`,
      'A spike that neither neighbour knows is not water.',
    );
  }
  const { readings, places } = refused.size > before ? readingsOf(usable) : withoutSpikes;
  for (const { from, to } of repeatedValues(readings))
    issues.push({
      at: places[from]!,
      code: 'values-repeat',
      severity: 'note',
      found: `${readings.values[from]} without a change from ${utc(readings.timesMs[from]!)} to ${utc(readings.timesMs[to]!)}`,
      expected: 'water that moves',
      hint: 'Ice, or a sensor that hangs? The readings are used; take them out of the file if they are wrong.',
    });
  const jumps = recordJumps(readings);
  const splits = jumps.length > 0 && jumps.length <= MOST_JUMPS;
  for (const { timeMs, before: from, after: to, factor } of jumps)
    issues.push({
      at: timesMs.indexOf(timeMs),
      code: 'record-jump',
      severity: 'note',
      found: `a jump from ${figures(from)} to ${figures(to)} at ${utc(timeMs)} that lasts`,
      expected: 'one unit and one zero',
      hint:
        (factor === undefined
          ? 'The zero of the gauge, or its place, seems to have moved. '
          : `About a factor of ${figures(factor)}: the unit seems to have changed. `) +
        (splits
          ? 'No reading before it is used. Bring the file to one unit and zero, or give each part its own gauge in creek.json.'
          : 'As it jumps often, all readings are used: look at the record.'),
    });
  const last = splits ? jumps[jumps.length - 1]!.timeMs : -Infinity;
  const early = splits
    ? Array.from(values.keys()).filter((i) => timesMs[i]! < last && values[i]! === values[i]! && !refused.has(i))
    : [];
  if (early.length > 0)
    issues.push({
      at: early[0]!,
      code: 'value-refused',
      severity: 'warning',
      count: early.length,
      found: `readings before the jump at ${utc(last)}`,
      expected: 'the unit and zero of today',
      hint: 'They cannot be used together with those after it.',
    });
  return { refused: [...refused, ...early], jumps, issues };

  function readingsOf(keeps: (value: number, i: number) => boolean): { places: Int32Array; readings: Readings } {
    // Loops over millions of readings: arrays of plain numbers would take five times the memory and the time.
    const all = new Int32Array(values.length);
    let count = 0;
    for (let i = 0; i < values.length; i++) if (keeps(values[i]!, i)) all[count++] = i;
    const places = all.subarray(0, count);
    const [times, kept] = [new Float64Array(count), new Float64Array(count)];
    for (let k = 0; k < count; k++) {
      times[k] = timesMs[places[k]!]!;
      kept[k] = values[places[k]!]!;
    }
    const level = parameter === 'discharge' ? kept.map(Math.log) : kept;
    return { places, readings: { parameter, timesMs: times, values: kept, level } };
  }
}

function counted(values: Float64Array): number {
  let count = 0;
  for (const value of values) if (value === value) count++;
  return count;
}
