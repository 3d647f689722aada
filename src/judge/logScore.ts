import { splitSeed } from '../kernel/random.js';
import { floodRatios, floodSlots, sumByFlood, type Measured } from './floodRatios.js';
import { classFrequencies, seasonFrequencies } from './frequencies.js';
import type { LeftOut } from './leaveFloodOut.js';

/** Smaller odds of what was seen count as this: a finite number of draws can't state less, and one case must not be the whole score. */
export const SMALLEST_ODDS = 1e-4;

/** How surprised the odds were, in nats a verdict: lower is better. */
export interface LogScore {
  readonly kind: 'log-score';
  /** Mean -ln of the odds of what was seen. */
  readonly chart: Measured;
  /** The same for how often each class was logged in the other floods, and for the month. */
  readonly frequencies: Measured;
  readonly month: Measured;
  /** What the chart saves against each. */
  readonly gainOnFrequencies: Measured;
  readonly gainOnMonth: Measured;
  /** Verdicts whose odds were below 1e-4 and counted as that. */
  readonly raised: number;
}

/**
 * Logarithmic score of odds with floods left out. It looks only at the class seen, and unlike the ranked score it is hard on odds near 0.
 *
 * @param options.seed default 1.
 * @returns null values without cases.
 */
export function logScoreOf(left: LeftOut, { seed = 1 }: { seed?: number } = {}): LogScore {
  const { cases, probability, floods } = left;
  const K = cases.classes;
  const C = floods.length === 0 ? 0 : cases.visit.length;
  const slots = floodSlots(left).subarray(0, C);
  const surprise = (p: number) => -Math.log(Math.max(p, SMALLEST_ODDS));
  const ours = Float64Array.from({ length: C }, (_, c) => surprise(probability[c * K + cases.classIndex[c]]));
  const logged = Float64Array.from({ length: C }, (_, c) =>
    surprise(classFrequencies(cases, { exceptFlood: cases.flood[c] })[cases.classIndex[c]]),
  );
  const season = Float64Array.from({ length: C }, (_, c) => surprise(seasonFrequencies(cases, c)[cases.classIndex[c]]));
  const sum = (value: (c: number) => number) =>
    sumByFlood((c) => cases.weight[c] * value(c), { slots, floods: floods.length });
  const from = sum(() => 1);
  const [chart, frequencies, month, gainOnFrequencies, gainOnMonth] = floodRatios(
    [
      (c: number) => ours[c],
      (c: number) => logged[c],
      (c: number) => season[c],
      (c: number) => logged[c] - ours[c],
      (c: number) => season[c] - ours[c],
    ].map((value) => ({ of: sum(value), from })),
    { floods: floods.length, seed: splitSeed(seed, 'log score') },
  );
  let raised = 0;
  for (let c = 0; c < C; c++) if (probability[c * K + cases.classIndex[c]] < SMALLEST_ODDS) raised++;
  return {
    kind: 'log-score',
    chart,
    frequencies,
    month,
    gainOnFrequencies,
    gainOnMonth,
    raised,
  };
}
