import { createRandom, splitSeed, type Random } from '../../kernel/random.js';
import { ranks } from '../../kernel/ranks.js';
import type { HourlyReadings } from './hourlyReadings.js';

const HOUR = 3_600_000;

/** Lags tried, hours: as far apart as the first look need be, and a little before zero for creeks that lead. */
export const SCREEN_LAGS: readonly number[] = [-6, -3, 0, 3, 6, 9, 12, 18, 24];
/** Visits this near to one another saw one flood, or one spell of dry weather, and count as one look. */
const APART_MS = 3 * 24 * HOUR;
/** Fewer looks than this tell nothing. */
export const FEWEST_LOOKS = 8;
/** Permutations end when so many were as good, or when none but a few of so many were. */
const HITS = 12;
const MOST = 50_000;

/** The verdicts of a run, with their times, ascending. */
export interface Verdicts {
  readonly timesMs: readonly number[];
  readonly classIndex: readonly number[];
}

/** What a first look says of one gauge. */
export interface PairScore {
  /** Looks (visits of one spell of weather together) with a reading. */
  readonly looks: number;
  /** Rank correlation of class and reading without the season, at the best lag; NaN with too few looks or without spread. */
  readonly rho: number;
  readonly lagHours: number;
  /** Odds of such a correlation at the best of the lags, were looks and readings paired by chance; 1 where nothing can be told. */
  readonly p: number;
}

/**
 * A cheap look at whether a gauge says anything of a run: the rank correlation of verdict and reading at the best of a few lags, without
 * the season, with a permutation test that shuffles whole looks and takes the best lag each time.
 *
 * A reading is what it differs by from the gauge's usual one on that day of the year, so that a season that run and gauge share is no
 * relation; what is left of it in the ranks is taken out of both as in a partial correlation. Visits less than three days apart are one
 * look, by their means: floods, and not visits, are what chance deals out. The p-value is the sequential one of Besag and Clifford:
 * permutations stop at 12 that are as good, so that hopeless gauges cost a few dozen. Weather that lasts longer than a look makes it a
 * little too small.
 *
 * @source J. Besag and P. Clifford, "Sequential Monte Carlo p-values", Biometrika 78 (1991) 301.
 * @param options.seed of the permutations, with the label of the pair: every pair has its own.
 * @example screenPair(verdicts, hourlyReadings(record), { seed: 1, label: 'main weir' }).p
 */
export function screenPair(
  verdicts: Verdicts,
  readings: HourlyReadings,
  { seed, label }: { seed: number; label: string },
): PairScore {
  const looks = looksOf(verdicts).flatMap((visits) => {
    const at = (of: (timeMs: number) => number) => mean(visits.map((v) => of(verdicts.timesMs[v]!)));
    const xs = SCREEN_LAGS.map((lag) =>
      at((timeMs) => readings.at(timeMs - lag * HOUR) - readings.usualAt(timeMs - lag * HOUR)),
    );
    const look = { seen: mean(visits.map((v) => verdicts.classIndex[v]!)), usual: at(readings.usualAt), xs };
    return [look.usual, ...xs].every((x) => x === x) ? [look] : [];
  });
  const nothing = { looks: looks.length, rho: NaN, lagHours: NaN, p: 1 };
  if (looks.length < FEWEST_LOOKS) return nothing;
  const season = centred(ranks(looks.map(({ usual }) => usual)));
  const seen = unit(without(centred(ranks(looks.map((look) => look.seen))), season));
  const gauge = SCREEN_LAGS.map((_, l) => unit(without(centred(ranks(looks.map(({ xs }) => xs[l]!))), season)));
  const best = bestOf(seen, gauge);
  if (!(best.rho === best.rho)) return nothing;
  const p = permuted({ seen, gauge, least: best.rho }, createRandom(splitSeed(seed, label)));
  return { looks: looks.length, rho: best.rho, lagHours: SCREEN_LAGS[best.at]!, p };
}

/** Visits of each look. */
function looksOf({ timesMs }: Verdicts): readonly (readonly number[])[] {
  const looks: number[][] = [];
  timesMs.forEach((timeMs, v) => {
    const last = looks.at(-1);
    if (last !== undefined && timeMs - timesMs[last.at(-1)!]! < APART_MS) last.push(v);
    else looks.push([v]);
  });
  return looks;
}

function bestOf(seen: Float64Array, gauge: readonly Float64Array[]): { readonly rho: number; readonly at: number } {
  let best = { rho: NaN, at: 0 };
  gauge.forEach((x, at) => {
    const rho = dot(seen, x);
    if (rho === rho && !(rho <= best.rho)) best = { rho, at };
  });
  return best;
}

/** Share of shuffled pairings whose best lag is as good: h of L at the stop, or one more than were met of all and one. */
function permuted(
  { seen, gauge, least }: { seen: Float64Array; gauge: readonly Float64Array[]; least: number },
  random: Random,
): number {
  const shuffled = seen.slice();
  let hits = 0;
  for (let tried = 1; tried <= MOST; tried++) {
    for (let i = shuffled.length - 1; i > 0; i--) {
      const j = random.integer(i + 1);
      [shuffled[i], shuffled[j]] = [shuffled[j]!, shuffled[i]!];
    }
    if (gauge.some((x) => dot(shuffled, x) >= least - 1e-12)) hits++;
    if (hits === HITS) return hits / tried;
  }
  return (hits + 1) / (MOST + 1);
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

function centred(values: Float64Array): Float64Array {
  const middle = mean([...values]);
  return values.map((value) => value - middle);
}

/** Residual of a centred series on another one. */
function without(values: Float64Array, base: Float64Array): Float64Array {
  const size = dot(base, base);
  const slope = size > 0 ? dot(values, base) / size : 0;
  return values.map((value, i) => value - slope * base[i]!);
}

/** Of length one; NaN without spread. */
function unit(values: Float64Array): Float64Array {
  const length = Math.sqrt(dot(values, values));
  return values.map((value) => (length > 1e-9 ? value / length : NaN));
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
