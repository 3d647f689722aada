import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import type { Aligned } from '../../src/align/types.js';
import { findMode } from '../../src/fit/findMode.js';
import { ratingAt, stateAt } from '../../src/fit/ratingAt.js';
import { formsOf } from '../../src/fit/warmStart.js';
import { fitLevels, type FitOptions } from '../../src/fit/fitLevels.js';
import { LIMB_LOG_BAYES_FACTOR } from '../../src/fit/termEvidence.js';
import { isSeparated } from '../../src/fit/fitStatus.js';
import { createGridProblem } from '../../src/fit/gridProblem.js';
import type { LevelFit } from '../../src/fit/types.js';
import { createRandom } from '../../src/kernel/random.js';
import type { Visit } from '../../src/series/visits.js';
import { expectClose } from '../expectClose.js';
import { BARE, plainAligned, type PlainVisit } from './plainAligned.js';
import { EDGES, makeWorld, type World } from './world.js';

const GRID = { lagsHours: Array.from({ length: 19 }, (_, i) => i - 6), storagesHours: [-6, 0, 6] };
const QUICK: FitOptions = { draws: 300, seed: 1 };

function fit(world: Pick<World, 'creek' | 'run' | 'record' | 'visits'>, options: FitOptions = QUICK) {
  return fitLevels(alignVisits(world, GRID), options);
}

const sorted = (draws: ArrayLike<number>) => Float64Array.from(draws).sort();
const quantile = (draws: ArrayLike<number>, p: number) => sorted(draws)[Math.floor(p * (draws.length - 1))];
const median = (draws: ArrayLike<number>) => quantile(draws, 0.5);

/** Draws of edge k of a feature. */
function edgeOf({ features, draws }: LevelFit, k: number, feature = 0): Float64Array {
  const inner = features[feature].classes.length - 1;
  return Float64Array.from({ length: draws.count }, (_, d) => features[feature].edges[d * inner + k]);
}

/** A fit as plain text: every number of every draw. */
const bytes = (value: unknown) =>
  JSON.stringify(value, (_, v: unknown) => (v instanceof Float64Array ? [...v].map(String) : v));

