import { HOUR, localMoment, RECORD_START, STANDARD_OFFSET } from './clock.js';
import type { Published } from './gaugeFiles.js';
import { randomStream } from './random.js';

/** A spring of mornings, each with a forecast of three days in steps of six hours. */
const FROM = '2024-03-01T06:00';
const DAYS = 92;
const REACH_HOURS = 72;
const STEP_HOURS = 6;
/** Error of a forecast (ln units): its sd grows with the root of the lead, to this much after a day. */
const SD_OF_A_DAY = 0.16;

/**
 * Forecasts of an invented office, right on average: what its gauge then showed, off by an error that grows as the forecast looks further
 * ahead. Where the gauge was silent there is no value.
 */
export function officeForecasts({ values, stepHours }: Published, { seed }: { seed: number }): string {
  const random = randomStream(seed, 'forecasts');
  const first = localMoment(FROM);
  const rows = Array.from({ length: DAYS }, (_, day) => first + day * 24 * HOUR).flatMap((issuedMs) => {
    let error = 0;
    return Array.from({ length: REACH_HOURS / STEP_HOURS }, (_, i) => {
      error += SD_OF_A_DAY * Math.sqrt(STEP_HOURS / 24) * random.normal();
      const timeMs = issuedMs + (i + 1) * STEP_HOURS * HOUR;
      const value = values[Math.round((timeMs - RECORD_START) / (stepHours * HOUR))]! * Math.exp(error);
      return value > 0 ? [`${iso(issuedMs)},${iso(timeMs)},${value.toFixed(2)}`] : [];
    }).flat();
  });
  return `issued,time,value\n${rows.join('\n')}\n`;
}

/** In the office's own clock, which knows no summer time. */
function iso(timeMs: number): string {
  const text = new Date(timeMs + STANDARD_OFFSET * HOUR).toISOString().slice(0, 16);
  return `${text}-0${-STANDARD_OFFSET}:00`;
}
