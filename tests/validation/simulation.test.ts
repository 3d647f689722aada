import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitCreek, gridHit, placeOf, type EdgeHit } from '../../tools/simulate/fitCreek.js';
import { lastingErrors } from '../../tools/simulate/lastingErrors.js';
import { makeCreek } from '../../tools/simulate/makeCreek.js';
import { HOUR, START } from '../../tools/simulate/rainRecord.js';
import { chiSquareTail9, rankTest } from '../../tools/simulate/rankTest.js';
import { coverage, summarise, type Block, type Coverage } from '../../tools/simulate/summarise.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

/** The small twin of `npx tsx tools/simulate/creeks.ts`: the model's own world, 16 creeks of 60 visits. */
const outcomes = Array.from({ length: 16 }, (_, i) => fitCreek('model', { visits: 60, seed: 500 + i, draws: 400 }));
const charts = outcomes.flatMap((o) => o.intervals ?? []);

/** Edges of one creek move together: of its five to eight, about two are independent. */
const INDEPENDENT = 2 * outcomes.length;
const least = (p: number): number => p - 3 * Math.sqrt((p * (1 - p)) / INDEPENDENT);

describe('intervals on simulated creeks', () => {
  const edges = charts.flatMap((c) => c.edges);

  it('hold the true edges about as often as they say', () => {
    const { in80, in95, cases } = coverage(edges);
    expect(charts).toHaveLength(outcomes.length);
    expect(cases).toBeGreaterThan(80);
    expect(in80).toBeGreaterThanOrEqual(least(0.8));
    expect(in95).toBeGreaterThanOrEqual(least(0.95));
  });

  it('would be caught if they were half as wide, and are no wider than they need to be', () => {
    const halved = (e: EdgeHit): boolean => Math.abs(e.error) <= e.width80 / 4;
    expect(edges.filter(halved).length / edges.length).toBeLessThan(least(0.8));
  });

  it('lie on neither side of the truth', () => {
    const errors = charts.map((c) => c.edges.reduce((sum, e) => sum + e.error, 0) / c.edges.length);
    const mean = errors.reduce((a, b) => a + b, 0) / errors.length;
    // In the full run a creek's mean error has an sd of 0.13 at 25 visits and 0.08 at 80.
    const sd = 0.095;
    expectClose(mean, 0, {
      abs: (3 * sd) / Math.sqrt(errors.length),
      why: 'one mean error a creek, three standard errors',
    });
  });

  it('find the lag and the storage', () => {
    expect(charts.filter((c) => Math.abs(c.lag.error) <= 1.5).length).toBeGreaterThanOrEqual(10);
    for (const hits of [charts.map((c) => c.lag), charts.map((c) => c.storage)])
      expect(coverage(hits).in95).toBeGreaterThanOrEqual(0.95 - 3 * Math.sqrt((0.95 * 0.05) / charts.length));
  });
});