describe('fitLevels on a world whose truth is known', () => {
  const world = makeWorld({ seed: 2, visits: 60, ledge: true, staff: true });
  const fits = fit(world, { draws: 600, seed: 1 });

  it('finds edges and lag, and mismatch and blur as the priors have them', () => {
    const { 'one-reading': oneReading } = fits;
    expect(oneReading.status).toBe('converged');
    EDGES.forEach((edge, k) => {
      const draws = edgeOf(oneReading, k);
      const truth = edge + world.mean;
      expect(quantile(draws, 0.005)).toBeLessThan(truth);
      expect(quantile(draws, 0.995)).toBeGreaterThan(truth);
    });
    expectClose(median(oneReading.draws.lagHours), 3, { abs: 2, why: 'lag' });
    expectClose(median(oneReading.draws.mismatch), 0.2, { rel: 0.75, why: 'mismatch; its prior has 0.35' });
    expectClose(median(oneReading.features[0].blur), 0.15, { rel: 0.7, why: 'blur' });
  });

  // The priors alone, with medians of 0.35 and 0.15, would put mismatch and blur into neither place.
  it.each([
    { mismatch: 0.05, blur: 0.45 },
    { mismatch: 0.6, blur: 0.04 },
  ])('finds mismatch $mismatch and blur $blur, far from their priors', (truth) => {
    const far = makeWorld({ seed: 4, visits: 80, ledge: true, staff: true, ...truth });
    const { draws, features } = fit(far, { ...QUICK, modes: ['one-reading'] })['one-reading'];
    const found = { mismatch: median(draws.mismatch), blur: median(features[0].blur) };
    if (truth.mismatch < truth.blur) expect([found.mismatch < 0.1, found.blur > 0.3]).toEqual([true, true]);
    else expect([found.mismatch > 0.4, found.blur < 0.1]).toEqual([true, true]);
  });

  it('orders the edges of every draw and keeps every number finite', () => {
    for (const f of [fits['one-reading'], fits.effective, fits['any-lag']]) {
      for (let k = 1; k < 4; k++) {
        const lower = edgeOf(f, k - 1);
        expect(edgeOf(f, k).every((e, d) => e > lower[d])).toBe(true);
      }
      for (const draws of Object.values(f.draws))
        if (draws instanceof Float64Array) expect(draws.every(Number.isFinite)).toBe(true);
      expect(f.draws.mismatch.every((s) => s > 0)).toBe(true);
    }
  });

  it('fits the staff: power law or line, slope and noise near the truth', () => {
    const staff = fits['one-reading'].features[2];
    expect([staff.id, staff.unit, [...staff.edges], [...staff.blur]]).toEqual(['staff', 'cm', [], []]);
    const { base, a, p, noise } = staff.rating!;
    const reads = (x: number) =>
      median(
        base.map((b, d) => (staff.rating!.form === 'power' ? b + Math.exp((x - a[d]) / p[d]) : b + (x - a[d]) / p[d])),
      );
    for (const x of [-0.5, 0, 0.8])
      expectClose(reads(x + world.mean), 20 + 30 * Math.exp(x / 1.7), { rel: 0.12, why: `staff at ${x}` });
    expect(median(noise)).toBeLessThan(8);
  });

  it('keeps the lead of each mode: one reading and effective from the lead on, any lag on both sides', () => {
    const lead = fit(world, { ...QUICK, leadHours: 4 });
    expect(Math.min(...lead['one-reading'].draws.lagHours)).toBeGreaterThanOrEqual(4);
    expect(Math.min(...lead.effective.draws.lagHours)).toBeGreaterThanOrEqual(4);
    expect(new Set(lead['one-reading'].draws.storageHours)).toEqual(new Set([0]));
    expect(new Set(lead['any-lag'].draws.storageHours)).toEqual(new Set([0]));
    expect([lead['one-reading'].leadHours, lead['any-lag'].leadHours]).toEqual([4, 4]);
    const negative = lead['any-lag'].grid.probability.reduce(
      (sum, p, g) => sum + (lead['any-lag'].grid.lagsHours[g % 19] < 4 ? p : 0),
      0,
    );
    // The water passed the gauge 3 h before: the any-lag fit may say so, the others may not know yet.
    expect(negative).toBeGreaterThan(0.2);
  });

  it('has probabilities that sum to 1 on each mode’s own part of the grid and on the surface', () => {
    const total = (p: Float64Array) => p.reduce((a, b) => a + b, 0);
    for (const f of [fits['one-reading'], fits.effective, fits['any-lag']])
      expectClose(total(f.grid.probability), 1, { abs: 1e-9, why: f.mode });
    expectClose(total(fits.surface), 1, { abs: 1e-9, why: 'surface' });
    fits['one-reading'].grid.probability.forEach((p, g) => {
      if (GRID.lagsHours[g % 19] < 0 || Math.floor(g / 19) !== 1) expect(p).toBe(0);
    });
  });

  it('says what it did', () => {
    const { diagnostics, visits, sightings, floods, observers, mode, link } = fits.effective;
    expect([visits, sightings, observers.length, mode, link]).toEqual([60, 180, 3, 'effective', 'probit']);
    expect(floods).toBeGreaterThan(5);
    expect(diagnostics.gridPoints).toBe(39);
    expect(diagnostics.gridPointsFitted).toBeGreaterThan(0);
    expect(diagnostics.paretoK).toBeLessThan(1);
    expect(diagnostics.effectiveDraws).toBeGreaterThan(100);
    expect(fits.effective.statusSentence).toMatch(/^The fit settled/);
    expect(Object.isFrozen(fits) && Object.isFrozen(fits.effective) && Object.isFrozen(fits.effective.draws)).toBe(
      true,
    );
  });

  it('reports its progress upwards to the end', () => {
    const seen: number[] = [];
    let last = 0;
    fit(world, { ...QUICK, onProgress: ({ done, total }) => seen.push((last = done / total)) });
    expect(seen.length).toBeGreaterThan(3);
    expect(seen.every((s, i) => i === 0 || s >= seen[i - 1])).toBe(true);
    expect(last).toBe(1);
  });
});

