import type { Creek } from '../series/creek.js';

/** Common practice: a rise travels down a small steep creek at a brisk walk; it matters little over a few kilometres. */
const DEFAULT_WAVE_SPEED_KM_H = 6;

/**
 * Hours after the put-in at which its water passes a place so many km down the run: km over the creek's wave speed (6 km/h where creek.json
 * says nothing). A lag at that place is longer than the run's lag, which is told at the put-in, by this much.
 */
export function waveHours({ waveSpeedKmH = DEFAULT_WAVE_SPEED_KM_H }: Pick<Creek, 'waveSpeedKmH'>, km: number): number {
  return km / waveSpeedKmH;
}
