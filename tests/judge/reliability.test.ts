import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { confusionOf } from '../../src/judge/confusion.js';
import { countedShare } from '../../src/judge/floodRatios.js';
import { logScoreOf } from '../../src/judge/logScore.js';
import { reliabilityOf } from '../../src/judge/reliability.js';
import { likeliest, sharpnessOf } from '../../src/judge/sharpness.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { syntheticLeftOut, type SyntheticCase } from './syntheticLeftOut.js';

/** Verdicts drawn from odds, and told with odds made sharper (power above 1) or duller than they are. */
function world(seed: number, { floods = 30, perFlood = 2, power = 1, common = false } = {}): SyntheticCase[] {
  const random = createRandom(seed);
  const rows: SyntheticCase[] = [];
  for (let flood = 0; flood < floods; flood++) {
    const lot = random.uniform();
    for (let v = 0; v < perFlood; v++) {
      const raw = [0, 1, 2].map(() => Math.exp(1.5 * random.normal()));
      const p = raw.map((w) => w / raw.reduce((a, b) => a + b));
      const u = common ? lot : random.uniform();
      const told = p.map((w) => w ** power);
      const total = told.reduce((a, b) => a + b);
      rows.push({ odds: told.map((w) => w / total), saw: u < p[0] ? 0 : u < p[0] + p[1] ? 1 : 2, flood });
    }
  }
  return rows;
}

describe('reliabilityOf', () => {
  it('counts by hand', () => {
    const rows = [0, 0, 0, 1].map((saw, i) => ({ odds: [0.7, 0.3, 0], saw, flood: i }));
    const { bins, gap } = reliabilityOf(syntheticLeftOut(rows));
    expect(bins.map((b) => [b.from, b.to, b.weight, b.floods])).toEqual([
      [0, 0.05, 4, 4],
      [0.2, 0.4, 4, 4],
      [0.6, 0.8, 4, 4],
    ]);
    expectClose(bins[1].stated, 0.3, { abs: 1e-12, why: 'mean odds' });
    expect(bins.map((b) => b.seen.value)).toEqual([0, 0.25, 0.75]);
    // (0 + 0.05 + 0.05)/3.
    expectClose(gap!, 0.1 / 3, { abs: 1e-12, why: 'mean gap' });
    // Zero of four floods: 1 - 0.1^(1/4).
    expectClose(bins[0].seen.i80[1]!, 1 - 0.1 ** 0.25, { abs: 1e-12, why: 'never seen is not never' });
  });

  it('one range of classes is one event', () => {
    const rows = [0, 1, 2, 1].map((saw, i) => ({ odds: [0.2, 0.5, 0.3], saw, flood: i }));
    const { bins } = reliabilityOf(syntheticLeftOut(rows), { classes: [1, 2] });
    expect(bins).toHaveLength(1);
    expect([bins[0].from, bins[0].seen.value, bins[0].weight]).toEqual([0.8, 0.75, 4]);
    expect(() => reliabilityOf(syntheticLeftOut(rows), { classes: [1, 3] })).toThrow(
      'reliabilityOf: classes must be a range within 0 to 2, got 1 to 3',
    );
  });

  it('is empty without cases', () => {
    expect(reliabilityOf(syntheticLeftOut([]))).toMatchObject({ bins: [], gap: null, gapIfRight: null, gapTail: null });
  });

  it('of honest odds: the gap is what chance makes; of boasting odds it is more', () => {
    let low = 0;
    let caught = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const tail = (power: number) => reliabilityOf(syntheticLeftOut(world(seed, { power })), { worlds: 200 }).gapTail!;
      if (tail(1) < 0.1) low++;
      if (tail(3) < 0.1) caught++;
    }
    // Bars that take floods as one witness are wide for verdicts that are drawn one by one: at most a tenth below 0.1 (60 worlds: 6 ± 2.3).
    expect(low).toBeLessThanOrEqual(11);
    expect(caught).toBeGreaterThanOrEqual(48);
  });

  it('bars hold as said where a flood is right or wrong together', () => {
    let inside = 0;
    let bars = 0;
    for (let seed = 1; seed <= 60; seed++)
      for (const bin of reliabilityOf(syntheticLeftOut(world(seed, { perFlood: 3, common: true })), { worlds: 200 })
        .bins) {
        bars++;
        if (bin.seen.value! >= bin.ifRight80[0] - 1e-12 && bin.seen.value! <= bin.ifRight80[1] + 1e-12) inside++;
      }
    // 80 %, a little more where steps of whole verdicts can't be split.
    expect(inside / bars).toBeGreaterThan(0.76);
    expect(inside / bars).toBeLessThan(0.92);
  });

  it('same seed, same bytes; another seed, other bars', () => {
    const left = syntheticLeftOut(world(4));
    const text = (seed: number) => JSON.stringify(reliabilityOf(left, { seed, worlds: 100 }));
    expect(text(1)).toBe(text(1));
    expect(text(1)).not.toBe(text(2));
  });
});