describe('fitLevels: what must not matter, and what must', () => {
  const world = makeWorld({ seed: 12, visits: 24, ledge: true });
  const base = fit(world);

  it('a factor on the gauge moves the edges by its logarithm and nothing else', () => {
    const cfs = fit({ ...world, record: { ...world.record, values: world.record.values.map((v) => 35.3146667 * v) } });
    for (const mode of ['one-reading', 'effective', 'any-lag'] as const) {
      for (let k = 0; k < 4; k++)
        edgeOf(base[mode], k).forEach((e, d) =>
          expectClose(edgeOf(cfs[mode], k)[d], e + Math.log(35.3146667), { abs: 1e-5, why: `${mode}, edge ${k}` }),
        );
      base[mode].grid.probability.forEach((p, g) =>
        expectClose(cfs[mode].grid.probability[g], p, { abs: 1e-6, why: `${mode}, grid point ${g}` }),
      );
      base[mode].draws.mismatch.forEach((s, d) =>
        expectClose(cfs[mode].draws.mismatch[d], s, { rel: 1e-5, why: `${mode}, mismatch` }),
      );
    }
  });

  it('the same seed gives the same bytes; another seed other draws of the same posterior', () => {
    expect(bytes(fit(world))).toBe(bytes(base));
    const other = fit(world, { ...QUICK, seed: 2 });
    expect(bytes(other['one-reading'].draws)).not.toBe(bytes(base['one-reading'].draws));
    expect([...other['one-reading'].grid.probability]).toEqual([...base['one-reading'].grid.probability]);
    for (let k = 0; k < 4; k++) {
      const [a, b] = [edgeOf(base['one-reading'], k), edgeOf(other['one-reading'], k)];
      const spread = quantile(a, 0.84) - quantile(a, 0.16);
      expectClose(median(b), median(a), { abs: 0.2 * spread, why: `median of edge ${k}` });
    }
  });

  it('the order of the visits is irrelevant', () => {
    const turned = [...world.visits].sort((a, b) => (a.id < b.id ? 1 : -1));
    expect(bytes(fit({ ...world, visits: turned }))).toBe(bytes(base));
  });

  it('the order of the rows within a visit only rounds', () => {
    const turned = world.visits.map((v) => ({ ...v, sightings: [...v.sightings].reverse() }));
    const other = fit({ ...world, visits: turned });
    for (let k = 0; k < 4; k++)
      edgeOf(base.effective, k).forEach((e, d) =>
        expectClose(edgeOf(other.effective, k)[d], e, { abs: 1e-6, why: `edge ${k}` }),
      );
  });

  it('wider priors widen intervals, most where few looks speak', () => {
    const few = makeWorld({ seed: 12, visits: 8 });
    const widths = [0.5, 1, 2].map((priorWidth) => {
      const { 'one-reading': oneReading } = fit(few, { draws: 600, seed: 1, priorWidth });
      return [0, 1, 2, 3].reduce((sum, k) => {
        const draws = edgeOf(oneReading, k);
        return sum + quantile(draws, 0.9) - quantile(draws, 0.1);
      }, 0);
    });
    expect(widths[1]).toBeGreaterThan(1.2 * widths[0]);
    expect(widths[2]).toBeGreaterThan(1.2 * widths[1]);
  });

  it('classes turned round on a gauge turned round: edges, lag and everything else mirrored (mode, four classes)', () => {
    const random = createRandom(5);
    const visits = Array.from({ length: 18 }, (_, i): PlainVisit => {
      const x = random.normal();
      const saw = [-0.7, 0, 0.9].filter((e) => x + 0.4 * random.normal() > e).length;
      return { x, looks: [{ saw, observer: i % 2 }] };
    });
    const turned = visits.map(({ x, looks: [l] }) => ({ x: -(x as number), looks: [{ ...l, saw: 3 - l.saw! }] }));
    const modeOf = (v: readonly PlainVisit[]) => {
      const aligned = plainAligned(v, { features: [['a', 'b', 'c', 'd']], observers: 2 });
      const problem = createGridProblem(aligned, { ...BARE, priors: 'weak', mismatch: true, bias: true });
      const mode = findMode(problem, 0, problem.start(0), { tolerance: 1e-12 });
      return { natural: problem.natural(mode.u), evidence: mode.logEvidence };
    };
    const [a, b] = [modeOf(visits), modeOf(turned)];
    expectClose(b.evidence, a.evidence, { abs: 1e-4, why: 'evidence' });
    [0, 1, 2].forEach((k) => expectClose(b.natural[k], -a.natural[2 - k], { abs: 1e-5, why: `edge ${k}` }));
    expectClose(b.natural[3], a.natural[3], { abs: 1e-5, why: 'ln blur' });
    expectClose(b.natural[4], a.natural[4], { abs: 1e-5, why: 'ln mismatch' });
    [6, 7].forEach((o) => expectClose(b.natural[o], -a.natural[o], { abs: 1e-5, why: `bias ${o}` }));
  });

  it('logit gives about the odds of probit', () => {
    const logit = fit(world, { ...QUICK, link: 'logit', lasting: false });
    const base = { 'one-reading': fit(world, { ...QUICK, modes: ['one-reading'], lasting: false })['one-reading'] };
    expect(logit['one-reading'].link).toBe('logit');
    for (let k = 0; k < 4; k++)
      expectClose(median(edgeOf(logit['one-reading'], k)), median(edgeOf(base['one-reading'], k)), {
        abs: 0.15,
        why: `edge ${k}`,
      });
    // A logistic of scale s has sd 1.8 s.
    expect(median(logit['one-reading'].features[0].blur)).toBeLessThan(
      1.1 * median(base['one-reading'].features[0].blur),
    );
  });

  it('fits only the modes asked for', () => {
    const only = fit(world, { ...QUICK, modes: ['one-reading'] });
    expect([only['one-reading'].draws.count, only.effective.draws.count, only['any-lag'].draws.count]).toEqual([
      300, 0, 0,
    ]);
    // Other starts of the same climbs: the same chart but for the draws' luck.
    for (const k of [0, 1, 2, 3])
      expectClose(median(edgeOf(only['one-reading'], k)), median(edgeOf(base['one-reading'], k)), {
        abs: 0.12,
        why: `edge ${k}`,
      });
    expect(Math.max(...only.surface)).toBe(0);
  });

  it('tells mismatch from blur only with a second feature', () => {
    const alone = fit(makeWorld({ seed: 12, visits: 24 }));
    expect(alone['one-reading'].features.map((f) => f.sharesMismatch)).toEqual([true]);
    expect(base['one-reading'].features.map((f) => f.sharesMismatch)).toEqual([false, false]);
  });
});

