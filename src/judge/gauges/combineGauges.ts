import type { Aligned } from '../../align/types.js';
import type { LevelFit } from '../../fit/types.js';
import type { DerivedGauge } from '../../series/creek.js';
import { convertUnit } from '../../series/units.js';
import type { CombinedGauge, CombinedPart } from './types.js';

/** A gauge that enters a mean: the visits against it and its effective fit at the lead asked for. */
export interface CombinedMember {
  readonly aligned: Aligned;
  readonly fit: LevelFit;
}

/** Configurations of a combined gauge at most: enough for weights and the likely lags, and cheap to fit. */
const MOST_CONFIGURATIONS = 96;
const STORAGES = 2;

/** Weights of a part go in steps of a quarter for two gauges; see `weightLists`. */
const PAIR_WEIGHTS = [0.25, 0.5, 0.75];

/**
 * Weighted means of ln effective readings, x = Σ w_j ln e_j(t - L_j), as an aligned of its own that `fitLevels` takes: a search for the
 * mean worth deriving.
 *
 * Each gauge keeps its own lags and all share the storage: a few points spread wide over what their own fits hold possible. The weights
 * are a coarse grid of shares of at least a quarter (1/6 for three gauges and more) that leans to nobody: a share of 0 is the other gauge
 * alone, which is a candidate of its own. A few dozen visits can't tell finer shares apart.
 *
 * Units are converted to the first gauge's; the mean reading is exp(x), a geometric mean.
 *
 * @param members two or more discharge gauges on the same visits and grid.
 * @returns the visits on a list of configurations, see CombinedGauge; a reading that one gauge lacks is missing in the mean.
 * @throws RangeError for fewer than 2 members, a fit without draws, a stage, or members that don't hold the same visits.
 * @example combineGauges([{ aligned: a, fit: fitA }, { aligned: b, fit: fitB }]).configurations.length // 96 at most
 */
export function combineGauges(members: readonly CombinedMember[]): CombinedGauge {
  checkMembers(members);
  const first = members[0].aligned;
  const nL = first.lagsHours.length;
  const lists = weightLists(members.length);
  const each = Math.max(1, Math.floor((MOST_CONFIGURATIONS / STORAGES / lists.length) ** (1 / members.length)));
  const lags = members.map(({ fit }) => spreadPoints(marginal(fit, { size: nL, at: (g) => g % nL }), each));
  const nK = first.storagesHours.length;
  const byStorage = members.map(({ fit }) => marginal(fit, { size: nK, at: (g) => Math.floor(g / nL) }));
  const shared = byStorage[0].map((_, k) => byStorage.reduce((sum, own) => sum + own[k], 0));
  const tuples = lags.reduce<number[][]>((all, own) => all.flatMap((t) => own.map((l) => [...t, l])), [[]]);
  const choices = spreadPoints(shared, STORAGES).flatMap((k) =>
    lists.flatMap((weights) => tuples.map((tuple) => ({ weights, points: tuple.map((l) => k * nL + l) }))),
  );
  const mean = (of: 'x' | 'slope' | 'shift', width: number): Float64Array => {
    const out = new Float64Array(choices.length * width);
    choices.forEach(({ weights, points }, v) =>
      members.forEach(({ aligned }, j) => {
        const add = of === 'x' ? Math.log(convertUnit(1, aligned.unit, first.unit)) : 0;
        for (let i = 0; i < width; i++) out[v * width + i] += weights[j] * (aligned[of][points[j] * width + i] + add);
      }),
    );
    return out;
  };
  const configurations = choices.map(({ weights, points }) =>
    members.map(({ aligned }, j): CombinedPart => ({
      gauge: aligned.gauge,
      weight: weights[j],
      lagHours: first.lagsHours[points[j] % nL],
      storageHours: first.storagesHours[Math.floor(points[j] / nL)],
    })),
  );
  const gauge = members.map(({ aligned }) => aligned.gauge).join('+');
  const name = members.map(({ aligned }) => aligned.gaugeName).join(' with ');
  return {
    kind: 'combined-gauge',
    id: gauge,
    name,
    aligned: {
      ...first,
      gauge,
      gaugeName: name,
      offset: 0,
      lagsHours: Float64Array.of(Math.min(...configurations.flatMap((parts) => parts.map((p) => p.lagHours)))),
      storagesHours: Float64Array.from(choices, (_, v) => v),
      x: mean('x', first.nodeWeight.length),
      slope: mean('slope', first.visitIds.length),
      shift: mean('shift', first.sightingRow.length),
    },
    configurations,
  };
}

