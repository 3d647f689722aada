import { GRADES } from '../judge/grade.js';
import type { TrustSummary } from '../judge/types.js';

/** Best grade first, then best skill on floods left out; ties stay in the order given. */
export function bestFirst<T extends { readonly trust: TrustSummary }>(gauges: readonly T[]): readonly T[] {
  return [...gauges].sort(
    (a, b) => GRADES.indexOf(b.trust.grade) - GRADES.indexOf(a.trust.grade) || compare(bestSkill(b), bestSkill(a)),
  );
}

function bestSkill({ trust: { skill } }: { readonly trust: TrustSummary }): number {
  return skill?.againstFrequencies.value ?? -Infinity;
}

/** Infinity minus infinity is NaN, and a comparator must not return it. */
function compare(a: number, b: number): number {
  return a === b ? 0 : a - b;
}
