import { DEFAULT_STORAGES_HOURS, LAG_STEP_HOURS } from '../../src/align/alignVisits.js';
import { middleEdge } from '../../src/fit/parameters.js';
import { WEAK_PRIORS } from '../../src/fit/priors.js';
import type { Random } from '../../src/kernel/random.js';

/** Bounds that the expert of a simulated creek writes into creek.json: the water is never more than half a day apart. */
export const LAG_BOUNDS = { min: -12, max: 12 };

/** How the creek answers to its gauge. */
export interface Relation {
  readonly lagHours: number;
  readonly storageHours: number;
  /** σ, ln units. */
  readonly mismatch: number;
  /** Bias of each observer, ln units. */
  readonly bias: readonly number[];
}

/** A feature with classes; the verdict is the first of them. */
export interface TrueFeature {
  readonly id: string;
  readonly km: number;
  readonly classes: readonly string[];
  /** Ascending, ln units, one fewer than the classes. */
  readonly edges: readonly number[];
  readonly blur: number;
}

/** A painted staff: base + scale·exp((c - centre)/p) ± noise, cm. */
export interface TrueStaff {
  readonly base: number;
  readonly scale: number;
  readonly p: number;
  readonly noise: number;
}

const VERDICT_CLASSES = ['too low', 'low', 'good', 'high', 'too high'];
const FEATURE_CLASSES = ['dry', 'trickle', 'covered', 'padded'];

/** Half-sd steps over ±3 sds of ln ω: the fit averages over these values, so the exact prior holds no others. */
const SPREAD_STEPS = Array.from({ length: 13 }, (_, j) => -3 + j / 2);

/**
 * Lag, storage, mismatch and 3 to 7 observers. From plain ranges: lag 0 to 8 h; storage on the fit's grid, or anywhere from -12 to 18 h, with
 * even chance; mismatch 0.1 to 0.5; biases with sd 0.08. From the priors: the very distributions that the fit by the effective reading assumes.
 */
export function drawRelation(random: Random, { fromPriors }: { fromPriors: boolean }): Relation {
  const observers = 3 + random.integer(5);
  const biases = (sd: number) => Array.from({ length: observers }, () => sd * random.normal());
  if (fromPriors) {
    const { mismatch, observerSd } = WEAK_PRIORS;
    return {
      lagHours: LAG_STEP_HOURS * random.integer(LAG_BOUNDS.max / LAG_STEP_HOURS + 1),
      storageHours: pick(random, DEFAULT_STORAGES_HOURS),
      mismatch: logNormal(random, mismatch),
      bias: biases(observerSd.median * Math.exp(observerSd.sdLn * latticeNormal(random))),
    };
  }
  const within = DEFAULT_STORAGES_HOURS.filter((k) => k >= -12 && k <= 18);
  return {
    lagHours: 8 * random.uniform(),
    storageHours: random.uniform() < 0.5 ? pick(random, within) : -12 + 30 * random.uniform(),
    mismatch: 0.1 + 0.4 * random.uniform(),
    bias: biases(0.08),
  };
}

/**
 * The verdict with 5 classes, and 1 to 3 further things to look at: features of 2 to 4 classes up to 3 km down the run, and in about half of
 * the creeks a painted staff. From the priors there is no staff (its priors follow from its readings, so no creek can be drawn from them) and
 * all is seen at the put-in.
 *
 * @param options.centre mean x of the visits, around which edges lie.
 */
export function drawFeatures(
  random: Random,
  { fromPriors, centre }: { fromPriors: boolean; centre: number },
): { readonly features: readonly TrueFeature[]; readonly staff: TrueStaff | undefined } {
  const { blur, gap, middleSd } = WEAK_PRIORS;
  const make = (id: string, classes: readonly string[], km: number): TrueFeature => {
    const nextGap = (): number => (fromPriors ? logNormal(random, gap) : 0.3 + 0.4 * random.uniform());
    const middle = middleEdge(classes.length);
    const edges = new Array<number>(classes.length - 1);
    edges[middle] = centre + (fromPriors ? middleSd : 0.4) * random.normal();
    for (let k = middle + 1; k < edges.length; k++) edges[k] = edges[k - 1] + nextGap();
    for (let k = middle - 1; k >= 0; k--) edges[k] = edges[k + 1] - nextGap();
    return { id, km, classes, edges, blur: fromPriors ? logNormal(random, blur) : 0.08 + 0.22 * random.uniform() };
  };
  const features = [make('verdict', VERDICT_CLASSES, 0)];
  let staff: TrueStaff | undefined;
  const others = 1 + random.integer(3);
  for (let f = 1; f <= others; f++) {
    if (!fromPriors && staff === undefined && random.uniform() < 1 / 3)
      staff = { base: 20, scale: 25, p: 1.5 + random.uniform(), noise: 1.5 };
    else {
      const classes = FEATURE_CLASSES.slice(0, 2 + random.integer(3));
      features.push(make(`f${f}`, classes, fromPriors ? 0 : 3 * random.uniform()));
    }
  }
  return { features, staff };
}

function logNormal(random: Random, { median, sdLn }: { readonly median: number; readonly sdLn: number }): number {
  return median * Math.exp(sdLn * random.normal());
}

/** A standard normal on the lattice of `SPREAD_STEPS`, each value as often as its density says. */
function latticeNormal(random: Random): number {
  const weights = SPREAD_STEPS.map((z) => Math.exp(-0.5 * z * z));
  let left = random.uniform() * weights.reduce((a, b) => a + b, 0);
  return SPREAD_STEPS.find((_, i) => (left -= weights[i]) <= 0) ?? 3;
}

export function pick<T>(random: Random, values: readonly T[]): T {
  return values[random.integer(values.length)];
}
