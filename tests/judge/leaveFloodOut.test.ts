import { describe, expect, it } from 'vitest';
import { leaveFloodOut } from '../../src/judge/leaveFloodOut.js';
import { classFrequencies, daysApartInYear, seasonFrequencies } from '../../src/judge/frequencies.js';
import { verdictCases } from '../../src/judge/verdictCases.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { DAY, syntheticAligned, syntheticFit } from './syntheticRelation.js';
import type { SyntheticDraw, SyntheticVisit } from './syntheticRelation.js';

const THREE = ['low', 'good', 'high'];

/** Prior draws of a three-class relation. */
function priorDraws(count: number, seed: number): SyntheticDraw[] {
  const random = createRandom(seed);
  return Array.from({ length: count }, () => {
    const first = 1 + 0.7 * random.normal();
    return {
      edges: [first, first + Math.exp(0.3 * random.normal())],
      mismatch: 0.3 * Math.exp(0.4 * random.normal()),
      blur: 0.15,
    };
  });
}

/** Posterior draws by resampling the prior with the likelihood of the visits (systematic, so without extra noise). */
function posteriorDraws(
  visits: readonly SyntheticVisit[],
  prior: readonly SyntheticDraw[],
  count: number,
): SyntheticDraw[] {
  const aligned = syntheticAligned(visits, { classes: THREE });
  const { visitLogLik } = syntheticFit(aligned, prior).draws;
  const n = visits.length;
  const log = prior.map((_, d) => visitLogLik.slice(d * n, (d + 1) * n).reduce((a, b) => a + b, 0));
  const most = Math.max(...log);
  const weights = log.map((l) => Math.exp(l - most));
  const total = weights.reduce((a, b) => a + b, 0);
  const out: SyntheticDraw[] = [];
  let below = 0;
  prior.forEach((draw, d) => {
    below += (weights[d] / total) * count;
    while (out.length + 0.5 < below) out.push(draw);
  });
  return out;
}

const visits: SyntheticVisit[] = [0.2, 0.5, 0.9, 1.4, 1.6, 1.9, 2.4, 2.9].map((x, i) => ({
  x,
  saw: [0, 0, 1, 0, 1, 1, 2, 2][i],
  flood: Math.floor(i / 2),
}));

