import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { keepVisits } from '../../src/align/keepVisits.js';
import type { Aligned } from '../../src/align/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { refitLevels } from '../../src/fit/refitLevels.js';
import { warmStarts, type WantedQuestion, type WarmStart } from '../../src/fit/warmStart.js';
import type { LevelFit } from '../../src/fit/types.js';
import { expectClose } from '../expectClose.js';
import { makeWorld, type World } from './world.js';

const GRID = { lagsHours: [1, 2, 3, 4, 5], storagesHours: [0] };
const QUESTION: WantedQuestion = { way: 'effective', leadHours: 0, draws: 400 };

function fitted(world: World): { aligned: Aligned; fit: LevelFit; warm: WarmStart } {
  const aligned = alignVisits(world, GRID);
  const fits = fitLevels(aligned, { seed: 1, draws: 600 });
  const [warm] = warmStarts(aligned, fits, { wanted: [[QUESTION]], seed: 3 });
  return { aligned, fit: fits.effective, warm };
}

/** Weighted mean of the verdict's edges by a refit, and their plain mean by a fit. */
function edgesOf(refit: ReturnType<typeof refitLevels>): number[] {
  const { features, weights } = refit.answers[0]!;
  const K = features[0].classes.length - 1;
  return Array.from({ length: K }, (_, k) => weights.reduce((sum, w, d) => sum + w * features[0].edges[d * K + k], 0));
}
function freshEdges({ features, draws }: LevelFit): { mean: number; sd: number }[] {
  const K = features[0].classes.length - 1;
  return Array.from({ length: K }, (_, k) => {
    const all = Array.from({ length: draws.count }, (__, d) => features[0].edges[d * K + k]);
    const mean = all.reduce((a, b) => a + b, 0) / all.length;
    return { mean, sd: Math.sqrt(all.reduce((sum, v) => sum + (v - mean) ** 2, 0) / all.length) };
  });
}

describe('refitLevels at the edges', () => {
  const made = fitted(makeWorld({ seed: 8, visits: 18, days: 100 }));

  it('of the same visits gives back the fit it came from', () => {
    const same = refitLevels(made.aligned, made.warm);
    expect([same.status, same.visits, same.link]).toEqual(['converged', 18, 'probit']);
    expect(same.answers[0]!.paretoK).toBeLessThan(0.7);
    // Draws of one posterior against weighted draws of the same: a quarter of an sd is four standard errors of 300 draws.
    freshEdges(made.fit).forEach(({ mean, sd }, k) =>
      expectClose(edgesOf(same)[k], mean, { abs: 0.25 * sd, why: `edge ${k}` }),
    );
  });

  it('too few visits, or none, are a status without answers', () => {
    for (const left of [0, 2]) {
      const thin = refitLevels(
        keepVisits(made.aligned, ({ index }) => index < left),
        made.warm,
      );
      expect(thin).toMatchObject({ kind: 'refit', status: 'too-few-rows', visits: left, answers: [] });
    }
  });

  it('visits at one reading of the gauge are a constant gauge', () => {
    const flat = { ...made.aligned, x: made.aligned.x.map(() => 1.5) };
    expect(refitLevels(flat, made.warm)).toMatchObject({ status: 'constant-gauge', answers: [] });
  });

  it('another grid, a strange observer and a width that is none are misuse', () => {
    const short = alignVisits(makeWorld({ seed: 8, visits: 18, days: 100 }), { lagsHours: [1], storagesHours: [0] });
    expect(() => refitLevels(short, made.warm)).toThrow(
      /^refitLevels: the warm start knows grid point \d, aligned has 1; use one grid$/,
    );
    expect(() => refitLevels(made.aligned, made.warm, { priorWidth: 0 })).toThrow(
      'refitLevels: priorWidth must be above 0, got 0',
    );
    const strange = { ...made.aligned, observers: ['nobody knows', ...made.aligned.observers.slice(1)] };
    expect(() => refitLevels(strange, made.warm)).toThrow(RangeError);
  });

  it('a question that the grid has no lag for gets no answer, the others do', () => {
    const fits = fitLevels(made.aligned, { seed: 1, draws: 200 });
    const [warm] = warmStarts(made.aligned, fits, {
      wanted: [
        [QUESTION, { way: 'effective', leadHours: 9, draws: 50 }, { way: 'as-it-stands', leadHours: 0, draws: 50 }],
      ],
      seed: 3,
    });
    expect(refitLevels(made.aligned, warm).answers.map((answer) => answer !== null)).toEqual([true, false, false]);
  });

  it('without a fit there is no start', () => {
    const thin = alignVisits(makeWorld({ seed: 8, visits: 2, days: 60 }), GRID);
    expect(warmStarts(thin, fitLevels(thin, { seed: 1, draws: 50 }), { wanted: [[QUESTION]], seed: 1 })).toEqual([]);
  });

  it('a stage gauge is refitted in its own units: without one flood, near a fit from the start', () => {
    const world = makeWorld({ seed: 5, visits: 24, days: 120 });
    const top = Math.max(...world.record.values);
    const stage = {
      ...world,
      record: {
        ...world.record,
        parameter: 'stage' as const,
        unit: 'm' as const,
        values: world.record.values.map((v) => 312 + 0.8 * Math.sqrt(v / top)),
      },
    };
    const { aligned, warm } = fitted(stage);
    const without = keepVisits(aligned, ({ flood }) => flood !== aligned.flood[0]);
    const refit = refitLevels(without, warm);
    expect(refit.status).toBe('converged');
    const fresh = fitLevels(without, { seed: 2, draws: 600, modes: ['effective'] }).effective;
    freshEdges(fresh).forEach(({ mean, sd }, k) =>
      expectClose(edgesOf(refit)[k], mean, { abs: 0.5 * sd, why: `edge ${k} of a stage gauge` }),
    );
  });

  it('a kept difference of rising and falling water is carried on, and free to move', () => {
    const plain = alignVisits(makeWorld({ seed: 4, visits: 60, days: 200, mismatch: 0.05, blur: 0.1 }), GRID);
    expect(plain.nodeWeight.length).toBe(plain.visitIds.length);
    // The gauge as it would read if the creek stood 4 h of its slope higher than it says.
    const tilted = { ...plain, x: plain.x.map((v, i) => v - 4 * plain.slope[i]) };
    const fits = fitLevels(tilted, { seed: 1, draws: 400 });
    expect(fits.effective.limbKept).toBe(true);
    const [warm] = warmStarts(tilted, fits, {
      wanted: [[QUESTION, { way: 'one-reading', leadHours: 0, draws: 100 }]],
      seed: 3,
    });
    expect(warm.families.map(({ limb }) => limb)).toEqual([false, true]);
    const [kept, single] = refitLevels(
      keepVisits(tilted, ({ flood }) => flood !== tilted.flood[0]),
      warm,
    ).answers;
    const limb = kept!.weights.reduce((sum, w, d) => sum + w * kept!.draws.limb[d], 0);
    expect(limb).toBeGreaterThan(2);
    expect(limb).toBeLessThan(6);
    expect(single!.draws.limb.every((v) => v === 0)).toBe(true);
  });
});
