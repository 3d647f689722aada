import type { Random } from '../../src/kernel/random.js';
import { HOUR, HOURS, START } from './rainRecord.js';
import { pick } from './trueCreek.js';

/** When a party was there, how well it knows that, and who was in it. */
export interface PlannedVisit {
  /** As logged, UTC ms. */
  readonly timeMs: number;
  readonly giveOrTakeMin: number;
  /** Anywhere in the window, evenly. */
  readonly trueMs: number;
  /** One or two observers, by number. */
  readonly party: readonly number[];
}

/**
 * Daylight visits at least six hours apart, the likelier the higher the water that people wish for: at the 60 % point of all water every second
 * chance is taken, a ln unit below it one in thirteen.
 *
 * @param options.wish ln of the water at a time.
 */
export function planVisits(
  random: Random,
  { count, observers, wish }: { count: number; observers: number; wish: (timeMs: number) => number },
): readonly PlannedVisit[] {
  const probe = Array.from({ length: 400 }, () => wish(START + (400 + random.integer(HOURS - 500)) * HOUR)).sort(
    (a, b) => a - b,
  );
  const usual = probe[Math.floor(0.6 * probe.length)];
  const chosen: number[] = [];
  while (chosen.length < count) {
    // From day 17 on every reservoir has forgotten its start; the last five days leave room for lags.
    const hour = 24 * (17 + random.integer(HOURS / 24 - 22)) + 8 + 10 * random.uniform();
    const timeMs = START + Math.round(hour * 60) * 60_000;
    if (random.uniform() > 1 / (1 + Math.exp(-2.5 * (wish(timeMs) - usual)))) continue;
    if (chosen.every((other) => Math.abs(other - timeMs) >= 6 * HOUR)) chosen.push(timeMs);
  }
  chosen.sort((a, b) => a - b);
  return chosen.map((timeMs) => {
    const giveOrTakeMin = pick(random, [0, 0, 0, 15, 60, 180]);
    const first = random.integer(observers);
    const second = random.integer(observers);
    return {
      timeMs,
      giveOrTakeMin,
      trueMs: timeMs + giveOrTakeMin * 60_000 * (2 * random.uniform() - 1),
      party: random.uniform() < 0.2 && second !== first ? [first, second] : [first],
    };
  });
}
