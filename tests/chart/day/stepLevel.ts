import type { LevelChart } from '../../../src/chart/types.js';

/**
 * A chart whose odds are known by hand: low below 10, good from 10 to 20, high above, with straight odds of one unit's width around each edge; visits met 5
 * to 40.
 */
export function stepLevel(reading: Partial<LevelChart['reading']> = {}): LevelChart {
  const gaugeValues = [1, 9.5, 10.5, 19.5, 20.5, 60];
  const probability = [
    [1, 0, 0],
    [1, 0, 0],
    [0, 1, 0],
    [0, 1, 0],
    [0, 0, 1],
    [0, 0, 1],
  ];
  const edge = (between: readonly [string, string], median: number) => ({ feature: 'verdict', between, median });
  return {
    reading: { lagHours: 0, storageHours: 0, ...reading },
    odds: { classes: ['low', 'good', 'high'], gaugeValues, probability, low80: probability, high80: probability },
    edges: [edge(['low', 'good'], 10), edge(['good', 'high'], 20)],
    seen: { from: 5, to: 40 },
    limb: { kept: false, logBayesFactor: 0 },
  } as unknown as LevelChart;
}
