import { staffOffset } from '../../fit/staffOffset.js';
import { ratingAt } from '../../fit/ratingAt.js';
import type { FittedFeature, LevelFit } from '../../fit/types.js';
import { gridPoint, visitX } from '../../judge/gridPoint.js';
import { quantile } from '../../kernel/quantile.js';
import type { Feature } from '../../series/creek.js';
import type { Relation } from '../fitCreek.js';
import type { ChartedRelation } from './chartedRelation.js';
import type { StaffRating } from './types.js';

/**
 * A staff on the creek against a gauge, read as its chart does, from the level model; null where it has no rating of the staff by this
 * gauge.
 */
export function staffRating(feature: Feature, { relation, chart }: ChartedRelation): StaffRating | null {
  const { fits, record, aligned } = relation;
  const { level } = chart;
  if (level === undefined) return null;
  const fit = fits[level.way];
  const fitted = fit.features.find(({ id }) => id === feature.id);
  const summary = level.ratings.find((rating) => rating.feature === feature.id);
  if (summary === undefined || fitted?.rating === undefined) return null;
  const { gaugeValues } = level.odds;
  return {
    gauge: record.gauge,
    gaugeName: record.name,
    unit: record.unit,
    way: level.way,
    form: summary.form,
    upper: summary.upper ?? null,
    formSentence: fitted.rating.formSentence,
    noiseSentence: fitted.rating.noiseSentence,
    offset: offsetOf(fit, feature.id),
    gaugeValues,
    median: summary.median,
    curve80: bands(summary.low80, summary.high80),
    reading80: bands(summary.readingLow80, summary.readingHigh80),
    points: pointsOf(fitted, { fit, aligned, reading: level.reading }),
  };
}

function bands(low: readonly number[], high: readonly number[]): StaffRating['curve80'] {
  return low.map((from, v) => [from, high[v]] as const);
}

function offsetOf(fit: LevelFit, feature: string): StaffRating['offset'] {
  const offset = staffOffset(fit, { feature });
  if (offset.status !== 'ok') return null;
  return {
    median: offset.median,
    i80: offset.i80,
    i95: offset.i95,
    below95: offset.below95,
    sentence: offset.sentence,
  };
}

/**
 * Every reading of the staff beside the gauge's reading at its place and time, at the chart's lag and storage, and what the median curve
 * makes expect.
 */
function pointsOf(
  { id, rating }: FittedFeature,
  {
    fit,
    aligned,
    reading,
  }: { fit: LevelFit; aligned: Relation['aligned']; reading: { lagHours: number; storageHours: number } },
): StaffRating['points'] {
  const index = aligned.features.findIndex((f) => f.id === id);
  const point = gridPoint(aligned, reading);
  const m = aligned.sightingRow.length;
  const out: StaffRating['points'][number][] = [];
  aligned.visitIds.forEach((visit, i) => {
    const middle = visitX(aligned, { visit: i, point });
    if (!Number.isFinite(middle)) return;
    for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++) {
      if (aligned.sightingFeature[j] !== index || !Number.isFinite(aligned.sightingValue[j])) continue;
      const x = middle + aligned.shift[point * m + j];
      const curve = rating!.base.map((_, d) => ratingAt(rating!, x, d));
      out.push({
        visit,
        gaugeValue: fit.offset + Math.exp(x),
        staff: aligned.sightingValue[j],
        expected: quantile(curve, 0.5),
      });
    }
  });
  return out;
}
