import type { LeftOut } from '../../src/judge/leaveFloodOut.js';
import { DAY } from './syntheticRelation.js';

/** One verdict: the odds stated, the class seen, its flood. */
export interface SyntheticCase {
  readonly odds: readonly number[];
  readonly saw: number;
  readonly flood: number;
  readonly weight?: number;
}

/** Odds with floods left out, as given. Cases must be in the order of their floods. */
export function syntheticLeftOut(rows: readonly SyntheticCase[], classes = 3): LeftOut {
  const floods = [...new Set(rows.map((r) => r.flood))];
  return {
    kind: 'left-out',
    cases: {
      classes,
      visit: Int32Array.from(rows, (_, c) => c),
      sighting: Int32Array.from(rows, (_, c) => c),
      classIndex: Int32Array.from(rows, (r) => r.saw),
      flood: Int32Array.from(rows, (r) => r.flood),
      timeMs: Float64Array.from(rows, (_, c) => c * 10 * DAY),
      weight: Float64Array.from(rows, (r) => r.weight ?? 1),
      floods: floods.length,
    },
    probability: Float64Array.from(rows.flatMap((r) => [...r.odds])),
    unmatchedShare: 0,
    floods: floods.map((flood) => ({ flood, visits: rows.filter((r) => r.flood === flood).length, paretoK: 0.1 })),
    worstParetoK: 0.1,
    undependableShare: 0,
  };
}