describe('fitLevels: the limb term', () => {
  /** Two features that see x + γ·dx/dt sharply. */
  function risingCounts(gammaHours: number): Aligned {
    const random = createRandom(9);
    const visits = Array.from({ length: 50 }, (): PlainVisit => {
      const x = random.normal();
      const slope = 0.25 * random.normal();
      const state = x + gammaHours * slope + 0.05 * random.normal();
      const saw = () => [-0.6, 0.1, 0.8].filter((e) => state + 0.08 * random.normal() > e).length;
      return { x, slope, looks: [{ saw: saw() }, { feature: 1, saw: saw() }] };
    });
    const four = ['a', 'b', 'c', 'd'];
    return plainAligned(visits, { features: [four, four] });
  }

  it('is kept where rising water reads differently, with its size', () => {
    const { effective, 'one-reading': oneReading } = fitLevels(risingCounts(1.5), { draws: 400, seed: 1 });
    expect(effective.limbKept).toBe(true);
    expect(effective.limbLogBayesFactor).toBeGreaterThan(LIMB_LOG_BAYES_FACTOR);
    expectClose(median(effective.draws.limb), 1.5, { abs: 0.4, why: 'hours that a rise is worth' });
    // Who reads the gauge once has no rate of change.
    expect(oneReading.limbKept).toBe(false);
    expect(oneReading.draws.limb.every((l) => l === 0)).toBe(true);
  });

  it('is left out where the data do not ask for it', () => {
    const { effective } = fitLevels(risingCounts(0), { draws: 200, seed: 1 });
    expect(effective.limbKept).toBe(false);
    expect(effective.limbLogBayesFactor).toBeLessThan(LIMB_LOG_BAYES_FACTOR);
    expect(effective.draws.limb.every((l) => l === 0)).toBe(true);
  });
});

