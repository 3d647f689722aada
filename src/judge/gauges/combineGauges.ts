import type { Aligned } from '../../align/types.js';
import type { LevelFit } from '../../fit/types.js';
import { convertUnit } from '../../series/units.js';
import type { CombinedGauge, CombinedPart } from './types.js';

/** A gauge that enters a mean: the visits against it and its fit at the lead asked for. */
export interface CombinedMember {
  readonly aligned: Aligned;
  readonly fit: LevelFit;
}

/** Configurations of a combined gauge at most: enough for weights and the likely lags, and cheap to fit. */
const MOST_CONFIGURATIONS = 48;

/** Weights of a part go in steps of a quarter for two gauges; see `weightLists`. */
const PAIR_WEIGHTS = [0.25, 0.5, 0.75];

/**
 * A weighted mean of ln effective readings, x = Σ w_j ln e_j(t - L_j), as an aligned of its own that `fitLevels` takes.
 *
 * Each gauge keeps its own lags and storages: a few points spread wide over what its own fit holds possible. The weights
 * are a coarse grid of shares of at least a quarter (1/6 for three gauges and more) that leans to nobody: a share of 0 is the other gauge alone, which is a candidate of its
 * own. Points × weights make the configurations; the fit averages over them by their evidence, so that weights are not picked either, and leaving a flood
 * out takes its part in them out as well. A few dozen visits can't tell finer shares apart.
 *
 * Units are converted to the first gauge's; the mean reading is exp(x), a geometric mean.
 *
 * @param members two or more gauges of one parameter on the same visits.
 * @returns the visits on a list of configurations, see CombinedGauge; a reading that one gauge lacks is missing in the mean.
 * @throws RangeError for fewer than 2 members, a fit without draws, a stage with a discharge, or members that don't hold the same visits.
 * @example combineGauges([{ aligned: a, fit: fitA }, { aligned: b, fit: fitB }]).configurations.length // 48 at most
 */
export function combineGauges(
  members: readonly CombinedMember[],
  { id, name }: { id?: string; name?: string } = {},
): CombinedGauge {
  checkMembers(members);
  const first = members[0].aligned;
  const lists = weightLists(members.length);
  const each = Math.max(1, Math.floor((MOST_CONFIGURATIONS / lists.length) ** (1 / members.length)));
  const points = members.map(({ fit }) => spreadPoints(fit, each));
  const tuples = points.reduce<number[][]>((all, own) => all.flatMap((t) => own.map((g) => [...t, g])), [[]]);
  const choices = lists.flatMap((weights) => tuples.map((tuple) => ({ weights, tuple })));
  const configurations = choices.map(({ weights, tuple }) =>
    members.map(({ aligned }, j): CombinedPart => {
      const nL = aligned.lagsHours.length;
      return {
        gauge: aligned.gauge,
        weight: weights[j],
        lagHours: aligned.lagsHours[tuple[j] % nL],
        storageHours: aligned.storagesHours[Math.floor(tuple[j] / nL)],
      };
    }),
  );
  const mean = (of: 'x' | 'slope' | 'shift', width: number): Float64Array => {
    const out = new Float64Array(choices.length * width);
    choices.forEach(({ weights, tuple }, v) =>
      members.forEach(({ aligned }, j) => {
        const add = of === 'x' ? Math.log(convertUnit(1, aligned.unit, first.unit)) : 0;
        const from = tuple[j] * width;
        for (let i = 0; i < width; i++) out[v * width + i] += weights[j] * (aligned[of][from + i] + add);
      }),
    );
    return out;
  };
  const ids = members.map(({ aligned }) => aligned.gauge);
  const gauge = id ?? ids.join('+');
  const gaugeName = name ?? members.map(({ aligned }) => aligned.gaugeName).join(' with ');
  return {
    kind: 'combined-gauge' as const,
    id: gauge,
    name: gaugeName,
    members: ids,
    aligned: {
      ...first,
      gauge,
      gaugeName,
      offset: 0,
      lagsHours: Float64Array.of(Math.min(...configurations.flatMap((parts) => parts.map((p) => p.lagHours)))),
      storagesHours: Float64Array.from(choices, (_, v) => v),
      x: mean('x', first.nodeWeight.length),
      slope: mean('slope', first.visitIds.length),
      shift: mean('shift', first.sightingRow.length),
    },
    configurations: configurations,
  };
}

/** Shares of J gauges that sum to 1: for two a quarter, a half, three quarters; else all alike, or one of them twice as much as each other. */
export function weightLists(J: number): number[][] {
  if (J === 2) return PAIR_WEIGHTS.map((w) => [w, 1 - w]);
  const even = Array.from({ length: J }, () => 1 / J);
  return [even, ...even.map((_, heavy) => even.map((__, j) => (j === heavy ? 2 : 1) / (J + 1)))];
}

/** Power of the posterior that points are spread over: nearly flat where it has any weight, so that the data weigh the points once, in the combined fit. */
const TEMPERED = 0.25;

/**
 * Grid points in the middle of `count` equal shares of a fit's tempered posterior, without repeats. From the posterior itself the points would be as sure of the lag as all
 * floods together, also of the one that is left out later.
 */
function spreadPoints({ grid }: LevelFit, count: number): number[] {
  const share = grid.probability.map((p) => p ** TEMPERED);
  const total = share.reduce((a, b) => a + b, 0);
  const out = new Set<number>();
  let below = 0;
  let next = 0;
  for (let g = 0; g < share.length && next < count; g++) {
    below += share[g] / total;
    while (next < count && (next + 0.5) / count <= below) {
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
    if (aligned.parameter !== first.parameter)
      throw new RangeError(
        `combineGauges: ${first.gauge} is a ${first.parameter}, ${aligned.gauge} a ${aligned.parameter}`,
      );
    const same =
      aligned.visitIds.length === first.visitIds.length &&
      aligned.visitIds.every((v, i) => v === first.visitIds[i]) &&
      aligned.sightingRow.length === first.sightingRow.length &&
      aligned.nodeWeight.length === first.nodeWeight.length;
    if (!same)
      throw new RangeError(
        `combineGauges: ${first.gauge} and ${aligned.gauge} do not hold the same visits; cut both down to the visits they share`,
      );
  }
}
