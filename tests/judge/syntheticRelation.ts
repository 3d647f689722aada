import type { Aligned } from '../../src/align/types.js';
import type { FitMode, FittedFeature, LevelFit, Link } from '../../src/fit/types.js';
import { cumulativeOdds } from '../../src/judge/cumulativeOdds.js';

export const FIVE = ['too low', 'low', 'good', 'high', 'too high'];
export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;

export interface SyntheticVisit {
  /** x by grid point; a number stands for all of them. NaN: unmatched. */
  readonly x: number | ((lagHours: number, storageHours: number) => number);
  /** Verdict class, or none. */
  readonly saw?: number;
  readonly flood?: number;
  readonly timeMs?: number;
  readonly slope?: number;
}

/** Visits with exact times and at most one verdict each. */
export function syntheticAligned(
  visits: readonly SyntheticVisit[],
  {
    classes = FIVE,
    lags = [0],
    storages = [0],
    offset = 0,
    stage = false,
  }: { classes?: readonly string[]; lags?: number[]; storages?: number[]; offset?: number; stage?: boolean } = {},
): Aligned {
  const n = visits.length;
  const G = lags.length * storages.length;
  const x = new Float64Array(G * n);
  const slope = new Float64Array(G * n);
  for (let g = 0; g < G; g++)
    visits.forEach((v, i) => {
      x[g * n + i] = typeof v.x === 'number' ? v.x : v.x(lags[g % lags.length], storages[Math.floor(g / lags.length)]);
      slope[g * n + i] = v.slope ?? 0;
    });
  const withVerdict = visits.map((v, i) => ({ ...v, i })).filter((v) => v.saw !== undefined);
  const start = new Int32Array(n + 1);
  visits.forEach((v, i) => (start[i + 1] = start[i] + (v.saw === undefined ? 0 : 1)));
  const m = withVerdict.length;
  return {
    kind: 'aligned',
    run: 'main',
    gauge: 'bridge',
    gaugeName: 'the bridge',
    parameter: stage ? 'stage' : 'discharge',
    unit: stage ? 'm' : 'm3/s',
    offset,
    features: [{ id: 'verdict', name: 'verdict', classes }],
    observers: ['Ann'],
    visitIds: visits.map((_, i) => `v${i}`),
    visitTimesMs: Float64Array.from(visits, (v, i) => v.timeMs ?? i * 10 * DAY),
    sightingStart: start,
    sightingFeature: new Int32Array(m),
    sightingClass: Int32Array.from(withVerdict, (v) => v.saw!),
    sightingValue: new Float64Array(m).fill(NaN),
    sightingObserver: new Int32Array(m),
    sightingRow: Int32Array.from(withVerdict, (v) => v.i + 2),
    lagsHours: Float64Array.from(lags),
    storagesHours: Float64Array.from(storages),
    nodeStart: Int32Array.from({ length: n + 1 }, (_, i) => i),
    nodeWeight: new Float64Array(n).fill(1),
    x,
    slope,
    shift: new Float64Array(G * m),
    flood: Int32Array.from(visits, (v, i) => v.flood ?? i),
    limb: Int8Array.from(visits, (v) => Math.sign(v.slope ?? 0)),
    unmatched: [],
  };
}

export interface SyntheticDraw {
  readonly edges: readonly number[];
  readonly mismatch: number;
  readonly blur: number;
  readonly lagHours?: number;
  readonly storageHours?: number;
  readonly limb?: number;
}

/** A fit made of the draws given, with the visits' log-likelihoods by the plain formula. */
export function syntheticFit(
  aligned: Aligned,
  draws: readonly SyntheticDraw[],
  { link = 'probit', mode = 'effective', leadHours = 0 }: { link?: Link; mode?: FitMode; leadHours?: number } = {},
): LevelFit {
  const D = draws.length;
  const n = aligned.visitIds.length;
  const classes = aligned.features[0].classes;
  const K = classes.length;
  const L = aligned.lagsHours.length;
  const pointOf = (d: SyntheticDraw) =>
    aligned.storagesHours.indexOf(d.storageHours ?? 0) * L + aligned.lagsHours.indexOf(d.lagHours ?? 0);
  const probability = new Float64Array(L * aligned.storagesHours.length);
  for (const d of draws) probability[pointOf(d)] += 1 / D;
  const visitLogLik = new Float64Array(D * n);
  draws.forEach((draw, d) => {
    for (let j = 0; j < aligned.sightingRow.length; j++) {
      const i = visitOf(aligned, j);
      const x = aligned.x[pointOf(draw) * n + i];
      if (!(x === x)) continue;
      const upTo = (k: number) => (k < 0 ? 0 : k >= K - 1 ? 1 : cumulativeOdds(draw.edges[k] - x, { ...draw, link }));
      const k = aligned.sightingClass[j];
      visitLogLik[d * n + i] += Math.log(upTo(k) - upTo(k - 1));
    }
  });
  const verdict: FittedFeature = {
    id: 'verdict',
    name: 'verdict',
    classes,
    edges: Float64Array.from(draws.flatMap((d) => [...d.edges])),
    blur: Float64Array.from(draws, (d) => d.blur),
    sharesMismatch: true,
  };
  return {
    kind: 'level-fit',
    run: aligned.run,
    gauge: aligned.gauge,
    gaugeName: aligned.gaugeName,
    parameter: aligned.parameter,
    unit: aligned.unit,
    offset: aligned.offset,
    mode,
    link,
    leadHours,
    status: 'converged',
    statusSentence: 'Converged.',
    visits: n,
    sightings: aligned.sightingRow.length,
    floods: new Set(aligned.flood).size,
    features: [verdict],
    observers: aligned.observers,
    draws: {
      count: D,
      lagHours: Float64Array.from(draws, (d) => d.lagHours ?? 0),
      storageHours: Float64Array.from(draws, (d) => d.storageHours ?? 0),
      mismatch: Float64Array.from(draws, (d) => d.mismatch),
      observerSd: new Float64Array(D).fill(0.1),
      bias: new Float64Array(D * aligned.observers.length),
      limb: Float64Array.from(draws, (d) => d.limb ?? 0),
      visitLogLik,
    },
    grid: {
      lagsHours: aligned.lagsHours,
      storagesHours: aligned.storagesHours,
      logEvidence: probability.map(Math.log),
      probability,
    },
    reading: { lagHours: draws[0]?.lagHours ?? 0, storageHours: draws[0]?.storageHours ?? 0 },
    logEvidence: 0,
    limbKept: draws.some((d) => d.limb !== undefined),
    limbLogBayesFactor: 0,
    diagnostics: {
      gridPoints: probability.length,
      gridPointsFitted: probability.length,
      iterations: 1,
      gradient: 0,
      condition: 1,
      paretoK: 0,
      effectiveDraws: D,
    },
  };
}

function visitOf(aligned: Aligned, sighting: number): number {
  let i = 0;
  while (aligned.sightingStart[i + 1] <= sighting) i++;
  return i;
}
