import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { levelChart } from '../../src/chart/levelChart.js';
import { edges } from '../../src/chart/edges.js';
import { oddsTable } from '../../src/chart/oddsTable.js';
import { estimate } from '../../src/kernel/estimate.js';
import { normalCdf } from '../../src/kernel/normal.js';
import { expectClose } from '../expectClose.js';
import { syntheticAligned, syntheticFit } from '../judge/syntheticRelation.js';
import type { SyntheticDraw } from '../judge/syntheticRelation.js';

const here = { lagHours: 0, storageHours: 0 };
/** Visits from 5 to 200 m³/s, one of each class. */
const visits = [5, 12, 30, 80, 200].map((q, saw) => ({ x: Math.log(q), saw }));
const trueEdges = [8, 20, 50, 120].map(Math.log);
const oneDraw: SyntheticDraw = { edges: trueEdges, mismatch: 0.3, blur: 0.4 };

/** Forty draws around the truth, no randomness: a fixed zigzag. */
function spreadDraws(size: number): SyntheticDraw[] {
  return Array.from({ length: 40 }, (_, d) => ({
    edges: trueEdges.map((e, k) => e + size * Math.sin(1.7 * d + k)),
    mismatch: 0.3 + 0.1 * Math.cos(2.3 * d),
    blur: 0.15,
  }));
}

