import { describe, expect, it } from 'vitest';
import { onTheWay, type WayDraws } from '../../../src/chart/day/onTheWay.js';
import { cumulativeOdds } from '../../../src/judge/cumulativeOdds.js';
import { createLevelLikelihood } from '../../../src/kernel/levelLikelihood.js';
import { createRandom } from '../../../src/kernel/random.js';
import { expectClose } from '../../expectClose.js';
import { levelCase } from '../../kernel/levelCase.js';

const VERDICT = { id: 'verdict', classes: ['low', 'good', 'high'] };
const LEDGE = { id: 'ledge', classes: ['dry', 'wet', 'covered', 'gone'] };
const ROOT = { id: 'root', classes: ['clear', 'under'] };

/** Draws with features of these blurs, edges jittered from draw to draw. */
function draws(link: 'probit' | 'logit', { count = 7, mismatch = 0.25 } = {}): WayDraws {
  const random = createRandom(5);
  const spread = (at: readonly number[]) =>
    Array.from({ length: count }, () => at.map((edge) => edge + 0.05 * random.normal()));
  const sds = (sd: number) => Array.from({ length: count }, () => sd * Math.exp(0.2 * random.normal()));
  return {
    link: link === 'logit' ? 1 : 0,
    mismatch: sds(mismatch),
    features: [
      { ...VERDICT, edges: spread([0.2, 1]), blur: sds(0.12) },
      { ...LEDGE, edges: spread([0, 0.6, 1.3]), blur: sds(0.1) },
      { ...ROOT, edges: spread([0.7]), blur: sds(0.3) },
    ],
  };
}

/** Likelihood of what was seen on one visit, by the kernel that charts are fitted with, averaged over the draws. */
function byLibrary(way: WayDraws, x: number, looks: readonly { feature: number; class: number }[]): number {
  const kinds = way.features.map(({ classes }) => classes.length);
  const link = way.link === 1 ? ('logit' as const) : ('probit' as const);
  const { data, side } = levelCase([{ x: [x], looks }], { kinds, link });
  const likelihood = createLevelLikelihood(data);
  const { layout } = likelihood;
  const each = way.mismatch.map((sigma, d) => {
    const natural = new Float64Array(layout.size);
    way.features.forEach(({ edges, blur, classes }, f) => {
      natural.set(edges[d]!, layout.featureStart[f]);
      natural[layout.featureStart[f]! + classes.length - 1] = Math.log(blur[d]!);
    });
    natural[layout.lnSigma] = Math.log(sigma);
    likelihood.setNodes(natural, side);
    return Math.exp(likelihood.value(natural, side));
  });
  return each.reduce((a, b) => a + b, 0) / each.length;
}

describe.each(['probit', 'logit'] as const)('onTheWay, %s', (link) => {
  const way = draws(link);

  it.each([
    [0.5, []],
    [0.5, [{ feature: 1, classIndex: 0 }]],
    [0.9, [{ feature: 2, classIndex: 1 }]],
    [
      0.5,
      [
        { feature: 1, classIndex: 2 },
        { feature: 2, classIndex: 0 },
      ],
    ],
    [
      -0.3,
      [
        { feature: 1, classIndex: 3 },
        { feature: 2, classIndex: 1 },
      ],
    ],
  ])('is the likelihood of the library at %f after %j', (x, seen) => {
    const looks = seen.map(({ feature, classIndex }) => ({ feature, class: classIndex }));
    const joint = VERDICT.classes.map((_, k) => byLibrary(way, x, [...looks, { feature: 0, class: k }]));
    const total = joint.reduce((a, b) => a + b, 0);
    const said = onTheWay(way, { x, seen });
    said.odds.forEach((p, k) =>
      expectClose(p, joint[k]! / total, { abs: 2e-6, why: `class ${k}; the kernel's nodes are good to about 1e-6` }),
    );
    seen.forEach(({ feature, classIndex }, i) => {
      const before = looks.slice(0, i);
      const given = (k: number) => byLibrary(way, x, [...before, { feature, class: k }]);
      const all = way.features[feature]!.classes.map((_, k) => given(k));
      const sum = all.reduce((a, b) => a + b, 0);
      const atMost = all.slice(0, classIndex + 1).reduce((a, b) => a + b, 0) / sum;
      expectClose(said.tails[i]!.afterOthers[0], atMost, { abs: 2e-6, why: 'as little or less' });
      expectClose(said.tails[i]!.afterOthers[1], 1 - atMost + all[classIndex]! / sum, { abs: 2e-6, why: 'or more' });
    });
  });

  it('is the chart without a sighting', () => {
    const { odds } = onTheWay(way, { x: 0.4, seen: [] });
    const upTo = (k: number) =>
      way.mismatch.reduce((sum, mismatch, d) => {
        const { edges, blur } = way.features[0]!;
        return sum + cumulativeOdds(edges[d]![k]! - 0.4, { mismatch, blur: blur[d]!, link }) / way.mismatch.length;
      }, 0);
    expectClose(odds[0]!, upTo(0), { abs: 1e-6, why: 'closed form (probit) or the quadrature of the chart (logit)' });
    expectClose(odds[2]!, 1 - upTo(1), { abs: 1e-6, why: 'the highest class' });
  });

  it('moves the odds the way of what was seen, and tells what does not fit', () => {
    const x = 0.6;
    const low = onTheWay(way, { x, seen: [{ feature: 1, classIndex: 0 }] });
    const high = onTheWay(way, { x, seen: [{ feature: 1, classIndex: 3 }] });
    const none = onTheWay(way, { x, seen: [] });
    expect(low.odds[0]!).toBeGreaterThan(none.odds[0]!);
    expect(high.odds[2]!).toBeGreaterThan(none.odds[2]!);
    // Dry, where the gauge would have it wet or covered: about two and a half of its standard deviations.
    expect(low.tails[0]!.byGauge[0]).toBeLessThan(0.05);
    expect(low.tails[0]!.byGauge[1]).toBe(1);
    // The root clear after a ledge that was gone: less water than the ledge foretold.
    const lost = onTheWay(way, {
      x,
      seen: [
        { feature: 1, classIndex: 3 },
        { feature: 2, classIndex: 0 },
      ],
    });
    expect(lost.tails[1]!.afterOthers[0]).toBeLessThan(lost.tails[1]!.byGauge[0]);
  });
});
