import type { Aligned } from '../align/types.js';
import { normalQuantile } from '../kernel/normal.js';
import { splitSeed } from '../kernel/random.js';
import { krippendorffAlpha, type KrippendorffAlpha } from './krippendorff.js';
import type { Interval } from './types.js';
import { weightedKappa } from './weightedKappa.js';

/** Fewer shared sightings than this make a κ of a pair that is mostly its own noise. */
export const FEWEST_SHARED = 5;

const Z80 = normalQuantile(0.9);

/** Agreement of the observers on what they saw together. */
export interface ObserverAgreement {
  readonly kind: 'observer-agreement';
  /** One row a feature that at least two observers saw on one visit; the verdict first. */
  readonly features: readonly {
    readonly feature: string;
    readonly name: string;
    /** Visits on which at least two observers saw it. */
    readonly sharedVisits: number;
    readonly alpha: KrippendorffAlpha;
  }[];
  /** One row a pair of observers and class feature with at least 5 shared visits. */
  readonly pairs: readonly {
    readonly feature: string;
    readonly observers: readonly [string, string];
    readonly shared: number;
    /** Quadratic weights. */
    readonly kappa: number | null;
    /** 80 %, normal, from the large-sample variance; it takes the visits as independent. */
    readonly i80: Interval;
    /** Mean of the second observer's class number minus the first's. */
    readonly secondHigherBy: number;
  }[];
}

/**
 * How well observers agree on shared visits: Krippendorff's α a feature (ordinal for classes, interval for numbers; its interval by
 * resampling floods), and quadratically weighted κ for pairs. A second sighting of one feature by one observer on one visit is not used.
 *
 * @param options.seed default 1.
 * @returns empty tables where no visit was shared.
 */
export function observerAgreement(aligned: Aligned, { seed = 1 }: { seed?: number } = {}): ObserverAgreement {
  const features: ObserverAgreement['features'][number][] = [];
  const pairs: ObserverAgreement['pairs'][number][] = [];
  aligned.features.forEach((feature, f) => {
    const shared = sharedSightings(aligned, f);
    if (shared.length === 0) return;
    const alpha = krippendorffAlpha(
      shared.map(({ saw }) => [...saw.values()]),
      {
        level: feature.classes.length > 0 ? 'ordinal' : 'interval',
        group: shared.map(({ visit }) => aligned.flood[visit]),
        seed: splitSeed(seed, `agreement/${feature.id}`),
      },
    );
    features.push({ feature: feature.id, name: feature.name, sharedVisits: shared.length, alpha });
    if (feature.classes.length > 0) pairs.push(...pairTables(aligned, { feature, shared }));
  });
  return {
    kind: 'observer-agreement',
    features: features,
    pairs: pairs,
  };
}

interface Shared {
  readonly visit: number;
  /** Observer -> class or number. */
  readonly saw: ReadonlyMap<number, number>;
}

function sharedSightings(aligned: Aligned, feature: number): Shared[] {
  const numeric = aligned.features[feature].classes.length === 0;
  const out: Shared[] = [];
  for (let visit = 0; visit < aligned.visitIds.length; visit++) {
    const saw = new Map<number, number>();
    for (let j = aligned.sightingStart[visit]; j < aligned.sightingStart[visit + 1]; j++) {
      const observer = aligned.sightingObserver[j];
      if (aligned.sightingFeature[j] !== feature || saw.has(observer)) continue;
      saw.set(observer, numeric ? aligned.sightingValue[j] : aligned.sightingClass[j]);
    }
    if (saw.size > 1) out.push({ visit, saw });
  }
  return out;
}

function pairTables(
  aligned: Aligned,
  { feature, shared }: { feature: Aligned['features'][number]; shared: readonly Shared[] },
): ObserverAgreement['pairs'][number][] {
  const K = feature.classes.length;
  const out: ObserverAgreement['pairs'][number][] = [];
  for (let a = 0; a < aligned.observers.length; a++)
    for (let b = a + 1; b < aligned.observers.length; b++) {
      const both = shared.filter(({ saw }) => saw.has(a) && saw.has(b));
      if (both.length < FEWEST_SHARED) continue;
      const counts = Array.from({ length: K }, () => new Array<number>(K).fill(0));
      let higher = 0;
      for (const { saw } of both) {
        counts[saw.get(a)!][saw.get(b)!]++;
        higher += saw.get(b)! - saw.get(a)!;
      }
      const { kappa, variance } = weightedKappa(counts);
      const reach = Z80 * Math.sqrt(variance ?? NaN);
      out.push({
        feature: feature.id,
        observers: [aligned.observers[a], aligned.observers[b]] as const,
        shared: both.length,
        kappa,
        i80:
          kappa === null
            ? ([null, null] as const)
            : ([Math.max(-1, kappa - reach), Math.min(1, kappa + reach)] as const),
        secondHigherBy: higher / both.length,
      });
    }
  return out;
}
