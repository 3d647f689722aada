import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { Interpolation } from './interpolate.js';

const HOUR = 3_600_000;

/** dx/dt is the change of x over the last two hours: shorter spans are rounding noise, longer ones miss a flash rise. */
const SLOPE_HOURS = 2;

/** From when a record's readings are known, and how one is told between them. */
export interface KnownTimes {
  /** UTC ms (n). */
  readonly timesMs: Float64Array;
  readonly interpolation: Interpolation;
  /** dx/dt is the change of x over this many hours. */
  readonly slopeHours: number;
}

/**
 * A reading of a moment is known at that moment, and between two of them x is linear: at a lag equal to the lead this takes in a reading up
 * to one step (a quarter of an hour) too late, which is less than anybody's clock.
 *
 * A daily mean does not exist before its day is over. Told by interpolation between noons it would know up to a day and a half of the
 * future, so it counts from the end of its day (noon + 12 h) and stands until the next one: with lead H nothing later than H hours before
 * the visit enters, and the lag runs from the end of the day. Its slope is the change from the day before.
 */
export function knownTimes(record: GaugeRecord, interpolation: Interpolation = 'ln'): KnownTimes {
  if (!record.dayMeans) return { timesMs: record.timesMs, interpolation, slopeHours: SLOPE_HOURS };
  const slopeHours = Math.max(SLOPE_HOURS, record.stepMs > 0 ? record.stepMs / HOUR : 24);
  return { timesMs: record.timesMs.map((noon) => noon + 12 * HOUR), interpolation: 'previous', slopeHours };
}