describe('oddsTable', () => {
  it('with one draw gives exactly the normal distribution of √(σ² + s²)', () => {
    const aligned = syntheticAligned(visits);
    const table = oddsTable(syntheticFit(aligned, [oneDraw]), aligned, { reading: here });
    expect(table.gaugeValues).toHaveLength(121);
    for (const v of [0, 17, 60, 120]) {
      const x = Math.log(table.gaugeValues[v]);
      const upTo = trueEdges.map((e) => normalCdf((e - x) / 0.5));
      const odds = [upTo[0], upTo[1] - upTo[0], upTo[2] - upTo[1], upTo[3] - upTo[2], 1 - upTo[3]];
      odds.forEach((p, k) => expectClose(table.probability[v][k], p, { abs: 1e-13, why: `value ${v}, class ${k}` }));
      expectClose(table.atLeast[2].median[v], 1 - upTo[2], { abs: 1e-13, why: 'one draw is its own median' });
      expect(table.atLeast[2].low80[v]).toBe(table.atLeast[2].high80[v]);
    }
  });

  it('is even in ln and reaches somewhat past the lowest and the highest visit', () => {
    const aligned = syntheticAligned(visits);
    const { gaugeValues } = oddsTable(syntheticFit(aligned, [oneDraw]), aligned, { reading: here, values: 11 });
    expect(gaugeValues).toHaveLength(11);
    const pad = 0.15 * Math.log(200 / 5);
    expectClose(Math.log(gaugeValues[0]), Math.log(5) - pad, { abs: 1e-12, why: 'lowest' });
    expectClose(Math.log(gaugeValues[10]), Math.log(200) + pad, { abs: 1e-12, why: 'highest' });
    const steps = gaugeValues.slice(1).map((g, i) => Math.log(g / gaugeValues[i]));
    for (const s of steps) expectClose(s, steps[0], { abs: 1e-12, why: 'even steps' });
  });

  it('averages draws: two draws give the mean of their odds, and the band their spread', () => {
    const aligned = syntheticAligned(visits);
    const other = { ...oneDraw, edges: trueEdges.map((e) => e + 0.4) };
    const both = oddsTable(syntheticFit(aligned, [oneDraw, other]), aligned, { reading: here });
    const a = oddsTable(syntheticFit(aligned, [oneDraw]), aligned, { reading: here });
    const b = oddsTable(syntheticFit(aligned, [other]), aligned, { reading: here });
    for (const v of [3, 60, 99]) {
      for (let k = 0; k < 5; k++)
        expectClose(both.probability[v][k], (a.probability[v][k] + b.probability[v][k]) / 2, {
          abs: 1e-14,
          why: 'mean',
        });
      for (let k = 0; k < 5; k++) {
        const [least, most] = [a.probability[v][k], b.probability[v][k]].sort((p, q) => p - q);
        expectClose(both.low80[v][k], least + 0.1 * (most - least), { abs: 1e-13, why: `class ${k}, type 7 of two` });
        expectClose(both.high80[v][k], least + 0.9 * (most - least), { abs: 1e-13, why: `class ${k}, type 7 of two` });
      }
      const [low, high] = [a.atLeast[1].median[v], b.atLeast[1].median[v]].sort((p, q) => p - q);
      expectClose(both.atLeast[1].low80[v], low + 0.1 * (high - low), { abs: 1e-13, why: 'type 7 of two' });
      expectClose(both.atLeast[1].high80[v], low + 0.9 * (high - low), { abs: 1e-13, why: 'type 7 of two' });
    }
  });

  it('odds are none below 0 and rows sum to 1, both links (property)', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('probit' as const, 'logit' as const),
        fc.array(
          fc.record({
            gaps: fc.array(fc.double({ min: 1e-6, max: 3, noNaN: true }), { minLength: 4, maxLength: 4 }),
            mismatch: fc.double({ min: 1e-3, max: 3, noNaN: true }),
            blur: fc.double({ min: 1e-3, max: 3, noNaN: true }),
          }),
          { minLength: 1, maxLength: 6 },
        ),
        (link, raw) => {
          const aligned = syntheticAligned(visits);
          const draws = raw.map(({ gaps, ...rest }) => ({
            ...rest,
            edges: gaps.map((_, k) => 1 + gaps.slice(0, k + 1).reduce((p, q) => p + q, 0)),
          }));
          const table = oddsTable(syntheticFit(aligned, draws, { link }), aligned, { reading: here, values: 15 });
          for (const row of table.probability) {
            for (const p of row) expect(p).toBeGreaterThanOrEqual(0);
            expectClose(
              row.reduce((p, q) => p + q, 0),
              1,
              { abs: 1e-12, why: 'odds sum to 1' },
            );
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it('says what is missing', () => {
    const aligned = syntheticAligned(visits);
    const fit = syntheticFit(aligned, [oneDraw]);
    expect(() => oddsTable({ ...fit, features: [] }, aligned, { reading: here })).toThrow(
      'oddsTable: the fit has no verdict to give odds of',
    );
    expect(() => oddsTable(fit, aligned, { reading: here, values: 1 })).toThrow(
      'oddsTable: values must be at least 2, got 1',
    );
    const dry = syntheticAligned(visits.map((v) => ({ ...v, x: NaN })));
    expect(() => oddsTable(fit, dry, { reading: here })).toThrow(
      'oddsTable: no visit has a reading at this lag and storage',
    );
  });
});

describe('edges', () => {
  it('are the type 7 quantiles of the draws, in the gauge unit', () => {
    const aligned = syntheticAligned(visits);
    const draws = [10, 11, 12, 13, 14].map((q) => ({ ...oneDraw, edges: [q, 20, 50, 120].map(Math.log) }));
    const [first] = edges(syntheticFit(aligned, draws), aligned);
    expect(first.between).toEqual(['too low', 'low']);
    expectClose(first.median, 12, { rel: 1e-12, why: 'middle of five' });
    expectClose(first.i80[0]!, 10.4, { rel: 1e-12, why: '10 + 0.1 × 4' });
    expectClose(first.i80[1]!, 13.6, { rel: 1e-12, why: '10 + 0.9 × 4' });
    expectClose(first.i95[0]!, 10.1, { rel: 1e-12, why: '10 + 0.025 × 4' });
    // Width 3.2, so the step is 1; the low edge goes up. 12 m³/s are 423.8 ft³/s.
    expect([first.rounded, first.digits]).toEqual([12, 0]);
    expect([first.roundedOther, first.digitsOther]).toEqual([424, 0]);
  });

  it('round up below good and down above it', () => {
    const aligned = syntheticAligned(visits);
    for (const [k, edge] of edges(syntheticFit(aligned, spreadDraws(0.2)), aligned).entries()) {
      if (k < 2) expect(edge.rounded).toBeGreaterThanOrEqual(edge.median);
      else expect(edge.rounded).toBeLessThanOrEqual(edge.median);
      expectClose(edge.roundedOther * 0.028316846592, edge.rounded, {
        rel: 0.005,
        why: 'the same number, to three figures',
      });
    }
  });

  it('keep their order and stay above nothing, however vague (property)', () => {
    const aligned = syntheticAligned(visits);
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 4, noNaN: true }), (size) => {
        const all = edges(syntheticFit(aligned, spreadDraws(size)), aligned);
        for (const read of [(e: (typeof all)[number]) => e.rounded, (e: (typeof all)[number]) => e.roundedOther]) {
          const values = all.map(read);
          expect(values[0]).toBeGreaterThan(0);
          expect(values.every((v, k) => k === 0 || v > values[k - 1])).toBe(true);
        }
      }),
      { seed: 5, numRuns: 60 },
    );
  });

  it('tell which were seen from both sides', () => {
    const noTooHigh = syntheticAligned(visits.map((v) => ({ ...v, saw: Math.min(v.saw, 2) })));
    const seen = edges(syntheticFit(noTooHigh, [oneDraw]), noTooHigh).map((e) => e.seenBothSides);
    expect(seen).toEqual([true, true, false, false]);
  });

  it('a stage gauge keeps its zero: edge = offset + exp θ', () => {
    const aligned = syntheticAligned(visits, { offset: 0.4, stage: true });
    const [first] = edges(syntheticFit(aligned, [oneDraw]), aligned);
    expectClose(first.median, 8.4, { rel: 1e-12, why: '0.4 + 8 m' });
  });

  it('a factor on the gauge scales the edges and leaves the odds alone (property)', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (factor) => {
        const up = Math.log(factor);
        const plain = syntheticAligned(visits);
        const scaled = syntheticAligned(visits.map((v) => ({ ...v, x: v.x + up })));
        const draws = spreadDraws(0.3);
        const before = levelChart(syntheticFit(plain, draws), plain, { values: 21 });
        const moved = draws.map((d) => ({ ...d, edges: d.edges.map((e) => e + up) }));
        const after = levelChart(syntheticFit(scaled, moved), scaled, { values: 21 });
        after.edges.forEach((e, i) => {
          expectClose(e.median, before.edges[i].median * factor, { rel: 1e-11, why: 'median' });
          expectClose(e.i95[1]!, before.edges[i].i95[1]! * factor, { rel: 1e-11, why: '95 %' });
        });
        after.odds.probability.forEach((row, v) =>
          row.forEach((p, k) => expectClose(p, before.odds.probability[v][k], { abs: 1e-11, why: 'odds' })),
        );
        after.sureRanges.forEach((r, k) => expect(r.empty).toBe(before.sureRanges[k].empty));
      }),
      { numRuns: 25 },
    );
  });
});

