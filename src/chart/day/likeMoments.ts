import type { ReadingSeries } from './readingSeries.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const YEAR = 365.2425 * DAY;

/** The change over this many hours tells rising from falling water. */
const LIMB_HOURS = 3;
/** Distances at which a moment counts as one step away: in x, in its change, in days of the year. */
const STEP = { x: 0.15, change: 0.1, days: 45 };
/** Moments of one flood tell one story: those taken lie at least so far apart. */
const APART_MS = 24 * HOUR;
/** Moments taken at most, and at least for anything to be said. */
const MOST = 60;
export const FEWEST_LIKE = 12;
/** Moments this many steps away or more are not like this one. */
const FARTHEST = 3;

/** A past moment like the present one. */
export interface LikeMoment {
  readonly timeMs: number;
  readonly x: number;
  /** Steps away: in the reading, its change over three hours, and the time of the year. */
  readonly distance: number;
}

/**
 * Past moments like a given one, nearest first: the same reading, rising or falling as fast, at about the same time of the year.
 *
 * @param options.nowMs the moment, with a reading. @param options.leave moments to be passed over (another year's test); the days around
 * `nowMs` always are.
 * @returns at most 60, a day or more apart; empty where the moment has no reading.
 */
export function likeMoments(
  { timesMs, x, at }: ReadingSeries,
  { nowMs, leave = () => false }: { nowMs: number; leave?: (timeMs: number) => boolean },
): readonly LikeMoment[] {
  const x0 = at(nowMs);
  const change0 = x0 - at(nowMs - LIMB_HOURS * HOUR);
  if (!(x0 === x0)) return [];
  const found: LikeMoment[] = [];
  let lastMs = -Infinity;
  for (let i = 0; i < x.length; i++) {
    const timeMs = timesMs[i];
    // A finer record has no other moments, only more of them.
    if (timeMs - lastMs < 0.99 * HOUR) continue;
    lastMs = timeMs;
    const steps = (x[i] - x0) / STEP.x;
    if (!(Math.abs(steps) < FARTHEST) || Math.abs(timeMs - nowMs) < 3 * DAY || leave(timeMs)) continue;
    const change = x[i] - at(timeMs - LIMB_HOURS * HOUR);
    const bend = change0 === change0 && change === change ? (change - change0) / STEP.change : 1;
    const phase = Math.abs((timeMs - nowMs) / YEAR) % 1;
    const season = (Math.min(phase, 1 - phase) * 365.2425) / STEP.days;
    const distance = Math.hypot(steps, bend, season);
    if (distance < FARTHEST) found.push({ timeMs, x: x[i], distance });
  }
  found.sort((a, b) => a.distance - b.distance);
  const taken: LikeMoment[] = [];
  for (const moment of found) {
    if (taken.length === MOST) break;
    if (taken.every(({ timeMs }) => Math.abs(timeMs - moment.timeMs) >= APART_MS)) taken.push(moment);
  }
  return taken;
}
