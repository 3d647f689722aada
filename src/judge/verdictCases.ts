import type { Aligned } from '../align/types.js';
import { VERDICT } from '../series/visits.js';

/** The verdicts that can be scored, one case a verdict sighting (C of them), in time order of the visits. */
export interface VerdictCases {
  readonly classes: number;
  readonly visit: Int32Array;
  readonly sighting: Int32Array;
  readonly classIndex: Int32Array;
  readonly flood: Int32Array;
  readonly timeMs: Float64Array;
  /** 1 over the number of verdicts of the visit: two people of one party are one piece of evidence. */
  readonly weight: Float64Array;
  /** Number of floods that hold a case. */
  readonly floods: number;
}

/** Collects the verdict sightings of the aligned visits. Empty where nobody gave one. */
export function verdictCases(aligned: Aligned): VerdictCases {
  const feature = aligned.features.findIndex((f) => f.id === VERDICT);
  const visit: number[] = [];
  const sighting: number[] = [];
  const weight: number[] = [];
  for (let i = 0; i < aligned.visitIds.length; i++) {
    const rows: number[] = [];
    for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++)
      if (aligned.sightingFeature[j] === feature && aligned.sightingClass[j] >= 0) rows.push(j);
    for (const j of rows) {
      visit.push(i);
      sighting.push(j);
      weight.push(1 / rows.length);
    }
  }
  const flood = Int32Array.from(visit, (i) => aligned.flood[i]);
  return {
    classes: feature < 0 ? 0 : aligned.features[feature].classes.length,
    visit: Int32Array.from(visit),
    sighting: Int32Array.from(sighting),
    classIndex: Int32Array.from(sighting, (j) => aligned.sightingClass[j]),
    flood,
    timeMs: Float64Array.from(visit, (i) => aligned.visitTimesMs[i]),
    weight: Float64Array.from(weight),
    floods: new Set(flood).size,
  };
}