describe('levelChart', () => {
  it('puts it all together, in JSON without loss', () => {
    const aligned = syntheticAligned(visits, { lags: [0, 3], storages: [0, 12] });
    const draws = spreadDraws(0.1).map((d, i) => ({ ...d, lagHours: 3, storageHours: i % 4 === 3 ? 0 : 12 }));
    const chart = levelChart(syntheticFit(aligned, draws), aligned);
    expect(chart.reading).toEqual({ lagHours: 3, storageHours: 12 });
    expect(chart.howToRead).toBe(
      'Take the average of the flow 3 hours before you arrive and its mean over the 48 hours up to then.',
    );
    expectClose(chart.seen.from, 5, { rel: 1e-12, why: 'lowest visit' });
    expectClose(chart.seen.to, 200, { rel: 1e-12, why: 'highest visit' });
    expect(chart.edges).toHaveLength(4);
    expect(chart.blur).toEqual([
      { feature: 'verdict', sharesMismatch: true, median: 0.15, i80: [0.15, 0.15], i95: [0.15, 0.15] },
    ]);
    expect(chart.observers).toEqual([{ observer: 'Ann', sightings: 5, median: 0, i80: [0, 0], i95: [0, 0] }]);
    expect(chart.limb).toEqual({ kept: false, logBayesFactor: 0 });
    expect(JSON.parse(JSON.stringify(chart))).toEqual(chart);
  });

  it('a kept limb term shows its hours and its worth', () => {
    const aligned = syntheticAligned(visits);
    const chart = levelChart(syntheticFit(aligned, [{ ...oneDraw, limb: 2 }]), aligned);
    expect(chart.limb).toMatchObject({ kept: true, hours: { median: 2 } });
    expect(chart.howToRead).toMatch(/count it as 21 % more/);
  });

  it('runs with two classes and with a class that nobody logged', () => {
    const two = syntheticAligned(
      [
        { x: 1, saw: 0 },
        { x: 3, saw: 1 },
      ],
      { classes: ['no', 'yes'] },
    );
    const chart = levelChart(syntheticFit(two, [{ edges: [2], mismatch: 0.2, blur: 0.1 }]), two);
    expect(chart.edges.map((e) => e.between)).toEqual([['no', 'yes']]);
    expect(chart.sureRanges.map((r) => r.empty)).toEqual([false, false]);
    const missing = syntheticAligned(visits.filter((v) => v.saw !== 2));
    const gap = levelChart(syntheticFit(missing, spreadDraws(0.1)), missing);
    expect(gap.odds.classes[2]).toBe('good');
    expect(gap.edges.map((e) => e.seenBothSides)).toEqual([true, true, true, true]);
  });

  it('refuses a fit without draws, and says where its reason stands', () => {
    const aligned = syntheticAligned(visits);
    const none = { ...syntheticFit(aligned, []), status: 'too-few-rows' as const };
    expect(() => levelChart(none, aligned)).toThrow(
      'levelChart: the fit has no draws (status too-few-rows); show its statusSentence instead of a chart',
    );
    const dry = syntheticAligned(visits.map((v) => ({ ...v, x: NaN })));
    expect(() => levelChart(syntheticFit(dry, [oneDraw]), dry)).toThrow(
      'levelChart: no visit has a reading at lag 0 h and storage 0 h',
    );
  });
});

describe('estimate', () => {
  it('writes null for a bound that is not finite', () => {
    expect(estimate(Float64Array.of(1, 2, Infinity)).i95).toEqual([1.05, null]);
    expect(() => estimate(new Float64Array(0))).toThrow('estimate: needs at least one draw');
  });
});