describe('makeCreek', () => {
  it('makes the same creek from the same seed, another from another', () => {
    const one = makeCreek('model', { visits: 25, seed: 3 });
    expect(makeCreek('model', { visits: 25, seed: 3 })).toEqual(one);
    expect(makeCreek('model', { visits: 25, seed: 4 }).truth).not.toEqual(one.truth);
  });

  it('logs as many visits as asked, at least six hours apart, by daylight, each with something seen', () => {
    const { visits } = makeCreek('model', { visits: 80, seed: 9 });
    expect(visits).toHaveLength(80);
    visits.forEach((v, i) => {
      const hour = ((v.timeMs - START) / HOUR) % 24;
      expect(hour >= 8 && hour <= 18).toBe(true);
      expect(v.sightings.length).toBeGreaterThan(0);
      if (i > 0) expect(v.timeMs - visits[i - 1].timeMs).toBeGreaterThanOrEqual(6 * HOUR);
    });
  });

  it('keeps to its ranges: lag, storage on the grid and between, mismatch, edges ascending, features with and without classes', () => {
    const made = Array.from({ length: 60 }, (_, i) => makeCreek('model', { visits: 5, seed: i + 1 }));
    const truths = made.map((m) => m.truth);
    for (const { lagHours, storageHours, mismatch, features } of truths) {
      expect(lagHours >= 0 && lagHours <= 8).toBe(true);
      expect(storageHours >= -12 && storageHours <= 18).toBe(true);
      expect(mismatch >= 0.1 && mismatch <= 0.5).toBe(true);
      for (const { edges, classes } of features) {
        expect(edges).toHaveLength(classes.length - 1);
        for (let k = 1; k < edges.length; k++) expect(edges[k]).toBeGreaterThan(edges[k - 1]);
      }
    }
    const whole = truths.filter((t) => Number.isInteger(t.storageHours)).length;
    expect(whole).toBeGreaterThan(15);
    expect(whole).toBeLessThan(45);
    const staffs = made.filter((m) => m.run.features.some((f) => f.unit === 'cm')).length;
    expect(staffs).toBeGreaterThan(15);
    expect(staffs).toBeLessThan(50);
  });

  it('draws mismatch and blur of the priors world from their priors', () => {
    const truths = Array.from({ length: 200 }, (_, i) => makeCreek('priors', { visits: 3, seed: i + 1 }).truth);
    for (const [values, median] of [
      [truths.map((t) => t.mismatch), 0.35],
      [truths.map((t) => t.features[0].blur), 0.15],
    ] as const) {
      const z = values.map((v) => Math.log(v / median) / 0.7);
      const mean = z.reduce((a, b) => a + b, 0) / z.length;
      const sd = Math.sqrt(z.reduce((a, b) => a + (b - mean) ** 2, 0) / (z.length - 1));
      expectClose(mean, 0, { abs: 3 / Math.sqrt(200), why: 'a standard normal, three standard errors' });
      expectClose(sd, 1, { abs: 3 / Math.sqrt(400), why: 'a standard normal, three standard errors' });
    }
  });
});

describe('lastingErrors', () => {
  it('have the sd asked for, last for two days and have heavy tails', () => {
    const series = Array.from({ length: 12 }, (_, s) => {
      const error = lastingErrors(createRandom(s), 0.3);
      return Array.from({ length: 8000 }, (_, t) => error(START + (t + 500) * HOUR));
    });
    const all = series.flat();
    const variance = all.reduce((a, e) => a + e * e, 0) / all.length;
    expectClose(Math.sqrt(variance), 0.3, { rel: 0.12, why: 'some 1000 independent stretches with heavy tails' });
    const product = series.flatMap((s) => s.slice(48).map((e, t) => e * s[t]));
    const after48 = product.reduce((a, p) => a + p, 0) / product.length / variance;
    expectClose(after48, Math.exp(-1), { abs: 0.1, why: 'a memory of 48 hours' });
    const steps = series.flatMap((s) => s.slice(1).map((e, t) => e - Math.exp(-1 / 48) * s[t]));
    const m2 = steps.reduce((a, d) => a + d ** 2, 0) / steps.length;
    const m4 = steps.reduce((a, d) => a + d ** 4, 0) / steps.length;
    expect(m4 / m2 ** 2).toBeGreaterThan(6);
  });
});

describe('gridHit', () => {
  const posterior = { hours: [0, 3, 6, 12], probability: [0.1, 0.5, 0.3, 0.1], median: 3, tie: 0.5 };

  it('holds a truth between grid points to the step of the search, strictly only up to the grid point', () => {
    const intervals = { i80: [3, 6], i95: [0, 12] } as const;
    const at = (value: number) => gridHit(value, { ...posterior, ...intervals });
    expect(at(8.9)).toMatchObject({ in80: true, strict80: false, in95: true, strict95: true });
    expect(at(9.1)).toMatchObject({ in80: false, strict80: false });
    expect(at(1.6)).toMatchObject({ in80: true, strict80: false });
    expect(at(1.4).in80).toBe(false);
    expect(at(12.1).in95).toBe(false);
    expect(at(5).error).toBe(-2);
  });

  it('ranks by the probability below, and its share of the tie', () => {
    const rank = (value: number) => gridHit(value, { ...posterior, i80: [0, 12], i95: [0, 12] }).rank;
    expectClose(rank(6), 0.6 + 0.5 * 0.3, { abs: 1e-12, why: 'by hand' });
    expectClose(rank(6.9), rank(6), { abs: 1e-12, why: 'put to the nearest grid point' });
    expectClose(rank(0), 0.05, { abs: 1e-12, why: 'half of the lowest' });
  });
});

