import type { RunChart } from '../../chart/types.js';

/** The name of a run's feature by its id; the id itself where the run has none of that id. */
export function featureName(run: RunChart, id: string): string {
  return run.features.find((feature) => feature.id === id)?.name ?? id;
}