describe('fitLevels: numeric features', () => {
  const staffWorld = (visits: number, reads: (x: number) => number): Aligned => {
    const random = createRandom(3);
    return plainAligned(
      Array.from({ length: visits }, (): PlainVisit => {
        const x = 1.5 * random.normal();
        const value = reads(x + 0.03 * random.normal());
        return { x, looks: [{ saw: x > 0 ? 1 : 0 }, { feature: 1, value }] };
      }),
      { features: [['low', 'high'], 'cm'] },
    );
  };
  const formOf = (aligned: Aligned, forms?: FitOptions['forms']) =>
    fitLevels(aligned, { ...QUICK, modes: ['one-reading'], forms })['one-reading'].features[1].rating!;

  it('takes the form that another fit decided on, and asks no evidence for it', () => {
    const curved = staffWorld(30, (x) => 20 + 30 * Math.exp(x / 1.7));
    const own = fitLevels(curved, { ...QUICK, modes: ['one-reading'] })['one-reading'];
    expect(own.features[1].rating!.form).toBe('power');
    expect(formOf(curved, formsOf(own)).form).toBe('power');
    const line = formOf(curved, { ratingForm: new Map([[1, 'line']]), ratingBreak: new Map() });
    expect([line.form, line.formLogBayesFactor]).toEqual(['line', NaN]);
  });

  it('takes the power law with offset where the curve shows, and its exponent', () => {
    const rating = formOf(staffWorld(30, (x) => 40 + 25 * Math.exp(x / 1.6)));
    expect(rating.form).toBe('power');
    expectClose(median(rating.p), 1.6, { rel: 0.12, why: '1/exponent' });
    expectClose(median(rating.base), 40, { rel: 0.12, why: 'offset' });
  });

  it('takes the line where it is straight', () => {
    const rating = formOf(staffWorld(30, (x) => 40 + 6 * x));
    expect(rating.form).toBe('line');
    expectClose(1 / median(rating.p), 6, { rel: 0.1, why: 'cm per ln unit' });
  });

  // Banks that open half a ln unit above the middle: the staff rises a third as fast from there on.
  const opened = (x: number): number =>
    40 + 25 * Math.exp(Math.min(x, 0.5) / 1.6) + 8 * Math.max(0, Math.exp((x - 0.5) / 1.6) - 1);

  it('takes two power laws that meet at a break where the bank opens, and none where it does not', () => {
    const rating = formOf(staffWorld(60, opened));
    expect(rating.form).toBe('power');
    expect(rating.breakLogBayesFactor).toBeGreaterThan(20);
    expectClose(rating.upper!.breakAt, 0.5, { abs: 0.5, why: 'one of four places that are tried' });
    const shows = (c: number): number => median(rating.base.map((_, d) => ratingAt(rating, c, d)));
    for (const c of [-2, -0.5, 0.3, 1, 2]) expectClose(shows(c), opened(c), { abs: 2.5, why: `at ${c}` });
    rating.base.forEach((_, d) => {
      const corner = ratingAt(rating, rating.upper!.breakAt, d);
      expectClose(ratingAt(rating, rating.upper!.breakAt + 1e-9, d), corner, {
        abs: 1e-6,
        why: `one curve, draw ${d}`,
      });
      for (const c of [-1, rating.upper!.breakAt, 1.5])
        expectClose(stateAt(rating, ratingAt(rating, c, d), d), c, { abs: 1e-8, why: `and back, draw ${d}` });
    });
    const plain = formOf(staffWorld(60, (x) => 40 + 25 * Math.exp(x / 1.6)));
    expect([plain.upper, plain.form]).toEqual([undefined, 'power']);
    expect(plain.breakLogBayesFactor).toBeLessThan(3);
    expect(formOf(staffWorld(23, opened)).breakLogBayesFactor).toBeNaN();
  });

  it('does not try a curve on fewer than eight readings', () => {
    expect(formOf(staffWorld(7, (x) => 40 + 25 * Math.exp(x / 1.6))).form).toBe('line');
  });
});

