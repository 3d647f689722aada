import type { GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { gaugesBestFirst, isUsable } from '../text/gaugesBestFirst.js';

/** A gauge that a card may be made of, with its ways of reading: the better first, one where both are the same sentence. */
export interface UsableGauge {
  readonly gauge: GaugeChart;
  readonly levels: readonly LevelChart[];
}

/** The gauges of a run that are a rough guide or better, best first. */
export function usableGauges(run: RunChart): readonly UsableGauge[] {
  return gaugesBestFirst(run)
    .filter(({ trust }) => isUsable(trust.grade))
    .map((gauge) => {
      const { effective, oneReading } = gauge;
      const same = effective !== undefined && oneReading?.howToRead === effective.howToRead;
      return { gauge, levels: [effective, same ? undefined : oneReading].filter((level) => level !== undefined) };
    })
    .filter(({ levels }) => levels.length > 0);
}
