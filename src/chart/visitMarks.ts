import type { Aligned } from '../align/types.js';
import { gridPoint, visitX } from '../judge/gridPoint.js';
import { VERDICT } from '../series/visits.js';
import type { VisitMark } from './types.js';

interface Reading {
  readonly lagHours: number;
  readonly storageHours: number;
}

/**
 * The visits as marks for the chart: what the gauge read for each (gauge unit), what was seen, by whom, in which flood and on which limb.
 *
 * @param aligned the visits (n).
 * @param reading the chart's lag and storage (nearest grid point); undefined where there is no chart.
 * @returns n marks in time order; a value is null where no reading matches or no chart was made. The observer is the verdict's, else the
 * first
 *   sighting's; a visit with several verdicts shows the first.
 */
export function visitMarks(aligned: Aligned, reading: Reading | undefined): readonly VisitMark[] {
  const valueAt = (visit: number, storageHours: number | undefined): number | null => {
    if (reading === undefined || storageHours === undefined) return null;
    const x = visitX(aligned, { visit, point: gridPoint(aligned, { lagHours: reading.lagHours, storageHours }) });
    return x === x ? aligned.offset + Math.exp(x) : null;
  };
  return Object.freeze(
    aligned.visitIds.map((visit, i) => {
      const rows = range(aligned.sightingStart[i], aligned.sightingStart[i + 1]);
      const verdict = rows.find(
        (j) => aligned.features[aligned.sightingFeature[j]].id === VERDICT && aligned.sightingClass[j] >= 0,
      );
      const named = verdict ?? rows[0];
      return Object.freeze({
        visit,
        timeMs: aligned.visitTimesMs[i],
        reading: valueAt(i, reading?.storageHours),
        onRecord: valueAt(i, 0),
        classIndex: verdict === undefined ? -1 : aligned.sightingClass[verdict],
        observer: named === undefined ? '' : aligned.observers[aligned.sightingObserver[named]],
        flood: aligned.flood[i],
        limb: aligned.limb[i] > 0 ? 'rising' : aligned.limb[i] < 0 ? 'falling' : 'steady',
        sightings: Object.freeze(
          rows.map((j) =>
            Object.freeze({
              feature: aligned.features[aligned.sightingFeature[j]].id,
              saw: sawInWords(aligned, j),
              row: aligned.sightingRow[j],
            }),
          ),
        ),
      } as const);
    }),
  );
}

function sawInWords(aligned: Aligned, j: number): string {
  const feature = aligned.features[aligned.sightingFeature[j]];
  const k = aligned.sightingClass[j];
  if (k >= 0) return feature.classes[k];
  return feature.unit === undefined ? String(aligned.sightingValue[j]) : `${aligned.sightingValue[j]} ${feature.unit}`;
}

function range(from: number, to: number): readonly number[] {
  return Array.from({ length: to - from }, (_, i) => from + i);
}
