import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import { keepSightings, keepVisits } from '../../../src/align/keepVisits.js';
import { edges } from '../../../src/chart/edges.js';
import { lagSummary } from '../../../src/chart/lagSummary.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { warmStarts } from '../../../src/fit/warmStart.js';
import type { LevelFit } from '../../../src/fit/types.js';
import { splitSeed } from '../../../src/kernel/random.js';
import { gridPointOfDraws } from '../../../src/judge/gridPoint.js';
import { predictCase } from '../../../src/judge/predictCase.js';
import type { FirstScores } from '../../../src/judge/firstScores.js';
import { planRelation } from '../../../src/judge/refits/planRelation.js';
import { prepareRelation } from '../../../src/judge/refits/refitRelation.js';
import { runJudgeTask } from '../../../src/judge/refits/runJudgeTask.js';
import type { EdgesResult, FloodResult, JudgedRelation } from '../../../src/judge/refits/types.js';
import { verdictEdges } from '../../../src/judge/refits/verdictEdges.js';
import { verdictCases } from '../../../src/judge/verdictCases.js';
import { expectClose } from '../../expectClose.js';
import { makeWorld } from '../../fit/world.js';

const LAGS = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];
const STORAGES = [-5, 0, 5];
/** As a logger gives it: nearly sure of one lag at storage 0, a tenth left open. */
const sureOf = (lag: number): Float64Array =>
  Float64Array.from({ length: LAGS.length * STORAGES.length }, (_, g) =>
    Math.log((g === LAGS.length + LAGS.indexOf(lag) ? 0.9 : 0) + 0.1 / (LAGS.length * STORAGES.length)),
  );

/** The lag is 3 h; the visits alone leave it between 2 and 5 h. */
const world = makeWorld({ seed: 3, visits: 25, days: 120, mismatch: 0.2, blur: 0.1 });
const aligned = alignVisits(world, { lagsHours: LAGS, storagesHours: STORAGES });
const fitWith = (gridPrior?: Float64Array): LevelFit =>
  fitLevels(aligned, { seed: 1, draws: 600, modes: ['effective'], ...(gridPrior && { gridPrior }) }).effective;
const flat = fitWith();
const right = fitWith(sureOf(3));

const widthOfEdges = (fit: LevelFit): number => {
  const seen = edges(fit, aligned).filter(({ seenBothSides }) => seenBothSides);
  return seen.reduce((sum, { i80: [from, to] }) => sum + Math.log(to! / from!), 0) / seen.length;
};

describe('a prior that is nearly sure of one lag', () => {
  it('on the right lag narrows the lag and the edges', () => {
    expect(lagSummary(flat).i80[1]! - lagSummary(flat).i80[0]!).toBeGreaterThanOrEqual(2);
    expectClose(lagSummary(right).median, 3, { abs: 0.05, why: 'the lag that the prior is nearly sure of' });
    // The whole cell of 3 h, and nothing beyond it.
    expect(lagSummary(right).i80).toEqual([2.5, 3.5]);
    expect(widthOfEdges(right)).toBeLessThan(0.94 * widthOfEdges(flat));
  });

  it('on a wrong lag gives way where the visits say otherwise', () => {
    const wrong = fitWith(sureOf(9));
    expect(flat.grid.probability[LAGS.length + 9]).toBeLessThan(1e-3);
    expect(wrong.grid.probability[LAGS.length + 9]).toBeLessThan(0.01);
    lagSummary(wrong).i80.forEach((end, i) =>
      expectClose(end!, lagSummary(flat).i80[i]!, { abs: 0.05, why: 'a tenth of the grid’s step' }),
    );
    expectClose(widthOfEdges(wrong), widthOfEdges(flat), { rel: 0.05, why: 'edges as wide as without' });
  });
});

