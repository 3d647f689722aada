/** Share still waiting after each time at which an event happened (m), with Greenwood's variance. */
export interface Survival {
  readonly times: Float64Array;
  readonly share: Float64Array;
  /** Greenwood: S² Σ d/(n (n - d)). */
  readonly variance: Float64Array;
}

/**
 * Kaplan–Meier estimate from waiting times of which some ended before the event (Kaplan & Meier, J. Amer. Statist. Assoc. 53, 1958).
 *
 * At one time events come before what is cut off there, as in R's survival.
 * @param times waiting times (n), ≥ 0. @param event 1 where the event was met, 0 where the waiting was cut off (n).
 */
export function kaplanMeier(times: Float64Array, event: Uint8Array): Survival {
  const order = Array.from(times.keys()).sort((a, b) => times[a] - times[b]);
  const at: number[] = [];
  const share: number[] = [];
  const variance: number[] = [];
  let left = times.length;
  let alive = 1;
  let sum = 0;
  for (let i = 0; i < order.length;) {
    const t = times[order[i]];
    let events = 0;
    let gone = 0;
    for (; i < order.length && times[order[i]] === t; i++, gone++) events += event[order[i]];
    if (events > 0) {
      alive *= 1 - events / left;
      sum += events / (left * (left - events));
      at.push(t);
      share.push(alive);
      variance.push(alive > 0 ? alive * alive * sum : 0);
    }
    left -= gone;
  }
  return { times: Float64Array.from(at), share: Float64Array.from(share), variance: Float64Array.from(variance) };
}

/** Share still waiting at a time: 1 before the first event. */
export function survivalAt({ times, share }: Survival, time: number): number {
  let at = 1;
  for (let i = 0; i < times.length && times[i] <= time; i++) at = share[i];
  return at;
}
