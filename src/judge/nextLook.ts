import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { quantile, quantileSorted } from '../kernel/quantile.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { VERDICT } from '../series/visits.js';
import { goodClasses } from './goodClasses.js';
import { gridPoint, visitX } from './gridPoint.js';
import type { JudgedNextLook } from './judgement.js';
import { AVERAGE_OBSERVER, lookOutcomes, type NextObserver } from './nextLookOutcomes.js';
import { expectedShrinkage } from './nextLookShrinkage.js';
import { chooseLooks } from './nextLookWords.js';

/** Gauge values tried, evenly in ln(reading - offset). */
const VALUES = 25;
/** The grid goes beyond the usual values by this share of their ln span. */
const BEYOND = 0.1;
/** The look is taken to be by one of those who logged most; further ones would change the mean by little. */
const OBSERVERS = 3;

/**
 * At which gauge value, and at which feature, one more look would narrow the edges most: expected information from the draws before
 * anybody goes (see `expectedVariance`). It speaks of a look while the gauge stands steady, by one of the three who logged most, each as
 * often as they did. One who logs alone narrows little: their own bias and the edges can't be told apart.
 *
 * The edges are those that bound the good classes (all of the verdict where there are none). Values tried: 25 from the record's 5 % to its
 * 95 % point, the visits' own span included, a tenth of that span beyond, and never past what the record has shown.
 *
 * @param fit draws of the level model. Below about 500 draws shrinkages under 1 % are mostly luck.
 * @param aligned the visits that the fit was made from.
 * @param options.record the gauge's record; without it the values are those of the visits.
 * @returns shrinkage by value and by feature, and up to three looks in words; null without draws, edges, or visits with a reading.
 * @example nextLook(fit, aligned, { record })?.looks[0].sentence // A verdict at 14 to 18 m³/s would narrow the good range's edges most: …
 */
export function nextLook(
  fit: LevelFit,
  aligned: Aligned,
  { record }: { record?: GaugeRecord | undefined } = {},
): JudgedNextLook | null {
  const verdict = fit.features.find((f) => f.id === VERDICT);
  const seen = seenSpan(fit, aligned);
  if (verdict === undefined || verdict.classes.length < 2 || seen === null) return null;
  const { offset } = fit;
  const { edges, what } = edgesMeant(verdict.classes);
  const thetas = edges.map((k) => edgeDraws(verdict, { k, count: fit.draws.count }));
  const xs = lookGrid(seen, record);
  const observers = whoLooks(aligned);
  const features = [verdict, ...fit.features.filter((f) => f !== verdict)];
  const high = goodClasses(verdict.classes)[1];
  const aboveGood = new Float64Array(xs.length);
  const curves = features.map((feature) => {
    const expected = Array.from(xs, (x, v) => {
      const outcomes = lookOutcomes(fit, { feature, x, observers });
      if (feature === verdict)
        aboveGood[v] = shareAbove(outcomes, { high, classes: verdict.classes.length, draws: fit.draws.count });
      return withError(thetas, { outcomes, independent: fit.diagnostics.effectiveDraws });
    });
    return {
      feature: feature.id,
      name: feature.name,
      shrinkage: Float64Array.from(expected, ({ all }) => all),
      error: Float64Array.from(expected, ({ error }) => error),
    };
  });
  const values = xs.map((x) => offset + Math.exp(x));
  return {
    byValue: Array.from(values, (gaugeValue, v) => ({ gaugeValue, shrinkage: curves[0].shrinkage[v] })),
    byFeature: curves.map(({ feature, name, shrinkage }) => {
      const best = shrinkage.indexOf(shrinkage.reduce((a, b) => Math.max(a, b)));
      return { feature, name, gaugeValue: values[best], shrinkage: shrinkage[best] };
    }),
    looks: chooseLooks(curves, { xs, seen, aboveGood, what, unit: fit.unit, offset }),
  };
}

/** Parts of the draws that must agree: each is what another seed might have drawn. */
const PARTS = 5;

/**
 * The expected shrinkage from all draws, and its Monte Carlo error from five parts of them: the standard error of their mean; infinite
 * where one part sees nothing in the look.
 */
