import { quantile } from '../../src/kernel/quantile.js';
import { createRandom } from '../../src/kernel/random.js';
import { followLooks, PLANS, type Followed, type FollowOptions, type Plan } from './followLooks.js';

const RESAMPLES = 2000;

/** A mean over creeks with its 80 % interval from resampling creeks. */
export interface Told {
  readonly value: number;
  readonly i80: readonly [number, number];
}

export interface LookTally {
  readonly creeks: number;
  /** By how much the edges' 80 % intervals got narrower, geometric mean: 0.2, a fifth. */
  readonly narrower: Readonly<Record<Plan, Told>>;
  /** ln narrowing by advice over that of the other plan: 1.5, half as much again from as many visits. */
  readonly fasterThan: Readonly<Record<Exclude<Plan, 'advice'>, Told>>;
  /** Creeks in which advice left the narrower edges. */
  readonly adviceWins: Readonly<Record<Exclude<Plan, 'advice'>, number>>;
  /** Share of the edges whose 80 % interval held the truth at the end. */
  readonly inside80: Readonly<Record<Plan, number>>;
}

/** Follows the advice in `creeks` invented creeks, seeds counting up from `firstSeed`. */
export function tallyLooks(
  creeks: number,
  {
    firstSeed,
    onCreek,
    ...options
  }: { firstSeed: number; onCreek?: (done: number) => void } & Omit<FollowOptions, 'seed'>,
): LookTally {
  const followed: Followed[] = [];
  for (let c = 0; c < creeks; c++) {
    const one = followLooks({ ...options, seed: firstSeed + c });
    if (one !== null) followed.push(one);
    onCreek?.(c + 1);
  }
  const random = createRandom(firstSeed);
  const resamples = Array.from({ length: RESAMPLES }, () =>
    followed.map(() => followed[random.integer(followed.length)]),
  );
  const told = (statistic: (of: readonly Followed[]) => number): Told => {
    const values = Float64Array.from(resamples, statistic);
    return { value: statistic(followed), i80: [quantile(values, 0.1), quantile(values, 0.9)] };
  };
  const meanLn = (of: readonly Followed[], plan: Plan) =>
    of.reduce((sum, f) => sum + f.lnNarrower[plan], 0) / of.length;
  const edges = followed.reduce((sum, f) => sum + f.edges, 0);
  const others = ['random', 'usual'] as const;
  const over = <P extends Plan, T>(plans: readonly P[], value: (plan: P) => T) =>
    Object.fromEntries(plans.map((plan) => [plan, value(plan)])) as Record<P, T>;
  return {
    creeks: followed.length,
    narrower: over(PLANS, (plan) => told((of) => 1 - Math.exp(meanLn(of, plan)))),
    fasterThan: over(others, (plan) => told((of) => meanLn(of, 'advice') / meanLn(of, plan))),
    adviceWins: over(others, (plan) => followed.filter((f) => f.lnNarrower.advice < f.lnNarrower[plan]).length),
    inside80: over(PLANS, (plan) => followed.reduce((sum, f) => sum + f.inside80[plan], 0) / edges),
  };
}