describe('fitLevels: statuses', () => {
  const visit = (x: number, saw: number): PlainVisit => ({ x, looks: [{ saw }] });
  const five = { features: [['a', 'b', 'c', 'd', 'e']] };

  it.each([
    [0, 'No visit has a reading of gauge weir: nothing can be fitted.'],
    [1, 'Only 1 visit has a reading of gauge weir: nothing can be fitted.'],
    [2, 'Only 2 visits have a reading of gauge weir: nothing can be fitted.'],
  ])('%i visits: too few rows', (count, sentence) => {
    const aligned = plainAligned(
      Array.from({ length: count }, (_, i) => visit(i, i)),
      five,
    );
    const fits = fitLevels(aligned, QUICK);
    for (const f of [fits['one-reading'], fits.effective, fits['any-lag']]) {
      expect([f.status, f.statusSentence, f.draws.count, f.features]).toEqual(['too-few-rows', sentence, 0, []]);
      expect(f.grid.logEvidence.every(Number.isNaN)).toBe(true);
    }
    expect(fits.surface.every((p) => p === 0)).toBe(true);
  });

  it('a gauge that never moved is constant', () => {
    const { effective } = fitLevels(
      plainAligned(
        [0, 1, 2, 3].map((saw) => visit(2.5, saw)),
        five,
      ),
      QUICK,
    );
    expect(effective.status).toBe('constant-gauge');
    expect(effective.statusSentence).toBe(
      'Gauge weir showed the same value at every visit: it says nothing about this run.',
    );
  });

  it('classes that do not overlap are separated, and the edges lie between them', () => {
    const aligned = plainAligned(
      [0, 0.1, 0.2, 1, 1.1, 1.3, 2, 2.4].map((x) => visit(x, Math.floor(x) + 1)),
      five,
    );
    const { 'one-reading': oneReading } = fitLevels(aligned, { draws: 500, seed: 1 });
    expect(oneReading.status).toBe('separated');
    expect(oneReading.statusSentence).toBe(
      'The classes of the 8 visits do not overlap on this gauge, so how sharp the edges are comes from the weak priors.',
    );
    expectClose(median(edgeOf(oneReading, 1)), 0.6, { abs: 0.25, why: 'between b and c' });
    expectClose(median(edgeOf(oneReading, 2)), 1.65, { abs: 0.25, why: 'between c and d' });
  });

  it('isSeparated looks at the verdict alone, at one grid point, ties overlapping', () => {
    const of = (pairs: [number, number][]) =>
      isSeparated(
        plainAligned(
          pairs.map(([x, k]) => visit(x, k)),
          five,
        ),
        0,
      );
    expect(
      of([
        [0, 0],
        [1, 1],
        [2, 3],
      ]),
    ).toBe(true);
    expect(
      of([
        [0, 0],
        [1, 1],
        [1, 2],
      ]),
    ).toBe(false);
    expect(
      of([
        [0, 1],
        [1, 0],
      ]),
    ).toBe(false);
    expect(
      of([
        [0, 2],
        [1, 2],
      ]),
    ).toBe(false);
    expect(
      of([
        [0, 0],
        [NaN, 1],
        [1, 2],
      ]),
    ).toBe(true);
    expect(of([])).toBe(false);
  });

  it('refuses options that make no sense', () => {
    const aligned = plainAligned(
      [0, 1, 2].map((x) => visit(x, x)),
      { ...five, lags: [-3, 0, 3] },
    );
    expect(() => fitLevels(aligned, { draws: 0 })).toThrow(
      new RangeError('fitLevels: draws must be a positive whole number, got 0'),
    );
    expect(() => fitLevels(aligned, { draws: 2.5 })).toThrow(
      new RangeError('fitLevels: draws must be a positive whole number, got 2.5'),
    );
    expect(() => fitLevels(aligned, { priorWidth: NaN })).toThrow(
      new RangeError('fitLevels: priorWidth must be above 0, got NaN'),
    );
    expect(() => fitLevels(aligned, { leadHours: 4 })).toThrow(
      new RangeError('fitLevels: a lead of 4 h is longer than the largest lag of the grid, 3 h'),
    );
  });

  it('uses visits that find no reading at some grid points there as if the gauge said nothing', () => {
    const world = makeWorld({ seed: 3, visits: 20 });
    const values = world.record.values.slice();
    // A hole over three visits' own hour, open again two hours before it.
    for (const v of world.visits.slice(0, 3)) {
      const at = Math.round((v.timeMs - world.record.timesMs[0]) / 3_600_000);
      values.fill(NaN, at, at + 1);
    }
    const { 'one-reading': oneReading } = fit({ ...world, record: { ...world.record, values } });
    expect(oneReading.visits).toBe(20);
    expect(oneReading.draws.visitLogLik.every(Number.isFinite)).toBe(true);
  });
});

