import { travelTime, type TravelTimeRow } from './tracerTime.js';

/** A flood wave's speed over the water's in a wide channel (Manning): 5/3. See `kinematicCelerity`. */
export const WAVE_OVER_WATER = 5 / 3;

/** Share of the prior that knows nothing of distances. */
const OPEN_SHARE = 0.2;

/** sd of ln travel time at least: the report's regression scatters by more than that, creeks more than its rivers. */
const LEAST_SD = 0.5;

/** What is known of the way between gauge and creek. */
export interface Reach {
  readonly lengthKm: number;
  /** Does the gauge lie above the run (its water reaches the creek) or below? */
  readonly gaugeLies: 'upstream' | 'downstream';
  readonly areaKm2: number;
  readonly flowM3s: number;
  readonly meanFlowM3s?: number;
  /** m/m. */
  readonly slope?: number;
}

/** Hours that a tracer and a wave would take. */
export interface ReachTimes {
  readonly tracerFastest: number;
  readonly tracerProbable: number;
  readonly waveFastest: number;
  readonly waveProbable: number;
}

/**
 * Times through a reach: a tracer's peak by Jobson's regression and its envelope (the best-informed equation that the inputs allow), and a
 * wave's, 5/3 as fast. Source: H. E. Jobson, USGS WRIR 96-4013, 1996; the factor is that of a wide channel.
 * @throws RangeError as `travelTime`.
 */
export function reachTimes({ lengthKm, areaKm2, flowM3s, meanFlowM3s, slope }: Reach): ReachTimes {
  const { rows } = travelTime(lengthKm * 1000, {
    areaKm2,
    flowM3s,
    ...(meanFlowM3s !== undefined && { meanFlowM3s }),
    ...(slope !== undefined && { slope }),
  });
  const hoursOf = (estimate: TravelTimeRow['estimate']): number =>
    rows.find((row) => row.basis === rows[0].basis && row.estimate === estimate)!.peakHours;
  const tracerFastest = hoursOf('fastest');
  const tracerProbable = hoursOf('probable');
  return Object.freeze({
    tracerFastest,
    tracerProbable,
    waveFastest: tracerFastest / WAVE_OVER_WATER,
    waveProbable: tracerProbable / WAVE_OVER_WATER,
  });
}

/**
 * A prior over lags from the distance: 0.8 × lognormal around the wave's time (half way, in ln, between fastest and probable; its sd a
 * third of their ratio, at least 0.5) on the side of 0 where the gauge lies, + 0.2 × flat. Storage is left open: what a reservoir delays is
 * partly in the lag found, so this is a weak prior and meant to be.
 *
 * @param options.lagsHours, options.storagesHours the grid of the fit (an `Aligned` fits).
 * @returns ln prior, storage-major, its exponentials sum to 1.
 * @example fitLevels(aligned, { gridPrior: travelTimePrior(reach, aligned) })
 */
export function travelTimePrior(
  reach: Reach,
  { lagsHours, storagesHours }: { readonly lagsHours: ArrayLike<number>; readonly storagesHours: ArrayLike<number> },
): Float64Array {
  const { waveFastest, waveProbable } = reachTimes(reach);
  const sign = reach.gaugeLies === 'upstream' ? 1 : -1;
  const middle = 0.5 * (Math.log(waveFastest) + Math.log(waveProbable));
  const sd = Math.max(LEAST_SD, Math.log(waveProbable / waveFastest) / 3);
  const nL = lagsHours.length;
  const G = nL * storagesHours.length;
  const raw = Float64Array.from({ length: nL }, (_, l) => {
    const hours = sign * lagsHours[l];
    return hours > 0 ? Math.exp(-0.5 * ((Math.log(hours) - middle) / sd) ** 2) / hours : 0;
  });
  const sum = raw.reduce((a, b) => a + b, 0);
  return Float64Array.from({ length: G }, (_, g) => {
    const own = sum > 0 ? raw[g % nL] / sum : 1 / nL;
    return Math.log(((1 - OPEN_SHARE) * own) / storagesHours.length + OPEN_SHARE / G);
  });
}

const hours = (h: number): string => (h >= 10 ? String(Math.round(h)) : String(Math.round(h * 2) / 2));

/** How a lag stands to the times through a reach. */
export type LagAndDistance = 'goes' | 'other-sign' | 'too-long' | 'slower' | 'too-short';

/**
 * Whether a lag goes with the distance: it has the sign of the side on which the gauge lies, and its interval overlaps that of a wave's
 * travel time. `slower`: longer than a wave's, though not than a tracer's.
 *
 * @param options.lagHours 80 % interval of the lag found.
 * @example lagAndDistance(reach, { lagHours: [2, 4] }) // 'goes'
 */
export function lagAndDistance(reach: Reach, { lagHours }: { lagHours: readonly [number, number] }): LagAndDistance {
  const { tracerProbable, waveFastest, waveProbable } = reachTimes(reach);
  const [from, to] = reach.gaugeLies === 'upstream' ? lagHours : [-lagHours[1], -lagHours[0]];
  if (to < 0) return 'other-sign';
  if (from > tracerProbable) return 'too-long';
  if (from > waveProbable) return 'slower';
  return to < waveFastest ? 'too-short' : 'goes';
}

/**
 * The sanity line beside a lag: what a tracer would need, that a wave is faster, and whether the lag found goes with it.
 *
 * @param options.lagHours 80 % interval of the lag found; leave it out for the first half alone.
 * @example travelTimeSentence(reach, { lagHours: [2, 4] })
 */
export function travelTimeSentence(reach: Reach, { lagHours }: { lagHours?: readonly [number, number] } = {}): string {
  const t = reachTimes(reach);
  const span = (from: number, to: number): string =>
    hours(from) === hours(to) ? hours(to) : `${hours(from)} to ${hours(to)}`;
  const first =
    `Over ${hours(reach.lengthKm)} km a tracer would need ${span(t.tracerFastest, t.tracerProbable)} h; a ` +
    `wave is faster, about ${span(t.waveFastest, t.waveProbable)} h.`;
  if (lagHours === undefined) return first;
  switch (lagAndDistance(reach, { lagHours })) {
    case 'other-sign':
      return `${first} The lag found has the other sign: the gauge lies ${reach.gaugeLies}, so look at the clock and at what feeds it.`;
    case 'too-long':
      return `${first} The lag found is longer than even a tracer's: something stores water on the way, or the clock is off.`;
    case 'slower':
      return `${first} The lag found is longer than a wave's, though not than a tracer's: the two do not agree.`;
    case 'too-short':
      return `${first} The lag found is shorter than that: both may answer to the same rain rather than to each other's water.`;
    case 'goes':
      return `${first} The lag found goes with that.`;
  }
}
