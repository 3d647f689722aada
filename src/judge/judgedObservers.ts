import { counted, fixed } from '../series/format.js';
import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { quantile, quantileSorted } from '../kernel/quantile.js';
import { VERDICT } from '../series/visits.js';
import { observerAgreement } from './agreement.js';
import type { JudgedObservers } from './judgement.js';

/** A lean is called one from this probability on: the 80 % interval lies on one side of 0. */
const LEANS = 0.9;

/**
 * Who reads high, and how well people agree on what they saw together.
 *
 * @param aligned the visits. @param options.fit the better way of reading; null: no biases.
 * @param options.seed seed of the relation's judging. @param options.without edges without each observer; default none.
 */
export function judgedObservers(
  aligned: Aligned,
  { fit, seed, without = [] }: { fit: LevelFit | null; seed: number; without?: JudgedObservers['without'] },
): JudgedObservers {
  const agreement = observerAgreement(aligned, { seed });
  return {
    rows: fit === null ? [] : biasRows(fit, aligned),
    agreement: agreement.features.map(({ feature, name, sharedVisits, alpha }) => ({
      feature,
      name,
      sharedVisits,
      alpha: alpha.alpha,
      i80: alpha.i80,
    })),
    pairs: agreement.pairs.map(({ feature, observers, shared, kappa, i80, secondHigherBy }) => ({
      feature,
      observers,
      shared,
      kappa,
      i80,
      secondHigherBy,
    })),
    without,
  };
}

function biasRows(fit: LevelFit, aligned: Aligned): JudgedObservers['rows'][number][] {
  const O = fit.observers.length;
  const D = fit.draws.count;
  const perClass = classWidth(fit);
  const seen = countsOf(aligned);
  return fit.observers.map((observer, o) => {
    const bias = Float64Array.from({ length: D }, (_, d) => fit.draws.bias[d * O + o]).sort();
    const at = (p: number) => quantileSorted(bias, p);
    const row = {
      observer,
      ...(seen.get(observer) ?? { sightings: 0, visits: 0 }),
      biasMedian: at(0.5),
      bias80: [at(0.1), at(0.9)] as const,
      bias95: [at(0.025), at(0.975)] as const,
      above: bias.filter((b) => b > 0).length / D,
    };
    return { ...row, sentence: biasSentence(row, { perClass, alone: O < 2 }) };
  });
}

/** The usual width of an inner class, ln units: median over draws and classes; NaN with fewer than 3 classes. */
function classWidth(fit: LevelFit): number {
  const verdict = fit.features.find((f) => f.id === VERDICT);
  const inner = (verdict?.classes.length ?? 0) - 1;
  if (verdict === undefined || inner < 2) return NaN;
  const widths = new Float64Array(fit.draws.count * (inner - 1));
  for (let d = 0; d < fit.draws.count; d++)
    for (let k = 1; k < inner; k++)
      widths[d * (inner - 1) + k - 1] = verdict.edges[d * inner + k] - verdict.edges[d * inner + k - 1];
  return quantile(widths, 0.5);
}

function countsOf(aligned: Aligned): Map<string, { sightings: number; visits: number }> {
  const out = new Map<string, { sightings: number; visits: number }>();
  for (let i = 0; i < aligned.visitIds.length; i++) {
    const there = new Set<string>();
    for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++) {
      const observer = aligned.observers[aligned.sightingObserver[j]];
      const known = out.get(observer) ?? { sightings: 0, visits: 0 };
      out.set(observer, { sightings: known.sightings + 1, visits: known.visits + (there.has(observer) ? 0 : 1) });
      there.add(observer);
    }
  }
  return out;
}

function biasSentence(
  {
    observer,
    biasMedian,
    bias80: [from, to],
    above,
  }: Pick<JudgedObservers['rows'][number], 'observer' | 'biasMedian' | 'bias80' | 'above'>,
  { perClass, alone }: { perClass: number; alone: boolean },
): string {
  if (alone) return `${observer} is the only observer: there is nobody to compare with.`;
  const unit = perClass > 0 ? ' of a class' : ' %';
  const size = (ln: number): string => {
    const value = perClass > 0 ? Math.abs(ln) / perClass : Math.expm1(Math.abs(ln)) * 100;
    const least = perClass > 0 ? 0.1 : 1;
    return value < least ? `under ${least}` : fixed(value, perClass > 0 ? 1 : 0);
  };
  const range = (a: number, b: number) => `80 % interval: ${size(a)} to ${size(b)}`;
  if (above >= LEANS)
    return `${observer} reads higher than the others: about ${size(biasMedian)}${unit} (${range(from, to)}).`;
  if (above <= 1 - LEANS)
    return `${observer} reads lower than the others: about ${size(biasMedian)}${unit} (${range(to, from)}).`;
  return `${observer} reads like the others, as far as the log can tell (80 % interval: ${size(from)}${unit} lower to ${size(to)} higher).`;
}

/** How many observers there are to compare, in a sentence; for the analyst's part. */
export function agreementSentence({ agreement }: Pick<JudgedObservers, 'agreement'>): string {
  if (agreement.length === 0)
    return 'No feature was seen by two people on one visit, so their agreement can not be measured.';
  return agreement
    .map(({ name, sharedVisits, alpha }) =>
      alpha === null
        ? `${name}: ${counted(sharedVisits, 'shared visit')}, all alike`
        : `${name}: α ${fixed(alpha, 2)} on ${counted(sharedVisits, 'shared visit')}`,
    )
    .join('; ')
    .concat('. 1 is full agreement, 0 what chance gives.');
}