describe('sharpnessOf', () => {
  it('by hand', () => {
    const rows = [
      { odds: [1, 0, 0], saw: 0, flood: 0 },
      { odds: [0.5, 0.5, 0], saw: 1, flood: 1 },
      { odds: [0, 0.1, 0.9], saw: 1, flood: 2 },
    ];
    const s = sharpnessOf(syntheticLeftOut(rows));
    expectClose(s.meanTop.value!, 2.4 / 3, { abs: 1e-12, why: 'largest odds' });
    expectClose(s.sure.value!, 2 / 3, { abs: 1e-12, why: '0.8 and more' });
    expectClose(s.sureRight.value!, 0.5, { abs: 1e-12, why: 'one of the two' });
    expectClose(s.entropyBits.value!, (1 - 0.1 * Math.log2(0.1) - 0.9 * Math.log2(0.9)) / 3, {
      abs: 1e-12,
      why: 'bits',
    });
    expect(likeliest(Float64Array.of(0.4, 0.4, 0.2))).toBe(0);
  });

  it('has no value for being right where nothing is sure, or without cases', () => {
    const dull = sharpnessOf(syntheticLeftOut([{ odds: [0.4, 0.3, 0.3], saw: 0, flood: 0 }]));
    expect([dull.sure.value, dull.sureRight.value, dull.sureRight.i80]).toEqual([0, null, [null, null]]);
    expect(sharpnessOf(syntheticLeftOut([])).meanTop).toEqual({ value: null, i80: [null, null] });
  });
});

describe('confusionOf', () => {
  it('by hand, two verdicts of one visit a half each', () => {
    const rows = [
      { odds: [0.8, 0.2, 0], saw: 2, flood: 0, weight: 0.5 },
      { odds: [0.8, 0.2, 0], saw: 0, flood: 0, weight: 0.5 },
      { odds: [0, 0.2, 0.8], saw: 1, flood: 1 },
      { odds: [0, 0.9, 0.1], saw: 1, flood: 2 },
    ];
    const c = confusionOf(syntheticLeftOut(rows));
    expect([...c.table]).toEqual([0.5, 0, 0.5, 0, 1, 0, 0, 1, 0]);
    const values = [c.right, c.withinOne, c.seenHigher, c.seenLower].map((m) => m.value!);
    [1.5 / 3, 2.5 / 3, 0.5 / 3, 1 / 3].forEach((v, i) => {
      expectClose(values[i], v, { abs: 1e-12, why: `share ${i}` });
    });
    for (const m of [c.right, c.seenHigher]) {
      expect(m.i80[0]!).toBeLessThanOrEqual(m.value!);
      expect(m.i80[1]!).toBeGreaterThanOrEqual(m.value!);
    }
    expect([...confusionOf(syntheticLeftOut([])).table]).toEqual(new Array(9).fill(0));
  });

  it('reversed classes swap higher and lower', () => {
    const rows = world(9);
    const turned = rows.map((r) => ({ ...r, odds: [...r.odds].reverse(), saw: 2 - r.saw }));
    const [a, b] = [confusionOf(syntheticLeftOut(rows)), confusionOf(syntheticLeftOut(turned))];
    expectClose(b.seenHigher.value!, a.seenLower.value!, { abs: 1e-12, why: 'mirror' });
    expectClose(b.right.value!, a.right.value!, { abs: 1e-12, why: 'mirror' });
  });
});

