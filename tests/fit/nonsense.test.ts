import { describe, expect, it } from 'vitest';
import type { Aligned } from '../../src/align/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import type { LevelFit } from '../../src/fit/types.js';
import { suspectsOf } from '../../src/judge/suspects.js';
import { quantile } from '../../src/kernel/quantile.js';
import { staffVisits } from './staffWorld.js';

const fitOf = (aligned: Aligned): LevelFit =>
  fitLevels(aligned, { modes: ['one-reading'], draws: 400, seed: 1 })['one-reading'];

/** 10 %, 50 % and 90 % of both edges of the verdict. */
const edgesOf = ({ features, draws }: LevelFit) =>
  [0, 1].map((k) => {
    const drawn = Float64Array.from({ length: draws.count }, (_, d) => features[0].edges[d * 2 + k]);
    return [0.1, 0.5, 0.9].map((p) => quantile(drawn, p));
  });

describe('one row of nonsense in a log of 60 visits', () => {
  const sound = staffVisits({ seed: 5, growing: false, visits: 60 });
  const edges = edgesOf(fitOf(sound));
  const shares = (fit: LevelFit) =>
    edgesOf(fit).map(([, median], k) => Math.abs(median - edges[k][1]) / (edges[k][2] - edges[k][0]));

  // Measured: every seventh visit with each kind of nonsense, and no edge moved by more than 0.03 of its interval.
  it.each([
    [1, (v: number) => 10 * v],
    [29, (v: number) => v / 10],
    [57, (v: number) => -v],
    [71, () => 99999],
    [113, () => 0],
    [43, (v: number) => 10 * v],
  ] as const)('staff row %i: no edge moves by a tenth of its interval, and the row is named first', (j, change) => {
    const wrong = { ...sound, sightingValue: sound.sightingValue.with(j, change(sound.sightingValue[j])) };
    const fit = fitOf(wrong);
    for (const share of shares(fit)) expect(share).toBeLessThan(0.1);
    const [first] = suspectsOf(fit, wrong).suspects;
    expect([first.visit, first.sound < 1e-6]).toEqual([sound.visitIds[j >> 1], true]);
    expect(['digits', 'misread']).toContain(first.explanations[0].kind);
  });

  // Measured: every wrong verdict of every visit: 0.10 where two classes off, 0.36 where one; without gross errors 0.48 and more.
  it.each([
    [50, 0],
    [100, 0],
    [26, 1],
    [26, 2],
    [32, 2],
    [52, 2],
  ])('verdict row %i as class %i: no edge moves by a tenth of its interval, and the row is named first', (j, saw) => {
    const wrong = { ...sound, sightingClass: sound.sightingClass.with(j, saw) };
    const fit = fitOf(wrong);
    expect(fit.features[0].gross).toBeCloseTo(0.01 / 0.99 / 3, 10);
    for (const share of shares(fit)) expect(share).toBeLessThan(0.1);
    const [first] = suspectsOf(fit, wrong).suspects;
    expect([first.visit, first.explanations[0].kind]).toEqual([sound.visitIds[j >> 1], 'misread']);
  });

  it('gross errors of classes are not taken where no verdict asks for them', () =>
    expect(fitOf(sound).features[0].gross).toBe(undefined));
});