/**
 * A configuration as a derived gauge: read at the time of the part with the shortest lag, the others so many hours earlier. Its own fit
 * decides on lag and storage anew.
 */
export function derivedMean(
  { id, name }: Pick<CombinedGauge, 'id' | 'name'>,
  parts: readonly CombinedPart[],
): DerivedGauge {
  const ordered = [...parts].sort((a, b) => a.lagHours - b.lagHours);
  return {
    id,
    name,
    kind: 'mean',
    of: ordered.map(({ gauge }) => gauge),
    weights: ordered.map(({ weight }) => weight),
    travelHours: ordered.map(({ lagHours }) => lagHours - ordered[0].lagHours),
  };
}

/**
 * Shares of J gauges that sum to 1: for two a quarter, a half, three quarters; else all alike, or one of them twice as much as each other.
 */
export function weightLists(J: number): number[][] {
  if (J === 2) return PAIR_WEIGHTS.map((w) => [w, 1 - w]);
  const even = Array.from({ length: J }, () => 1 / J);
  return [even, ...even.map((_, heavy) => even.map((__, j) => (j === heavy ? 2 : 1) / (J + 1)))];
}

/**
 * Power of the posterior that points are spread over: nearly flat where it has any weight, so that the data weigh the points once, in the
 * combined fit.
 */
const TEMPERED = 0.25;

function marginal({ grid }: LevelFit, { size, at }: { size: number; at: (g: number) => number }): Float64Array {
  const out = new Float64Array(size);
  grid.probability.forEach((p, g) => (out[at(g)] += p));
  const tempered = out.map((p) => p ** TEMPERED);
  const total = tempered.reduce((a, b) => a + b, 0);
  return tempered.map((p) => p / total);
}

/** Places in the middle of `count` equal parts of some shares, without repeats. */
function spreadPoints(share: Float64Array, count: number): number[] {
  const total = share.reduce((a, b) => a + b, 0);
  const out = new Set<number>();
  let below = 0;
  let next = 0;
  for (let g = 0; g < share.length && next < count; g++) {
    below += share[g] / total;
    while (next < count && (next + 0.5) / count <= below + 1e-12) {
      out.add(g);
      next++;
    }
  }
  return [...out];
}

function checkMembers(members: readonly CombinedMember[]): void {
  if (members.length < 2) throw new RangeError(`combineGauges: needs 2 members or more, got ${members.length}`);
  const first = members[0].aligned;
  for (const { aligned, fit } of members) {
    if (!(fit.draws.count > 0))
      throw new RangeError(`combineGauges: the fit of ${aligned.gauge} has no draws (status ${fit.status})`);
    if (aligned.parameter !== 'discharge')
      throw new RangeError(`combineGauges: ${aligned.gauge} is a ${aligned.parameter}; only discharges are combined`);
    const sizes = (of: Aligned) => [of.sightingRow, of.nodeWeight, of.lagsHours, of.storagesHours].map((a) => a.length);
    const same = aligned.visitIds.every((v, i) => v === first.visitIds[i]) && `${sizes(aligned)}` === `${sizes(first)}`;
    if (!same)
      throw new RangeError(
        `combineGauges: ${first.gauge} and ${aligned.gauge} do not hold the same visits; cut both down to the visits they share`,
      );
  }
}