function withError(
  thetas: readonly Float64Array[],
  { outcomes, independent }: { outcomes: Float64Array; independent: number },
): { readonly all: number; readonly error: number } {
  const all = expectedShrinkage(thetas, { outcomes, independent });
  const D = thetas[0]!.length;
  const J = outcomes.length / D;
  const parts = Array.from({ length: PARTS }, (_, part) => {
    const own = Array.from({ length: D }, (_, d) => d).filter((d) => d % PARTS === part);
    return expectedShrinkage(
      thetas.map((theta) => Float64Array.from(own, (d) => theta[d])),
      {
        outcomes: Float64Array.from(
          { length: own.length * J },
          (_, at) => outcomes[own[Math.floor(at / J)] * J + (at % J)],
        ),
        independent: independent / PARTS,
      },
    );
  });
  if (!parts.every((part) => part > 0)) return { all, error: Infinity };
  const mean = parts.reduce((sum, part) => sum + part, 0) / PARTS;
  const variance = parts.reduce((sum, part) => sum + (part - mean) ** 2, 0) / (PARTS - 1);
  return { all, error: Math.sqrt(variance / PARTS) };
}

/** The edges that bound the good classes; all where there are none. */
function edgesMeant(classes: readonly string[]): { readonly edges: readonly number[]; readonly what: string } {
  const [low, high] = goodClasses(classes);
  const bounding = [low - 1, high].filter((k) => k >= 0 && k < classes.length - 1);
  if (bounding.length > 0)
    return { edges: bounding, what: bounding.length === 1 ? "the good range's edge" : "the good range's edges" };
  const all = classes.slice(1).map((_, k) => k);
  return { edges: all, what: all.length === 1 ? 'the edge' : 'the edges' };
}

function edgeDraws(
  { edges, classes }: { edges: Float64Array; classes: readonly string[] },
  { k, count }: { k: number; count: number },
): Float64Array {
  return Float64Array.from({ length: count }, (_, d) => edges[d * (classes.length - 1) + k]);
}

/** Lowest and highest x of the visits at the draws' middle lag and storage. */
function seenSpan({ draws }: LevelFit, aligned: Aligned): { readonly low: number; readonly high: number } | null {
  if (draws.count === 0) return null;
  const point = gridPoint(aligned, {
    lagHours: quantile(draws.lagHours, 0.5),
    storageHours: quantile(draws.storageHours, 0.5),
  });
  const xs = aligned.visitIds.map((_, visit) => visitX(aligned, { visit, point })).filter(Number.isFinite);
  return xs.length === 0 ? null : { low: Math.min(...xs), high: Math.max(...xs) };
}

/** x of the values tried, ascending. */
function lookGrid(
  seen: { readonly low: number; readonly high: number },
  record: GaugeRecord | undefined,
): Float64Array {
  let { low, high } = seen;
  let floor = -Infinity;
  let ceiling = Infinity;
  const offset = record?.zeroFlowStage ?? 0;
  const ln = (record?.values ?? new Float64Array(0))
    .map((v) => Math.log(v - offset))
    .filter(Number.isFinite)
    .sort();
  if (ln.length > 0) {
    low = Math.min(low, quantileSorted(ln, 0.05));
    high = Math.max(high, quantileSorted(ln, 0.95));
    // The effective reading of a visit can lie outside the record's own values.
    floor = Math.min(low, ln[0]);
    ceiling = Math.max(high, ln[ln.length - 1]);
  }
  const more = BEYOND * (high - low);
  const from = Math.max(floor, low - more);
  const to = Math.min(ceiling, high + more);
  if (!(to > from)) return Float64Array.of(from);
  return Float64Array.from({ length: VALUES }, (_, v) => from + ((to - from) * v) / (VALUES - 1));
}

/** Odds of a verdict above the good classes, over the draws. */
function shareAbove(
  outcomes: Float64Array,
  { high, classes, draws }: { high: number; classes: number; draws: number },
): number {
  let sum = 0;
  for (let at = 0; at < outcomes.length; at++) if (at % classes > high) sum += outcomes[at];
  return sum / draws;
}

/** Those with most sightings, most first; the average observer where nobody is named. */
function whoLooks({ observers, sightingObserver }: Aligned): readonly NextObserver[] {
  const counts = new Float64Array(observers.length);
  for (const observer of sightingObserver) counts[observer]++;
  const most = Array.from(counts, (count, observer) => ({ observer, count }))
    .filter(({ count }) => count > 0)
    .sort((a, b) => b.count - a.count || a.observer - b.observer)
    .slice(0, OBSERVERS);
  const total = most.reduce((sum, { count }) => sum + count, 0);
  return total > 0 ? most.map(({ observer, count }) => ({ observer, share: count / total })) : AVERAGE_OBSERVER;
}