describe('leaveFloodOut', () => {
  it('with one draw gives that draw’s odds, whatever the flood', () => {
    const aligned = syntheticAligned(visits, { classes: THREE });
    const left = leaveFloodOut(syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.3, blur: 0.4 }]), aligned);
    // Φ((1 - 1.5)/0.5) is Φ(-1) at x = 1.5; here the last visit: x = 2.9 → Φ(-3.8), Φ(-1.8).
    expectClose(left.probability[7 * 3], 7.234804392511999e-5, { abs: 1e-12, why: 'Φ(-3.8), table' });
    expectClose(left.probability[7 * 3 + 2], 1 - 0.035930319112925796, { abs: 1e-12, why: '1 - Φ(-1.8), table' });
    expect(left.floods.map((f) => [f.flood, f.visits])).toEqual([
      [0, 2],
      [1, 2],
      [2, 2],
      [3, 2],
    ]);
    expect(left.unmatchedShare).toBe(0);
  });

  it('agrees with a posterior that never saw the flood', () => {
    const prior = priorDraws(15_000, 11);
    const aligned = syntheticAligned(visits, { classes: THREE });
    const left = leaveFloodOut(syntheticFit(aligned, posteriorDraws(visits, prior, 6000)), aligned);
    // The test can tell: odds that have seen the flood lie further off than the tolerance below.
    const seen = syntheticFit(aligned, posteriorDraws(visits, prior, 6000));
    seen.draws.visitLogLik.fill(0);
    const inSample = leaveFloodOut(seen, aligned).probability;
    expect(Math.max(...inSample.map((p, i) => Math.abs(p - left.probability[i])))).toBeGreaterThan(0.1);
    for (let flood = 0; flood < 4; flood++) {
      const others = visits.filter((v) => v.flood !== flood);
      const refit = posteriorDraws(others, prior, 6000);
      // All visits in the odds, but draws and weights that know nothing of this flood.
      const brute = syntheticFit(aligned, refit);
      brute.draws.visitLogLik.fill(0);
      const plain = leaveFloodOut(brute, aligned);
      visits.forEach((v, i) => {
        if (v.flood !== flood) return;
        for (let k = 0; k < 3; k++)
          expectClose(left.probability[i * 3 + k], plain.probability[i * 3 + k], {
            abs: 0.04,
            why: `visit ${i} class ${k}, two samples of 6000`,
          });
      });
    }
  });

  it('never uses the class it predicts: another verdict in the flood leaves that flood’s odds as they were', () => {
    const prior = priorDraws(15_000, 12);
    const oddsOfFlood1 = (saw2: number, saw3: number) => {
      const changed = visits.map((v, i) => ({ ...v, saw: i === 2 ? saw2 : i === 3 ? saw3 : v.saw }));
      const aligned = syntheticAligned(changed, { classes: THREE });
      const left = leaveFloodOut(syntheticFit(aligned, posteriorDraws(changed, prior, 6000)), aligned);
      return left.probability.slice(2 * 3, 4 * 3);
    };
    const usual = oddsOfFlood1(1, 0);
    const odd = oddsOfFlood1(0, 1);
    usual.forEach((p, i) => expectClose(p, odd[i], { abs: 0.04, why: 'only sampling noise may differ' }));
  });

  it('reads each draw at its own lag and storage', () => {
    const aligned = syntheticAligned([{ x: (lag, k) => 1 + lag + k, saw: 1 }], {
      classes: THREE,
      lags: [0, 1],
      storages: [0, 10],
    });
    const at = (lagHours: number, storageHours: number) =>
      leaveFloodOut(
        syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.3, blur: 0.4, lagHours, storageHours }]),
        aligned,
      ).probability[0];
    expect(at(0, 0)).toBe(0.5);
    expectClose(at(1, 0), 0.022750131948179195, { abs: 1e-14, why: 'Φ(-2), table' });
    expect(at(0, 10)).toBeLessThan(1e-80);
  });

  it('adds the limb term and the sighting’s own shift to x', () => {
    const aligned = syntheticAligned([{ x: 0.7, saw: 1, slope: 0.1 }], { classes: THREE });
    const shifted = { ...aligned, shift: Float64Array.of(0.1) };
    const fit = syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.3, blur: 0.4, limb: 2 }]);
    expectClose(leaveFloodOut(fit, shifted).probability[0], 0.5, { abs: 1e-14, why: '0.7 + 2 × 0.1 + 0.1 = the edge' });
  });

  it('averages odds, not x, over the nodes of a time window', () => {
    const one = syntheticAligned([{ x: 0, saw: 1 }], { classes: THREE });
    const wide = {
      ...one,
      nodeStart: Int32Array.of(0, 3),
      nodeWeight: Float64Array.of(0.25, 0.5, 0.25),
      x: Float64Array.of(0, 1, NaN),
    };
    const fit = syntheticFit(one, [{ edges: [1, 2], mismatch: 0.3, blur: 0.4 }]);
    // (0.25 Φ(2) + 0.5 Φ(0))/0.75: the node without a reading drops out.
    expectClose(leaveFloodOut(fit, wide).probability[0], (0.25 * 0.9772498680518208 + 0.25) / 0.75, {
      abs: 1e-14,
      why: 'Φ(2), table',
    });
  });

  it('a verdict without a reading gets the frequencies of the other floods, and its share is told', () => {
    const gap = visits.map((v, i) => (i === 7 ? { ...v, x: NaN } : v));
    const aligned = syntheticAligned(gap, { classes: THREE });
    const left = leaveFloodOut(syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.3, blur: 0.4 }]), aligned);
    // Other floods: three low, three good; with a half each: 3.5, 3.5, 0.5 of 7.5.
    expectClose(left.probability[21], 3.5 / 7.5, { abs: 1e-15, why: 'low' });
    expectClose(left.probability[23], 0.5 / 7.5, { abs: 1e-15, why: 'high' });
    expect(left.unmatchedShare).toBe(1 / 8);
  });

  it('a reading missing at half of the draws counts by half', () => {
    const aligned = syntheticAligned([{ x: (lag) => (lag === 1 ? NaN : 1), saw: 1 }], { classes: THREE, lags: [0, 1] });
    const draw = { edges: [1, 2], mismatch: 0.3, blur: 0.4 };
    const fit = syntheticFit(aligned, [draw, { ...draw, lagHours: 1 }]);
    fit.draws.visitLogLik.fill(0);
    const left = leaveFloodOut(fit, aligned);
    expect(left.unmatchedShare).toBe(0.5);
    expectClose(left.probability[0], 0.5 * 0.5 + 0.5 / 3, { abs: 1e-15, why: 'half Φ(0), half 1/3' });
  });

  it('flags a flood that steers the fit alone', () => {
    // Draws that all fit flood 0 only by chance: its likelihood varies by e^±8 between them.
    const aligned = syntheticAligned(visits, { classes: THREE });
    const fit = syntheticFit(aligned, priorDraws(2000, 5));
    const n = visits.length;
    const random = createRandom(3);
    for (let d = 0; d < 2000; d++) {
      fit.draws.visitLogLik.fill(0, d * n, (d + 1) * n);
      fit.draws.visitLogLik[d * n] = 4 * random.normal();
    }
    const left = leaveFloodOut(fit, aligned);
    expect(left.worstParetoK).toBe(left.floods[0].paretoK);
    expect(left.worstParetoK).toBeGreaterThan(0.7);
    expect(left.undependableShare).toBe(0.25);
    expect(left.floods[1].paretoK).toBe(-Infinity);
  });

  it('a draw that makes a visit impossible can’t be weighted back: the flood counts as undependable', () => {
    const aligned = syntheticAligned(visits, { classes: THREE });
    const fit = syntheticFit(aligned, priorDraws(100, 5));
    fit.draws.visitLogLik.fill(-1);
    fit.draws.visitLogLik[0] = -Infinity;
    const left = leaveFloodOut(fit, aligned);
    expect(left.floods.map((f) => f.paretoK)).toEqual([Infinity, -Infinity, -Infinity, -Infinity]);
    expect(left.probability.every((p) => p >= 0 && p <= 1)).toBe(true);
  });

  it('two verdicts of one party share a weight of 1', () => {
    const one = syntheticAligned([{ x: 1, saw: 1 }], { classes: THREE });
    const two = {
      ...one,
      sightingStart: Int32Array.of(0, 2),
      sightingFeature: Int32Array.of(0, 0),
      sightingClass: Int32Array.of(1, 2),
      sightingValue: Float64Array.of(NaN, NaN),
      sightingObserver: Int32Array.of(0, 0),
      sightingRow: Int32Array.of(2, 3),
      shift: new Float64Array(2),
    };
    expect(Array.from(verdictCases(two).weight)).toEqual([0.5, 0.5]);
  });

  it('has no cases without verdicts or without draws, and refuses visits of another fit', () => {
    const none = syntheticAligned([{ x: 1 }, { x: 2 }], { classes: THREE });
    const fit = syntheticFit(none, [{ edges: [1, 2], mismatch: 0.3, blur: 0.4 }]);
    expect(leaveFloodOut(fit, none)).toMatchObject({ floods: [], unmatchedShare: NaN });
    const aligned = syntheticAligned(visits, { classes: THREE });
    expect(leaveFloodOut(syntheticFit(aligned, []), aligned).probability).toHaveLength(0);
    expect(() => leaveFloodOut(fit, aligned)).toThrow(
      'leaveFloodOut: the fit holds the log-likelihood of 2 visits a draw, aligned holds 8 visits; give the aligned visits the fit was made from',
    );
  });
});

