import type { RecordJump } from '../series/gaugeRecord.js';
import type { Parameter } from '../series/units.js';

const DAY_MS = 86_400_000;

/** Units mixed up, and places of the decimal mark: cubic feet and metres and litres; feet, metres and centimetres. */
const FACTORS: Readonly<Record<Parameter, readonly number[]>> = {
  discharge: [1000, 100, 35.3147, 28.3168, 10],
  stage: [1000, 100, 30.48, 10, 3.28084],
};
/** How near the ratio of two readings comes to one of them, as a share. */
const NEAR = 0.05;
/**
 * Readings on either side are compared over this long; a side with less than the second, or with fewer readings, says nothing of what
 * lasts.
 */
const WINDOW_MS = 10 * DAY_MS;
const LEAST_MS = 3 * DAY_MS;
const LEAST_READINGS = 8;
/** Share of a side's readings that have to lie on their own side of the middle of the jump. */
const APART = 0.98;
/** Longest gap in which a jump is one. Over a winter the water itself changes that much. */
const GAP_MS = DAY_MS;
/**
 * Share of a jump by a large known factor by which the middles of both sides have to differ: floods before or after it hide less of that.
 */
const MIDDLES = 0.6;
/** Factors that are large: a flood seldom brings as much, and never for days. */
const LARGE = 9;
/**
 * Times the step that is seldom exceeded, up and down apart: water rises suddenly and falls slowly. The first is enough where the ratio is
 * that of two units.
 */
const NAMED = 1;
const OUTLYING = 2.5;
/** The usual fall is taken for no less than this share of the usual rise: a record may hold no fall at all. */
const LEAST_FALL = 0.1;

/** Readings without gaps: times, readings, and what is compared: ln of a discharge, a stage as it is. */
export interface Readings {
  readonly parameter: Parameter;
  readonly timesMs: Float64Array;
  readonly values: Float64Array;
  readonly level: Float64Array;
}

/**
 * Changes from one reading to the next that last: of units in the middle of a file, or of the gauge's zero. A jump is larger than nearly
 * all of the record's other steps, and for ten days to either side the readings keep to their own side of its middle: a flood rises less
 * suddenly, or goes by. In time order.
 */
export function recordJumps(readings: Readings): readonly RecordJump[] {
  const { parameter, timesMs, values, level } = readings;
  const steps = level.slice(1).map((y, i) => y - level[i]!);
  const usualRise = seldomExceeded(steps);
  const usualFall = Math.max(seldomExceeded(steps.map((step) => -step)), LEAST_FALL * usualRise);
  const jumps: RecordJump[] = [];
  for (let i = 1; i < level.length; i++) {
    const step = steps[i - 1]!;
    const times = step > 0 ? step / usualRise : -step / usualFall;
    if (!(times > NAMED) || timesMs[i]! - timesMs[i - 1]! > GAP_MS) continue;
    const ratio = values[i]! / values[i - 1]!;
    const factor = FACTORS[parameter].flatMap((f) => [f, 1 / f]).find((f) => Math.abs(ratio / f - 1) <= NEAR);
    const large = factor !== undefined && Math.max(factor, 1 / factor) > LARGE;
    if ((factor === undefined && !(times > OUTLYING)) || !lasts(readings, i, large)) continue;
    const jump = { timeMs: timesMs[i]!, before: values[i - 1]!, after: values[i]! };
    jumps.push(Object.freeze(factor === undefined ? jump : { ...jump, factor }));
  }
  return jumps;
}

/** The change from one reading to the next that one in a thousand, and five at least, exceed. */
export function usualStep(level: Float64Array): number {
  return seldomExceeded(level.slice(1).map((y, i) => Math.abs(y - level[i]!)));
}

/** The value that one in a thousand, and five at least, exceed; NaN where there are no more. */
export function seldomExceeded(values: Float64Array): number {
  return values.toSorted()[values.length - 1 - Math.max(5, Math.floor(values.length / 1000))] ?? NaN;
}

function lasts({ timesMs, level }: Readings, i: number, large: boolean): boolean {
  const jump = level[i]! - level[i - 1]!;
  const middle = level[i - 1]! + 0.5 * jump;
  const side = (from: number, step: 1 | -1): Float64Array => {
    let k = from;
    while (k >= 0 && k < level.length && Math.abs(timesMs[k]! - timesMs[from]!) <= WINDOW_MS) k += step;
    const long = Math.abs(timesMs[k - step]! - timesMs[from]!) >= LEAST_MS;
    return long ? level.slice(Math.min(from, k + 1), Math.max(from + 1, k)).sort() : new Float64Array(0);
  };
  const [before, after] = [side(i - 1, -1), side(i, 1)];
  if (before.length < LEAST_READINGS || after.length < LEAST_READINGS) return false;
  const half = (sorted: Float64Array): number => sorted[sorted.length >> 1]!;
  if (large && (half(after) - half(before)) / jump >= MIDDLES) return true;
  const own = (list: Float64Array, above: boolean): boolean =>
    list.filter((y) => y > middle === above).length >= APART * list.length;
  return own(before, jump < 0) && own(after, jump > 0);
}
