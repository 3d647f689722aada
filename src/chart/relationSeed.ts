import { splitSeed } from '../kernel/random.js';

/** Seed of all resampling in judging one run against one gauge: the same for the chart's summary and for the whole judgement, so that both say the same. */
export function relationSeed(seed: number, { run, gauge }: { readonly run: string; readonly gauge: string }): number {
  return splitSeed(seed, `${run}/${gauge}/trust`);
}
