import { goodClasses } from '../judge/goodClasses.js';
import type { OuterEdges } from '../judge/judgedRules.js';
import { VERDICT } from '../series/visits.js';
import type { LevelChart } from './types.js';

/**
 * The outermost edges of the verdict as the chart prints them, rounded to the safer side: where its lowest class ends and where its highest begins.
 *
 * @returns null for an end that a class of the good range stands at, and for both where there is no chart.
 * @example outerEdges(gauge.effective).highest // 13: from here on the chart says "too high"
 */
export function outerEdges(level: LevelChart | undefined): OuterEdges {
  const edges = level?.edges.filter(({ feature }) => feature === VERDICT) ?? [];
  const [low, high] = level === undefined ? [0, 0] : goodClasses(level.odds.classes);
  return Object.freeze({
    lowest: low > 0 ? (edges[0]?.rounded ?? null) : null,
    highest: high < edges.length ? (edges[edges.length - 1]?.rounded ?? null) : null,
  });
}
