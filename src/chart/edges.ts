import { known } from '../series/knownIds.js';
import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { classOdds } from '../judge/classOdds.js';
import { goodClasses } from '../judge/goodClasses.js';
import { roundedEdges, roundedInOther } from '../judge/roundSafer.js';
import { estimate, width80 } from '../kernel/estimate.js';
import type { Edge } from './types.js';

/**
 * Every edge of every feature with classes, in the gauge's unit: offset + exp(θ), with median, 80 % and 95 % interval over the draws,
 * the number printed for it (see `roundedEdges`), the same in the other system's unit, and the odds of each class there.
 *
 * @param fit draws (D); edges in x units.
 * @param aligned the visits of the fit, to see which edges have sightings on both sides.
 * @returns features in the fit's order, edges ascending; none for numeric features.
 */
export function edges(fit: LevelFit, aligned: Aligned): readonly Edge[] {
  const D = fit.draws.count;
  const out: Edge[] = [];
  for (const feature of fit.features) {
    const inner = Math.max(0, feature.classes.length - 1);
    const good = goodClasses(feature.classes);
    const counts = classCounts(aligned, { feature: feature.id, classes: feature.classes.length });
    const estimates = Array.from({ length: inner }, (_, k) =>
      estimate(Float64Array.from({ length: D }, (_, d) => fit.offset + Math.exp(feature.edges[d * inner + k]))),
    );
    const printed = roundedEdges(
      estimates.map((edge) => ({ median: edge.median, width80: width80(edge) })),
      { good, positive: fit.parameter === 'discharge' },
    );
    printed.forEach(({ value, digits }, k) => {
      const other = roundedInOther(value, fit.unit);
      out.push({
        feature: feature.id,
        between: [feature.classes[k], feature.classes[k + 1]],
        ...estimates[k],
        rounded: value,
        roundedOther: other.value,
        digits,
        digitsOther: other.digits,
        odds: classOdds(fit, value, { feature: feature.id }),
        seenBothSides: sum(counts, 0, k + 1) >= 1 && sum(counts, k + 1, counts.length) >= 1,
      });
    });
  }
  return out;
}

/** Sightings of each class of a feature among the aligned visits (K). */
export function classCounts(
  aligned: Aligned,
  { feature, classes }: { feature: string; classes: number },
): readonly number[] {
  const index = aligned.features.indexOf(known('feature', feature, { among: aligned.features, of: 'the log' }));
  const counts = new Array<number>(classes).fill(0);
  for (let j = 0; j < aligned.sightingFeature.length; j++)
    if (aligned.sightingFeature[j] === index && aligned.sightingClass[j] >= 0) counts[aligned.sightingClass[j]]++;
  return counts;
}

function sum(values: readonly number[], from: number, to: number): number {
  let total = 0;
  for (let i = from; i < to; i++) total += values[i];
  return total;
}