describe('summaries', () => {
  it('place edges on their feature', () => {
    expect([0, 1, 2, 3].map((k) => placeOf(k, 4))).toEqual(['lower outer', 'middle', 'middle', 'upper outer']);
    expect([0, 1].map((k) => placeOf(k, 2))).toEqual(['lower outer', 'upper outer']);
    expect(placeOf(0, 1)).toBe('only');
  });

  it('count what is held and what chance allows', () => {
    const hits = Array.from({ length: 100 }, (_, i) => ({ in80: i < 70, in95: i < 90 }));
    const { in80, in95, least80, least95 } = coverage(hits);
    expect([in80, in95]).toEqual([0.7, 0.9]);
    expectClose(least80, 0.68, { abs: 1e-12, why: '0.8 - 3·0.04' });
    expectClose(least95, 0.95 - 3 * Math.sqrt(0.0475 / 100), { abs: 1e-12, why: 'the definition' });
  });

  it('sum up a block by place, creeks without a chart apart', () => {
    const block = summarise([...outcomes, { world: 'model', visits: 60, seed: 1, intervals: null }]);
    expect([block.creeks, block.withoutChart]).toEqual([17, 1]);
    expect(block.edges.verdict['lower outer']!.cases).toBe(16);
    expect(block.edges.verdict.middle!.cases).toBe(32);
    expect(block.edges.verdict.only).toBe(undefined);
    const sides = block.edgesSeenFromBothSides.cases + (block.edgesSeenFromOneSide?.cases ?? 0);
    expect(sides).toBe(charts.flatMap((c) => c.edges).length);
    expect(block.ranks).toBe(undefined);
  });

  it('test ranks for evenness', () => {
    const even = rankTest(Array.from({ length: 100 }, (_, i) => (i + 0.5) / 100));
    expect([even.bins, even.chi2, even.p]).toEqual([new Array(10).fill(10), 0, 1]);
    // All in one bin of two: (20 - 2)²/2 + 9·2 = 180.
    expect(rankTest(new Array(20).fill(1)).chi2).toBe(180);
    // Percentage points of χ² at 9 degrees of freedom, as in any table (from memory): 16.919 at 5 %, 21.666 at 1 %, 4.168 at 90 %.
    for (const [x, p] of [
      [16.919, 0.05],
      [21.666, 0.01],
      [4.168, 0.9],
    ])
      expectClose(chiSquareTail9(x), p, { abs: 2e-5, why: 'five figures of the table' });
  });
});

describe('validation/simulation.json', () => {
  const { worlds, creeksPerBlock } = JSON.parse(
    readFileSync(new URL('../../validation/simulation.json', import.meta.url), 'utf8'),
  ) as { creeksPerBlock: number; worlds: Record<string, Record<string, Block>> };

  it('holds the full run', () => {
    expect(creeksPerBlock).toBe(200);
    expect(Object.keys(worlds).sort()).toEqual(['broken', 'model', 'priors']);
  });

  // The broken world breaks the model: it is reported as it comes out.
  it.each(['model', 'priors'])('%s: edges by place, lag and storage cover within chance or better', (world) => {
    for (const [visits, block] of Object.entries(worlds[world])) {
      const named: [string, Coverage][] = [
        ...Object.entries(block.edges).flatMap(([of, places]) =>
          Object.entries(places).map(([place, c]): [string, Coverage] => [`${of}, ${place}`, c]),
        ),
        ['lag', block.lag],
        ['storage', block.storage],
      ];
      expect(named.length).toBeGreaterThanOrEqual(9);
      // Known and said in docs/for-the-sceptic.md: with 25 visits and parameters as wide as the priors allow, edges are a little too narrow.
      const short = world === 'priors' && visits === '25 visits' ? 0.04 : 0;
      for (const [name, c] of named) {
        expect(c.in80, `${visits}, ${name}, 80 %`).toBeGreaterThanOrEqual(c.least80 - short);
        expect(c.in95, `${visits}, ${name}, 95 %`).toBeGreaterThanOrEqual(c.least95 - short);
      }
    }
  });

  it('priors: the ranks of the truths are even', () => {
    const tests = Object.values(worlds.priors).flatMap((block) => Object.entries(block.ranks!));
    expect(tests).toHaveLength(16);
    for (const [name, { p }] of tests) expect(p, name).toBeGreaterThan(0.01 / tests.length);
  });
});
