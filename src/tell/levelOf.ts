import { isUsableGrade } from '../judge/grade.js';
import type { CreekTrust, GaugeChart, Judgement, LevelChart, RunChart } from '../chart/types.js';

/**
 * The chart of a gauge; undefined where nothing could be fitted, or where the gauge does not tell the classes of the run apart: then no
 * output shows a number of it.
 */
export function levelOf({ trust, level }: GaugeChart): LevelChart | undefined {
  return trust.grade === 'no usable relation' ? undefined : level;
}

/** The gauge that a run is read by; undefined where none may be planned with. */
export function recommendedGauge({ gauges, recommended }: RunChart): GaugeChart | undefined {
  return gauges.find(({ gauge, trust }) => gauge.id === recommended && isUsableGrade(trust.grade));
}

/** The judgement of a run against a gauge, where there is one. */
export function judgementOf(trust: CreekTrust | undefined, run: string, gauge: string): Judgement | undefined {
  return trust?.runs.find(({ id }) => id === run)?.gauges.find((judged) => judged.gauge === gauge);
}

/** The name of a run's feature by its id; the id itself where the run has none of that id. */
export function featureName(run: Pick<RunChart, 'features'>, id: string): string {
  return run.features.find((feature) => feature.id === id)?.name ?? id;
}