describe('logScoreOf', () => {
  it('by hand, with impossible odds counted as 1e-4', () => {
    const rows = [
      { odds: [0.5, 0.5, 0], saw: 0, flood: 0 },
      { odds: [0.5, 0.5, 0], saw: 2, flood: 1 },
    ];
    const score = logScoreOf(syntheticLeftOut(rows));
    expectClose(score.chart.value!, (Math.LN2 - Math.log(1e-4)) / 2, { abs: 1e-12, why: 'by hand' });
    // The other flood's single verdict and half a verdict a class: 0.5/2.5 each time.
    expectClose(score.frequencies.value!, Math.log(5), { abs: 1e-12, why: 'frequencies' });
    expectClose(score.gainOnFrequencies.value!, score.frequencies.value! - score.chart.value!, {
      abs: 1e-12,
      why: 'gain',
    });
    expect(score.raised).toBe(1);
    expect(logScoreOf(syntheticLeftOut([])).chart.value).toBe(null);
  });

  it('is best for the odds that the verdicts are drawn from', () => {
    const mean = (power: number) => logScoreOf(syntheticLeftOut(world(2, { floods: 300, power }))).chart.value!;
    expect(mean(1)).toBeLessThan(mean(2));
    expect(mean(1)).toBeLessThan(mean(0.4));
  });
});

describe('countedShare', () => {
  it('a share of 1 has room below, and what never happened has room above', () => {
    const always = countedShare({ of: Float64Array.of(2, 2), from: Float64Array.of(2, 2) });
    expect([always.value, always.i80[1]]).toEqual([1, 1]);
    expectClose(always.i80[0]!, Math.sqrt(0.1), { abs: 1e-12, why: '0.1^(1/2)' });
    const never = countedShare({ of: new Float64Array(4), from: new Float64Array(4).fill(3) });
    expectClose(never.i80[1]!, 1 - 0.1 ** 0.25, { abs: 1e-12, why: 'four floods without a case' });
    expect(never).toMatchObject({ cases: 0, days: 12, floodsWith: 0, floods: 4, floodsAtMost: never.i80[1] });
  });

  it('tells one day in 38 in floods: R says that a chance of 0.1236 meets one flood in 30 or none with odds of 10 %', () => {
    const from = Float64Array.from({ length: 30 }, (_, f) => (f < 8 ? 2 : 1));
    const once = countedShare({ of: from.map((_, f) => Number(f === 0)), from });
    expect(once).toMatchObject({ cases: 1, days: 38, floodsWith: 1, floods: 30 });
    expectClose(once.floodsAtMost!, 0.123569990675, {
      abs: 1e-10,
      why: 'binom.test(1, 30, conf.level = 0.8), R 4.2.2',
    });
    expect(once.i80[1]!).toBeGreaterThan(1 - 0.1 ** (1 / 30));
  });

  it('has no value where nothing is counted', () => {
    expect(countedShare({ of: Float64Array.of(0), from: Float64Array.of(0) })).toMatchObject({
      value: null,
      i80: [null, null],
      floodsAtMost: null,
    });
  });

  it('gets no narrower, and no end falls, by a further case of harm while it is rare (property)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 5 }), fc.nat()), { minLength: 1, maxLength: 40 }),
        fc.nat(),
        (rows, chosen) => {
          const from = Float64Array.from(rows, ([days]) => days);
          const of = Float64Array.from(rows, ([days, some]) => some % (days + 1));
          const f = chosen % rows.length;
          if (of[f] === from[f]) return;
          const before = countedShare({ of, from });
          const after = countedShare({ of: of.with(f, of[f] + 1), from });
          expect(after.i80[0]!).toBeGreaterThanOrEqual(before.i80[0]!);
          expect(after.i80[1]!).toBeGreaterThan(before.i80[1]! - 1e-12);
          expect(after.floodsAtMost!).toBeGreaterThanOrEqual(before.floodsAtMost!);
          const width = ({ i80 }: typeof before) => i80[1]! - i80[0]!;
          if (after.value! <= 0.5) expect(width(after)).toBeGreaterThanOrEqual(width(before) - 1e-9);
        },
      ),
    );
  });
});
