import { figures, listed, odds } from '../../series/format.js';
import { quantile } from '../../kernel/quantile.js';
import type { Feature, Run } from '../../series/creek.js';
import { VERDICT, type Visit } from '../../series/visits.js';
import type { StaffRating, StaffReport } from './types.js';

/**
 * A staff (or any feature read as a number) against the words of the verdict.
 *
 * @param options.visits the creek's; those of other runs are passed over. @param options.ratings the staff against gauges.
 */
export function staffReport(
  feature: Feature,
  { run, visits, ratings }: { run: Run; visits: readonly Visit[]; ratings: readonly StaffRating[] },
): StaffReport {
  const unit = feature.unit!;
  const pairs = visits
    .filter((visit) => visit.run === run.id)
    .flatMap(({ sightings }) => {
      const verdict = sightings.find((s) => s.feature === VERDICT && s.classIndex >= 0);
      return sightings.flatMap((s) =>
        s.feature === feature.id && Number.isFinite(s.value) && verdict !== undefined
          ? [{ reading: s.value, classIndex: verdict.classIndex }]
          : [],
      );
    });
  const classes = run.classes.map((word, k) => {
    const readings = pairs.filter(({ classIndex }) => classIndex === k).map(({ reading }) => reading);
    readings.sort((a, b) => a - b);
    return {
      word,
      readings: readings,
      median: readings.length === 0 ? null : quantile(Float64Array.from(readings), 0.5),
    };
  });
  return {
    feature: feature.id,
    name: feature.name,
    unit,
    classes: classes,
    gauges: ratings,
    sentence: wordsSentence({ name: feature.name, unit, classes }),
  };
}

/**
 * How well staff and words go together: over all pairs of readings at different words, how often the higher word has the higher reading.
 */
function wordsSentence({ name, unit, classes }: Pick<StaffReport, 'name' | 'unit' | 'classes'>): string {
  const seen = classes.filter(({ readings }) => readings.length > 0);
  const count = seen.reduce((sum, { readings }) => sum + readings.length, 0);
  if (seen.length === 0) return `No visit has both a verdict and a reading of ${name}.`;
  if (seen.length === 1)
    return `All ${count} readings with a verdict are of one word, ${seen[0].word}: words tell nothing of ${name}.`;
  let higher = 0;
  let all = 0;
  seen.forEach((low, i) =>
    seen.slice(i + 1).forEach((high) => {
      for (const a of low.readings)
        for (const b of high.readings) {
          all++;
          higher += b > a ? 1 : b === a ? 0.5 : 0;
        }
    }),
  );
  const medians = seen.map(({ word, median }) => `${figures(median!)} at ${word}`);
  return (
    `${count} readings with a verdict. Of two at different words the higher word has the higher ` +
    `reading in ${odds(higher / all)}. Medians (${unit}): ${listed(medians)}.`
  );
}
