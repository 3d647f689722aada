import type { LevelFit } from './types.js';

/** Grid points below this share of the best one's probability are no candidates. */
const SUPPORTED_SHARE = 0.1;

/**
 * The one lag and storage that a sentence can tell people: the grid point that is nearest to the whole posterior (least mean
 * |lag - L| + |storage - k|), among the points that the record supports (at least a tenth of the best one's probability).
 *
 * Where the posterior is one hill this is its pair of medians. Where it has two hills, the medians can fall in the valley between;
 * this stays on a hill.
 *
 * @returns hours; { 0, 0 } for an empty grid.
 */
export function centralReading(grid: LevelFit['grid']): {
  readonly lagHours: number;
  readonly storageHours: number;
} {
  const { lagsHours, storagesHours, probability } = grid;
  const L = lagsHours.length;
  const S = storagesHours.length;
  const lagMass = new Float64Array(L);
  const storageMass = new Float64Array(S);
  let best = 0;
  for (let g = 0; g < L * S; g++) {
    const p = probability[g] > 0 ? probability[g] : 0;
    lagMass[g % L] += p;
    storageMass[Math.floor(g / L)] += p;
    if (p > best) best = p;
  }
  const lagCost = meanDistances(lagsHours, lagMass);
  const storageCost = meanDistances(storagesHours, storageMass);
  let chosen = -1;
  let cost = Infinity;
  for (let g = 0; g < L * S; g++) {
    if (!(probability[g] > 0 && probability[g] >= SUPPORTED_SHARE * best)) continue;
    const here = lagCost[g % L] + storageCost[Math.floor(g / L)];
    if (here < cost) {
      cost = here;
      chosen = g;
    }
  }
  if (chosen < 0) return Object.freeze({ lagHours: 0, storageHours: 0 });
  return Object.freeze({ lagHours: lagsHours[chosen % L], storageHours: storagesHours[Math.floor(chosen / L)] });
}

function meanDistances(points: Float64Array, mass: Float64Array): Float64Array {
  return points.map((at) => {
    let sum = 0;
    for (let i = 0; i < points.length; i++) sum += mass[i] * Math.abs(points[i] - at);
    return sum;
  });
}

/** Smallest lag with a share p of the posterior at or below it, storages summed out; NaN for an empty grid. */
export function lagQuantile({ lagsHours, probability }: LevelFit['grid'], p: number): number {
  const mass = new Float64Array(lagsHours.length);
  for (let g = 0; g < probability.length; g++) mass[g % lagsHours.length] += probability[g];
  let below = 0;
  // A hair of slack, because sums of probabilities that should be p come out a few 1e-16 off.
  const at = mass.findIndex((share) => (below += share) >= p - 1e-12 && below > 0);
  return at < 0 ? NaN : lagsHours[at];
}
