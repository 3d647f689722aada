import { alignVisits } from '../../src/align/alignVisits.js';
import { edges } from '../../src/chart/edges.js';
import { lagSummary, storageSummary } from '../../src/chart/lagSummary.js';
import type { Interval } from '../../src/chart/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { makeCreek, type World } from './makeCreek.js';

/** What one simulated creek says about the intervals: plain numbers, one line of the checkpoint file. */
export interface Outcome {
  readonly world: World;
  readonly visits: number;
  readonly seed: number;
  /** Of each verdict edge, lowest first. */
  readonly edges: readonly {
    readonly in80: boolean;
    readonly in95: boolean;
    /** ln of estimate over truth. */
    readonly error: number;
    /** ln width of the 80 % interval. */
    readonly width80: number;
    readonly seenBothSides: boolean;
  }[];
  readonly lag: { readonly in80: boolean; readonly in95: boolean; readonly error: number };
  readonly storage: { readonly in80: boolean; readonly in95: boolean };
  readonly mismatch: { readonly in80: boolean; readonly in95: boolean };
  readonly paretoK: number;
  readonly effectiveDraws: number;
}

/** Half the spacing of a grid: a true value between grid points counts as inside an interval that ends at its neighbour. */
const LAG_HALF_STEP = 0.25;

/** Makes a creek, fits it by the effective reading, and holds the intervals to the truth. */
export function fitCreek(
  world: World,
  { visits, seed, draws = 600 }: { visits: number; seed: number; draws?: number },
): Outcome {
  const made = makeCreek(world, { visits, seed });
  const { truth } = made;
  const aligned = alignVisits(made);
  const { effective: fit } = fitLevels(aligned, { seed, draws, modes: ['effective'] });
  const verdict = edges(fit, aligned).filter((e) => e.feature === 'verdict');
  const lag = lagSummary(fit);
  const storage = storageSummary(fit);
  const sorted = Float64Array.from(fit.draws.mismatch).sort();
  const at = (p: number): number => sorted[Math.round(p * (sorted.length - 1))];
  const gaps = [...storage.hours, Infinity];
  const reach = (value: number): number => {
    const i = storage.hours.findIndex((h) => h >= value - 1e-9);
    return i <= 0 ? 0 : storage.hours[i] === value ? 0 : gaps[i] - gaps[i - 1];
  };
  return {
    world,
    visits,
    seed,
    edges: verdict.map((e, k) => {
      const value = Math.exp(truth.edges[k]);
      return {
        in80: within(value, e.i80, 0),
        in95: within(value, e.i95, 0),
        error: Math.log(e.median) - truth.edges[k],
        width80: Math.log(e.i80[1]! / e.i80[0]!),
        seenBothSides: e.seenBothSides,
      };
    }),
    lag: {
      in80: within(truth.lagHours, lag.i80, LAG_HALF_STEP),
      in95: within(truth.lagHours, lag.i95, LAG_HALF_STEP),
      error: lag.medianHours - truth.lagHours,
    },
    storage: {
      in80: within(truth.storageHours, storage.i80, reach(truth.storageHours)),
      in95: within(truth.storageHours, storage.i95, reach(truth.storageHours)),
    },
    mismatch: {
      in80: truth.mismatch >= at(0.1) && truth.mismatch <= at(0.9),
      in95: truth.mismatch >= at(0.025) && truth.mismatch <= at(0.975),
    },
    paretoK: fit.diagnostics.paretoK,
    effectiveDraws: fit.diagnostics.effectiveDraws,
  };
}

function within(value: number, [from, to]: Interval, slack: number): boolean {
  return from !== null && to !== null && value >= from - slack && value <= to + slack;
}
