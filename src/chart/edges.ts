import { known } from '../series/knownIds.js';
import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { goodClasses } from '../judge/goodClasses.js';
import { convertUnit, otherSystemUnit } from '../series/units.js';
import { estimate, width80 } from './estimate.js';
import { roundSafer, saferSideOfEdge, type Rounded } from './roundSafer.js';
import type { Edge, Estimate } from './types.js';

/**
 * Every edge of every feature with classes, in the gauge's unit: offset + exp(θ), with median, 80 % and 95 % interval over the draws,
 * and rounded to the safer side in both unit systems.
 *
 * Each edge is rounded to its own step. Where that would put two vague edges in the wrong order, or a discharge at nothing, the steps
 * are halved until it does not: a chart that reads "good from 60 to 50" is not safer, only wrong.
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
    const estimates = Array.from({ length: inner }, (_, k) =>
      estimate(Float64Array.from({ length: D }, (_, d) => fit.offset + Math.exp(feature.edges[d * inner + k]))),
    );
    const here = roundInOrder(estimates, { good, factor: 1, positive: fit.parameter === 'discharge' });
    const other = roundInOrder(estimates, {
      good,
      factor: convertUnit(1, fit.unit, otherUnit),
      positive: fit.parameter === 'discharge',
    });
    for (let k = 0; k < inner; k++)
      out.push(
        Object.freeze({
          feature: feature.id,
          between: Object.freeze([feature.classes[k], feature.classes[k + 1]] as const),
          ...estimates[k],
          rounded: here[k].value,
          roundedOther: other[k].value,
          digits: here[k].digits,
          digitsOther: other[k].digits,
          seenBothSides: sum(counts, 0, k + 1) >= 1 && sum(counts, k + 1, counts.length) >= 1,
        }),
      );
  }
  return Object.freeze(out);
}

/** Times a step is halved for the sake of order. */
const HALVINGS = 12;

/** The medians of ascending edges, times `factor`, rounded to the safer side and kept ascending (above 0 where `positive`). */
function roundInOrder(
  edges: readonly Estimate[],
  { good, factor, positive }: { good: readonly [number, number]; factor: number; positive: boolean },
): readonly Rounded[] {
  const widths = edges.map((edge) => factor * width80(edge));
  const round = (k: number): Rounded =>
    roundSafer(factor * edges[k].median, { width: widths[k], side: saferSideOfEdge(k, good) });
  const rounded = edges.map((_, k) => round(k));
  for (let halving = 0; halving < HALVINGS; halving++) {
    const wrong = new Set<number>();
    for (let k = 0; k < rounded.length; k++) {
      if (positive && !(rounded[k].value > 0)) wrong.add(k);
      if (k > 0 && !(rounded[k].value > rounded[k - 1].value)) wrong.add(k - 1).add(k);
    }
    if (wrong.size === 0) break;
    for (const k of wrong) {
      widths[k] /= 2;
      rounded[k] = round(k);
    }
  }
  return rounded;
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
