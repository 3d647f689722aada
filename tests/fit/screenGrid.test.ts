import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { gridProbability } from '../../src/fit/drawPosterior.js';
import { findMode } from '../../src/fit/findMode.js';
import { createGridProblem, type ProblemOptions } from '../../src/fit/gridProblem.js';
import { fitGrid, spreadEvidence } from '../../src/fit/levelGrid.js';
import { carry, createScreen } from '../../src/fit/screenGrid.js';
import { expectClose } from '../expectClose.js';
import { BARE, plainAligned } from './plainAligned.js';
import { makeWorld, type WorldOptions } from './world.js';

const WEAK: ProblemOptions = { ...BARE, priors: 'weak', mismatch: true, bias: true };

/** The grid's probabilities as `fitGrid` gives them, and those of climbing at every point from a cold start. */
function bothGrids(world: WorldOptions, { lags, storages }: { lags: readonly number[]; storages: readonly number[] }) {
  const aligned = alignVisits(makeWorld(world), { lagsHours: lags, storagesHours: storages });
  const all = Array.from({ length: lags.length * storages.length }, (_, g) => g);
  const grid = fitGrid(createGridProblem(aligned, WEAK), [all]);
  const found = gridProbability(grid, all);
  const evidence = all.map((g) => spreadEvidence(grid.problem, findMode(grid.problem, g, grid.problem.start(g))));
  const top = Math.max(...evidence);
  const total = evidence.reduce((sum, e) => sum + Math.exp(e - top), 0);
  return { all, grid, ours: all.map((g) => found.get(g) ?? 0), full: evidence.map((e) => Math.exp(e - top) / total) };
}

const lagsOf = (from: number, to: number, step: number) =>
  Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);

describe('fitGrid against climbing at every point of the grid', () => {
  it.each([
    ['40 visits, two features', { seed: 3, visits: 40, ledge: true }],
    ['25 visits, a poor gauge', { seed: 4, visits: 25, ledge: true, mismatch: 0.35 }],
    ['40 visits, a good gauge', { seed: 6, visits: 40, ledge: true, mismatch: 0.1 }],
  ] as const)('%s: what is left out carries no weight', (_, world) => {
    const { all, grid, ours, full } = bothGrids(world, { lags: lagsOf(-6, 18, 1), storages: [-6, 0, 6] });
    all.forEach((g) => expectClose(ours[g], full[g], { abs: 0.01, why: `grid point ${g}` }));
    const missed = all.reduce((sum, g) => sum + (grid.modes.has(g) ? 0 : full[g]), 0);
    expect(missed).toBeLessThan(0.01);
    expect(grid.climbed.size).toBeLessThan(0.6 * all.length);
  });

  it.each([
    ['12 visits', { seed: 5, visits: 12 }],
    ['20 visits', { seed: 9, visits: 20 }],
  ] as const)('%s, half-hour lags: the thinned grid stands for the full one', (_, world) => {
    const lags = lagsOf(0, 24, 0.5);
    const storages = [-6, 0, 6, 12];
    const { all, grid, ours, full } = bothGrids(world, { lags, storages });
    expect(grid.climbed.size).toBeLessThan(0.3 * all.length);
    const lagOf = (g: number) => lags[g % lags.length];
    const moments = (p: readonly number[]) => {
      const mean = p.reduce((sum, w, g) => sum + w * lagOf(g), 0);
      return { mean, sd: Math.sqrt(p.reduce((sum, w, g) => sum + w * (lagOf(g) - mean) ** 2, 0)) };
    };
    const [a, b] = [moments(ours), moments(full)];
    expectClose(a.mean, b.mean, { abs: 0.25 * b.sd, why: 'mean lag' });
    expectClose(a.sd, b.sd, { rel: 0.2, why: 'sd of the lag' });
    storages.forEach((k, s) => {
      const share = (p: readonly number[]) =>
        p.slice(s * lags.length, (s + 1) * lags.length).reduce((sum, w) => sum + w, 0);
      expectClose(share(ours), share(full), { abs: 0.1, why: `storage ${k}` });
    });
  });
});

describe('createScreen', () => {
  const aligned = alignVisits(makeWorld({ seed: 3, visits: 40 }), { lagsHours: lagsOf(0, 6, 1), storagesHours: [0] });
  const problem = createGridProblem(aligned, WEAK);
  const mode = findMode(problem, 3, problem.start(3));
  const look = createScreen(problem, mode);

  it('finds its own reference again: c = x, and the reference’s mismatch', () => {
    let prospect = look(3);
    for (let n = 0; n < 10; n++) prospect = look(3, prospect);
    expectClose(prospect.alpha, 0, { abs: 0.1, why: 'alpha' });
    expectClose(prospect.beta, 1, { abs: 0.1, why: 'beta' });
    expectClose(prospect.sigma, Math.exp(mode.u[problem.plan.lnSigma]), { rel: 0.25, why: 'sigma' });
  });

  it('never goes down from round to round', () => {
    for (const g of [0, 2, 6]) {
      let before = look(g);
      for (let n = 0; n < 5; n++) {
        const next = look(g, before);
        expect(next.logLik).toBeGreaterThanOrEqual(before.logLik - 1e-6);
        before = next;
      }
    }
  });

  it('gives no prospect to a point with fewer than three gauge values', () => {
    const blind = plainAligned(
      [NaN, 1, 2, NaN, 3].map((x, i) => ({ x: [x, i === 1 ? NaN : x], looks: [{ saw: i % 2 }] })),
      { features: [['no', 'yes']], lags: [0, 1] },
    );
    const there = createGridProblem(blind, WEAK);
    const screen = createScreen(there, findMode(there, 0, there.start(0)));
    expect(Number.isFinite(screen(0).logLik)).toBe(true);
    expect(screen(1).logLik).toBe(-Infinity);
  });
});

describe('carry', () => {
  const aligned = plainAligned(
    [0, 1, 2].map((x) => ({ x, looks: [{ saw: x }, { feature: 1, value: x }] })),
    { features: [['a', 'b', 'c'], 'cm'] },
  );
  const problem = createGridProblem(aligned, WEAK);
  const u = problem.start(0);

  it('moves edges, gaps, blur, slopes and mismatch by the map c = alpha + beta·x', () => {
    const moved = problem.natural(carry(problem, u, { logLik: 0, alpha: 0.4, beta: 0.8, sigma: 0.3 }));
    const before = problem.natural(u);
    for (const k of [0, 1]) expectClose(moved[k], (before[k] - 0.4) / 0.8, { abs: 1e-12, why: `edge ${k}` });
    expectClose(moved[2], before[2] - Math.log(0.8), { abs: 1e-12, why: 'ln blur' });
    expectClose(moved[4], before[4] + Math.log(0.8), { abs: 1e-12, why: 'ln slope of the staff' });
    expectClose(Math.exp(moved[problem.plan.lnSigma]), 0.3 / 0.8, { abs: 1e-12, why: 'mismatch' });
  });

  it('stays where it is when the map says that the gauge says nothing', () => {
    expect([...carry(problem, u, { logLik: 0, alpha: 0.4, beta: 0.1, sigma: 0.3 })]).toEqual([...u]);
  });
});