describe('frequencies', () => {
  const dated = (days: number[], saws: number[], floods: number[]) =>
    verdictCases(
      syntheticAligned(
        days.map((d, i) => ({ x: 0, saw: saws[i], flood: floods[i], timeMs: d * DAY })),
        { classes: THREE },
      ),
    );

  it('adds half a visit to each class', () => {
    const cases = dated([0, 1, 2], [0, 0, 2], [0, 1, 2]);
    expect(Array.from(classFrequencies(cases))).toEqual([2.5 / 4.5, 0.5 / 4.5, 1.5 / 4.5]);
    expect(Array.from(classFrequencies(cases, { exceptFlood: 2 }))).toEqual([2.5 / 3.5, 0.5 / 3.5, 0.5 / 3.5]);
  });

  it('the season counts other floods within 45 days on the circle of the year, and 5 visits of the whole year', () => {
    // Case 0 on day 10; day 370 (another year) is 5 days off; day 100 is out; day 12 is its own flood.
    const cases = dated([10, 12, 100, 370], [0, 1, 2, 2], [0, 0, 1, 2]);
    const year = classFrequencies(cases, { exceptFlood: 0 });
    expect(Array.from(year)).toEqual([0.5 / 3.5, 0.5 / 3.5, 2.5 / 3.5]);
    const season = seasonFrequencies(cases, 0);
    expectClose(season[2], (5 * (2.5 / 3.5) + 1) / 6, {
      abs: 1e-15,
      why: '5 visits of the year and one of the season',
    });
    expectClose(season[0] + season[1] + season[2], 1, { abs: 1e-15, why: 'shares' });
  });

  it('the window of the season ends 45 days off', () => {
    const high = (days: number) => seasonFrequencies(dated([100, 100 + days], [0, 2], [0, 1]), 0)[2];
    expect(high(45)).toBeGreaterThan(high(46));
    expect(high(46)).toBe(high(90));
  });

  it('never see the class of their own flood', () => {
    const a = dated([10, 12, 100, 370], [0, 1, 2, 2], [0, 0, 1, 2]);
    const b = dated([10, 12, 100, 370], [2, 2, 2, 2], [0, 0, 1, 2]);
    expect(classFrequencies(a, { exceptFlood: 0 })).toEqual(classFrequencies(b, { exceptFlood: 0 }));
    expect(seasonFrequencies(a, 0)).toEqual(seasonFrequencies(b, 0));
  });

  it('the year is a circle', () => {
    expectClose(daysApartInYear(0, 360 * DAY), 5.2425, { abs: 1e-9, why: 'across new year' });
    expectClose(daysApartInYear(Date.UTC(2020, 11, 30), Date.UTC(2023, 0, 2)), 2.515, {
      abs: 0.01,
      why: 'two years and three days, leap year inside',
    });
  });
});
