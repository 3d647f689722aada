import { Temporal } from 'temporal-polyfill';

export const HOUR = 3_600_000;
export const MINUTE = 60_000;
/** The inner time step: everything that flows is computed every quarter of an hour. */
export const STEP = 15 * MINUTE;

/** The zone of the sample's clock. Only a technical name: the creek lies nowhere. */
export const ZONE = 'America/Denver';
/** Its offset in winter, hours. Nature keeps this time all year: the sun knows no daylight saving. */
export const STANDARD_OFFSET = -7;

const at = (text: string): number => Temporal.PlainDateTime.from(text).toZonedDateTime(ZONE).epochMilliseconds;

/** The weather starts half a year before the record, so that soil and stores forget how they were filled. */
export const WORLD_START = at('2022-07-01T00:00');
export const RECORD_START = at('2023-01-01T00:00');
export const RECORD_END = at('2025-01-01T00:00');
/** Visits stop here; the rest of the record is held back to score a chart on days it never saw. */
export const VISITS_END = at('2024-09-15T00:00');
export const STEPS = Math.round((RECORD_END - WORLD_START) / STEP);

const transitions: { readonly fromMs: number; readonly offsetHours: number }[] = [];
for (
  let moment: Temporal.ZonedDateTime | null =
    Temporal.Instant.fromEpochMilliseconds(WORLD_START).toZonedDateTimeISO(ZONE);
  moment !== null && moment.epochMilliseconds < RECORD_END;
  moment = moment.getTimeZoneTransition('next')
)
  transitions.push({ fromMs: moment.epochMilliseconds, offsetHours: moment.offsetNanoseconds / 3.6e12 });

/** Offset of the local clock from UTC at a moment, hours. */
export function localOffset(timeMs: number): number {
  let offset = transitions[0]!.offsetHours;
  for (const change of transitions) if (timeMs >= change.fromMs) offset = change.offsetHours;
  return offset;
}

/** A moment as the local clock shows it. */
export interface LocalParts {
  readonly year: number;
  /** 1 to 12. */
  readonly month: number;
  readonly day: number;
  /** Hour of the day with its fraction. */
  readonly hour: number;
  /** 0 is Sunday. */
  readonly weekday: number;
  /** `2023-11-05T01:30`. */
  readonly text: string;
}

export function localParts(timeMs: number, offsetHours = localOffset(timeMs)): LocalParts {
  const shown = new Date(timeMs + offsetHours * HOUR);
  return {
    year: shown.getUTCFullYear(),
    month: shown.getUTCMonth() + 1,
    day: shown.getUTCDate(),
    hour: shown.getUTCHours() + shown.getUTCMinutes() / 60,
    weekday: shown.getUTCDay(),
    text: shown.toISOString().slice(0, 16),
  };
}

/** The moment of a local clock time such as `2023-11-05T01:30` (in the doubled hour of autumn: the first of the two). */
export function localMoment(text: string): number {
  return at(text);
}

/** Day of the year as a fraction of 365.25 days, 0 at the start of January, by the sun's time. */
export function yearFraction(timeMs: number): number {
  const year = new Date(timeMs + STANDARD_OFFSET * HOUR).getUTCFullYear();
  return (timeMs + STANDARD_OFFSET * HOUR - Date.UTC(year, 0, 1)) / (365.25 * 24 * HOUR);
}

/** Hour of the day by the sun's time. */
export function solarHour(timeMs: number): number {
  return (((timeMs / HOUR + STANDARD_OFFSET) % 24) + 24) % 24;
}
