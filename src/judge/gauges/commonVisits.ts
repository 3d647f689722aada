import { keepVisits } from '../../align/keepVisits.js';
import type { Aligned } from '../../align/types.js';
import type { GaugeAside, GaugeCandidate } from './types.js';

/** A candidate takes part when it finds a reading for at least this share of the visits that any candidate has. */
const LEAST_SHARE = 0.6;

export interface CommonVisits {
  readonly candidates: readonly GaugeCandidate[];
  readonly aside: readonly GaugeAside[];
  readonly visits: number;
  readonly floods: number;
}

/**
 * The candidates on the visits that all of them have, in floods that all of them share, so that their scores can be paired.
 *
 * A new flood begins at a visit where more than half of the candidates begin one. (Where any one begins one, ten gauges would cut every
 * flood to pieces; where all do, they would glue a season together.) A candidate whose record misses too many visits stands aside: it
 * would take the visits from all others.
 *
 * @param options.leastShare default 0.6 of the visits that any candidate has.
 * @returns candidates in the order given, each with the same visits and flood numbers; none where nothing is shared.
 */
export function commonVisits(
  candidates: readonly GaugeCandidate[],
  { leastShare = LEAST_SHARE }: { leastShare?: number } = {},
): CommonVisits {
  const known = new Set(candidates.flatMap((c) => c.aligned.visitIds));
  const enough = candidates.filter((c) => c.aligned.visitIds.length >= leastShare * known.size && known.size > 0);
  const aside = candidates
    .filter((c) => !enough.includes(c))
    .map(({ id, name, aligned }) => ({
      id,
      name,
      reason: `Its record covers ${aligned.visitIds.length} of ${known.size} visits, too few to be compared with the others.`,
    }));
  const shared = enough.reduce<ReadonlySet<string>>((left, { aligned }) => {
    const has = new Set(aligned.visitIds);
    return new Set([...left].filter((id) => has.has(id)));
  }, known);
  const cut = enough.map((c) => ({ ...c, aligned: keepVisits(c.aligned, ({ id }) => shared.has(id)) }));
  const flood = sharedFloods(cut.map((c) => c.aligned));
  return {
    candidates: cut.map((c) => ({ ...c, aligned: { ...c.aligned, flood } })),
    aside,
    visits: cut.length === 0 ? 0 : flood.length,
    floods: flood.length === 0 ? 0 : flood[flood.length - 1] + 1,
  };
}

/** Flood numbers by majority: visit i begins a flood where it does for more than half of the records. */
function sharedFloods(all: readonly Aligned[]): Int32Array {
  const n = all[0]?.visitIds.length ?? 0;
  const out = new Int32Array(n);
  for (let i = 1; i < n; i++) {
    let begins = 0;
    for (const { flood } of all) if (flood[i] !== flood[i - 1]) begins++;
    out[i] = out[i - 1] + (begins > all.length / 2 ? 1 : 0);
  }
  return out;
}
