import { M3_PER_FT3, type Published } from './gaugeFiles.js';
import { DERIVED_GAUGE } from './place.js';

/**
 * What the derived gauge reads, from the records as published, hour by hour: the larger river less the brook as it was a travel time before, in ft³/s. Written out
 * here because the truth must not lean on the code that it is going to judge. NaN where either has no reading.
 */
export function derivedGauge(records: readonly Published[]): Published {
  const [larger, brook] = DERIVED_GAUGE.of.map((id) => records.find((record) => record.id === id)!);
  const hours = DERIVED_GAUGE.travelHours[1];
  return {
    id: DERIVED_GAUGE.id,
    stepHours: 1,
    values: larger!.values.map((value, i) => value - (brook!.values[i - hours] ?? NaN) / M3_PER_FT3),
    zero: 0,
    files: [],
  };
}
