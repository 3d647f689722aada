import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { goodClasses } from '../judge/goodClasses.js';
import { convertUnit, otherSystemUnit } from '../series/units.js';
import { estimate, width80 } from './estimate.js';
import { roundSafer, saferSideOfEdge } from './roundSafer.js';
import type { Edge } from './types.js';

/**
 * Every edge of every feature with classes, in the gauge's unit: offset + exp(θ), with median, 80 % and 95 % interval over the draws,
 * and rounded to the safer side in both unit systems.
 *
 * Rounded edges keep their own steps. Where a vague edge that goes up passes the next one that goes down, no multiple of the steps
 * lies between them: the record can't place the class between to that precision.
 *
 * @param fit draws (D); edges in x units.
 * @param aligned the visits of the fit, to see which edges have sightings on both sides.
 * @returns features in the fit's order, edges ascending; none for numeric features.
 */
export function edges(fit: LevelFit, aligned: Aligned): readonly Edge[] {
  const otherUnit = otherSystemUnit(fit.unit);
  const D = fit.draws.count;
  const out: Edge[] = [];
  for (const feature of fit.features) {
    const inner = Math.max(0, feature.classes.length - 1);
    const good = goodClasses(feature.classes);
    const counts = classCounts(aligned, { feature: feature.id, classes: feature.classes.length });
    for (let k = 0; k < inner; k++) {
      const draws = Float64Array.from({ length: D }, (_, d) => fit.offset + Math.exp(feature.edges[d * inner + k]));
      const gauge = estimate(draws);
      const side = saferSideOfEdge(k, good);
      const toOther = (value: number) => convertUnit(value, fit.unit, otherUnit);
      const rounded = roundSafer(gauge.median, { width: width80(gauge), side });
      const other = roundSafer(toOther(gauge.median), { width: toOther(width80(gauge)), side });
      out.push(
        Object.freeze({
          feature: feature.id,
          between: Object.freeze([feature.classes[k], feature.classes[k + 1]] as const),
          ...gauge,
          rounded: rounded.value,
          roundedOther: other.value,
          digits: rounded.digits,
          digitsOther: other.digits,
          seenBothSides: sum(counts, 0, k + 1) >= 1 && sum(counts, k + 1, counts.length) >= 1,
        }),
      );
    }
  }
  return Object.freeze(out);
}

/** Sightings of each class of a feature among the aligned visits (K). */
export function classCounts(
  aligned: Aligned,
  { feature, classes }: { feature: string; classes: number },
): readonly number[] {
  const index = aligned.features.findIndex((f) => f.id === feature);
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
