import type { LevelFit } from '../fit/types.js';
import { quantile } from '../kernel/quantile.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { floodHours } from './floodHours.js';

/** Whether it is open that the gauge leads, and by how many floods. */
export interface LagSign {
  /** 80 % interval of the lag where both signs are allowed, hours. */
  readonly lag80: readonly [number, number];
  readonly floodHours: number;
  /**
   * Width of that interval in flood lengths where it holds both signs; 0 where the sign is settled. Above 1 a flood at the gauge may be
   * paired with another one on the creek.
   */
  readonly openFloods: number;
}

/**
 * The sign of the lag by the fit that allows both. The fits that plan have lags from the lead on, so their intervals can't cross 0.
 *
 * @param anyLag fit with lags of both signs. @param options.record the gauge's record, for the usual length of a flood.
 * @returns null without draws, or where the record has fewer than two floods.
 */
export function lagSignOf(anyLag: LevelFit, { record }: { record: GaugeRecord }): LagSign | null {
  if (anyLag.draws.count === 0) return null;
  const low = quantile(anyLag.draws.lagHours, 0.1);
  const high = quantile(anyLag.draws.lagHours, 0.9);
  const length = floodHours(record);
  if (!(length > 0)) return null;
  return {
    lag80: [low, high] as const,
    floodHours: length,
    openFloods: low < 0 && high > 0 ? (high - low) / length : 0,
  };
}
