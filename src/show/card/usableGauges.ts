import type { GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { gaugesBestFirst, isUsable } from '../text/gaugesBestFirst.js';

/** A gauge that a card may be made of. */
export interface UsableGauge {
  readonly gauge: GaugeChart;
  readonly level: LevelChart;
}

/** The gauges of a run that are a rough guide or better, best first. */
export function usableGauges(run: RunChart): readonly UsableGauge[] {
  return gaugesBestFirst(run).flatMap((gauge) =>
    gauge.level !== undefined && isUsable(gauge.trust.grade) ? [{ gauge, level: gauge.level }] : [],
  );
}