describe('fits of a judgement', () => {
  const relation: JudgedRelation = {
    ...world,
    aligned,
    fits: fitLevels(aligned, { seed: 1, draws: 400, gridPrior: sureOf(3) }),
    gridPrior: sureOf(3),
  };
  const { context, tasks } = planRelation(relation, { seed: 9, leads: [0], depth: 'thorough' });
  const prepared = prepareRelation(context);

  it('carry it: a left-out flood is predicted as by a fit from the start with it', () => {
    const cases = verdictCases(aligned);
    const K = cases.classes;
    let worst = 0;
    let moved = 0;
    for (const task of tasks.filter(({ kind }) => kind === 'flood').slice(0, 2)) {
      const { flood, answers } = runJudgeTask(context, prepared, task) as FloodResult;
      const left = keepVisits(aligned, (visit) => visit.flood !== flood);
      const odds = (gridPrior?: Float64Array): Float64Array => {
        const options = { seed: 4, draws: 600, modes: ['effective'] as const };
        const fit = fitLevels(left, { ...options, lasting: false, ...(gridPrior && { gridPrior }) }).effective;
        const all = new Float64Array(cases.visit.length * K);
        const weights = new Float64Array(fit.draws.count).fill(1 / fit.draws.count);
        const points = gridPointOfDraws(aligned, fit.draws);
        for (let c = 0; c < cases.visit.length; c++) predictCase(all, { c, cases, weights, points, fit, aligned });
        return all;
      };
      const [withIt, without] = [odds(sureOf(3)), odds()];
      const mine = Array.from(cases.flood.keys()).filter((c) => cases.flood[c] === flood);
      for (const [i, c] of mine.entries())
        for (let k = 0; k < K; k++) {
          worst = Math.max(worst, Math.abs(answers[0]!.probability[i * K + k] - withIt[c * K + k]));
          moved = Math.max(moved, Math.abs(without[c * K + k] - withIt[c * K + k]));
        }
    }
    // 300 draws moved by importance against 600 fresh ones; without the prior the odds would lie elsewhere.
    expect(worst).toBeLessThan(0.06);
    expect(moved).toBeGreaterThan(0.06);
  });

  it('carry it: edges without an observer are those of a fit from the start with it', () => {
    const { observer, id } = tasks.find((task) => task.kind === 'observer')!;
    const fast = runJudgeTask(
      context,
      prepared,
      tasks.find((task) => task.id === id)!,
    ) as EdgesResult;
    const slow = fitLevels(
      keepSightings(aligned, (sighting) => sighting.observer !== observer),
      { seed: 8, draws: 800, lasting: false, modes: ['effective'] as const, gridPrior: sureOf(3) },
    ).effective;
    verdictEdges(slow).forEach(({ median, i80 }, k) =>
      expectClose(Math.log(fast.edges[k].median), Math.log(median), {
        abs: 0.15 * Math.log(i80[1]! / i80[0]!),
        why: `edge ${k}, in its width`,
      }),
    );
  });

  it('carry it: the half before a shift is fitted from the start with it', () => {
    const betweenMs = [aligned.visitTimesMs[13], aligned.visitTimesMs[14]] as const;
    const shift = { step: { betweenMs } } as FirstScores['shift'];
    const halves = { ...context, way: 'effective' as const, first: { ...context.first, shift } };
    const start = { floods: null, edges: null };
    const half = runJudgeTask(halves, start, { kind: 'span', id: 'before', span: 'before' }) as EdgesResult;
    const slow = fitLevels(
      keepVisits(aligned, ({ index }) => index <= 13),
      { seed: splitSeed(context.seed, 'before'), modes: ['effective'], gridPrior: sureOf(3) },
    );
    expect(half.edges).toEqual(verdictEdges(slow.effective));
  });

  it('start from plain data that holds the prior against a flat one', () => {
    const prior = prepared.floods!.gridPrior!;
    expectClose(
      prior.reduce((sum, l) => sum + Math.exp(l), 0),
      LAGS.length * STORAGES.length,
      { abs: 1e-9, why: 'mean 1' },
    );
    expect(structuredClone(prepared)).toEqual(prepared);
    const wanted = [[{ way: 'effective' as const, leadHours: 0, draws: 10 }]];
    expect(() => warmStarts(aligned, relation.fits, { wanted, seed: 1, gridPrior: new Float64Array(3) })).toThrow(
      'warmStarts: gridPrior must hold one finite number for each of 30 grid points, got 3',
    );
    expect(warmStarts(aligned, relation.fits, { wanted, seed: 1 })[0]).not.toHaveProperty('gridPrior');
  });
});