describe('fitLevels: many observers', () => {
  it('finds who sees too much, and by how much, when all look at the same water', () => {
    const random = createRandom(8);
    const visits = Array.from({ length: 40 }, (): PlainVisit => {
      const x = random.normal();
      const state = x + 0.15 * random.normal();
      const saw = (bias: number) => [-0.6, 0.1, 0.8].filter((e) => state + bias + 0.12 * random.normal() > e).length;
      return {
        x,
        looks: [-0.4, 0, 0.4].map((bias, observer) => ({ saw: saw(bias), observer })),
      };
    });
    const { 'one-reading': oneReading } = fitLevels(
      plainAligned(visits, { features: [['a', 'b', 'c', 'd']], observers: 3 }),
      {
        draws: 500,
        seed: 1,
        modes: ['one-reading'],
      },
    );
    const bias = (o: number) => median(Float64Array.from({ length: 500 }, (_, d) => oneReading.draws.bias[3 * d + o]));
    expectClose(bias(2) - bias(0), 0.8, { abs: 0.2, why: 'the difference of the outer two' });
    expectClose(bias(1), 0, { abs: 0.25, why: 'the middle one' });
    expect(median(oneReading.draws.observerSd)).toBeGreaterThan(0.2);
  });
});

describe('fitLevels: unused visits', () => {
  it('passes over visits of another run', () => {
    const world = makeWorld({ seed: 12, visits: 12 });
    const other = world.visits.map((v): Visit => ({ ...v, id: `x${v.id}`, run: 'elsewhere' }));
    expect(bytes(fit({ ...world, visits: [...other, ...world.visits] }))).toBe(bytes(fit(world)));
  });
});
