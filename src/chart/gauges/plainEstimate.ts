import { finiteOrNull } from '../numbers.js';
import type { Estimate } from '../types.js';

/** An estimate whose bounds JSON can carry. */
export function plainEstimate({
  median,
  i80,
  i95,
}: {
  readonly median: number;
  readonly i80: readonly [number, number];
  readonly i95: readonly [number, number];
}): Estimate {
  const ends = ([low, high]: readonly [number, number]): Estimate['i80'] =>
    [finiteOrNull(low), finiteOrNull(high)] as const;
  return { median, i80: ends(i80), i95: ends(i95) };
}
