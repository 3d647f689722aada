import { leadSentence } from '../../../src/judge/refits/leadCurve.js';
import { describe, expect, it } from 'vitest';
import { keepSightings, keepVisits } from '../../../src/align/keepVisits.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import type { LevelFit } from '../../../src/fit/types.js';
import { predictCase } from '../../../src/judge/predictCase.js';
import { gridPointOfDraws } from '../../../src/judge/gridPoint.js';
import { finishRelation } from '../../../src/judge/refits/finishRelation.js';
import { planRelation } from '../../../src/judge/refits/planRelation.js';
import { prepareRelation, refitRelation, runRefits } from '../../../src/judge/refits/refitRelation.js';
import { runJudgeTask } from '../../../src/judge/refits/runJudgeTask.js';
import { firstScores } from '../../../src/judge/firstScores.js';
import type { EdgesResult, FloodResult, JudgedRelation } from '../../../src/judge/refits/types.js';
import { verdictEdges } from '../../../src/judge/refits/verdictEdges.js';
import { shiftOf } from '../../../src/judge/shift.js';
import { verdictCases } from '../../../src/judge/verdictCases.js';
import { expectClose } from '../../expectClose.js';
import { smallRelation } from './smallRelation.js';

const relation = smallRelation({ seed: 2, visits: 30 });
const plan = planRelation(relation, { seed: 9, leads: [0, 2, 4], depth: 'thorough' });
const prepared = prepareRelation(plan.context);
const results = runRefits(plan);
const refits = finishRelation(plan, results);

/** Odds of some cases by a fit, the slow way: every draw alike. */
function oddsBy(fit: LevelFit, { aligned }: JudgedRelation): Float64Array {
  const cases = verdictCases(aligned);
  const all = new Float64Array(cases.visit.length * cases.classes);
  const weights = new Float64Array(fit.draws.count).fill(1 / fit.draws.count);
  const points = gridPointOfDraws(aligned, fit.draws);
  for (let c = 0; c < cases.visit.length; c++) predictCase(all, { c, cases, weights, points, fit, aligned });
  return all;
}

describe('floods left out by fits of their own', () => {
  it('say what a fit from the start without that flood says', () => {
    const cases = verdictCases(relation.aligned);
    const K = cases.classes;
    let worst = 0;
    for (const task of plan.tasks.filter(({ kind }) => kind === 'flood').slice(0, 4)) {
      const { flood, answers } = results.find(({ id }) => id === task.id) as FloodResult;
      const fresh = fitLevels(
        keepVisits(relation.aligned, (visit) => visit.flood !== flood),
        { seed: 4, draws: 2000, modes: ['effective'] },
      ).effective;
      const slow = oddsBy(fresh, relation);
      const mine = Array.from(cases.flood.keys()).filter((c) => cases.flood[c] === flood);
      for (const [i, c] of mine.entries())
        for (let k = 0; k < K; k++)
          worst = Math.max(worst, Math.abs(answers[0]!.probability[i * K + k] - slow[c * K + k]));
    }
    // 300 draws moved by importance against 2000 fresh ones: a standard error of about 0.02 where the odds are even.
    expect(worst).toBeLessThan(0.06);
  });

  it('give every case odds that sum to 1, and say how they were made', () => {
    for (const left of [refits.leftOut.effective!, refits.leftOut['one-reading']!, refits.leftOut['as-it-stands']!]) {
      const K = left.cases.classes;
      expect(left.refitted).toBe(left.floods.length);
      for (let c = 0; c < left.cases.visit.length; c++) {
        let sum = 0;
        for (let k = 0; k < K; k++) sum += left.probability[c * K + k];
        expectClose(sum, 1, { abs: 1e-9, why: `case ${c}` });
      }
    }
  });

  it('the class of a left-out verdict plays no part in its odds', () => {
    const { aligned } = relation;
    const flood = aligned.flood[0];
    const cases = verdictCases(aligned);
    const changed = aligned.sightingClass.slice();
    for (let c = 0; c < cases.visit.length; c++)
      if (cases.flood[c] === flood) changed[cases.sighting[c]] = cases.classIndex[c] === 0 ? 4 : 0;
    const other = { ...relation, aligned: { ...aligned, sightingClass: changed } };
    const fresh = (one: JudgedRelation) =>
      fitLevels(
        keepVisits(one.aligned, (visit) => visit.flood !== flood),
        { seed: 4, draws: 100, modes: ['effective'] },
      ).effective.draws;
    expect(fresh(other)).toEqual(fresh(relation));
  });
});

describe('edges by fits of their own', () => {
  it('without an observer: near what a fit from the start says', () => {
    const { observer } = refits.without[0];
    const fresh = verdictEdges(
      fitLevels(
        keepSightings(relation.aligned, (sighting) => sighting.observer !== observer),
        { seed: 8, draws: 2000, modes: ['effective'] },
      ).effective,
    );
    refits.without[0].edges.forEach((edge, k) => {
      const width = Math.log(fresh[k].i80[1]! / fresh[k].i80[0]!);
      expectClose(Math.log(edge.to), Math.log(fresh[k].median), { abs: 0.15 * width, why: `edge ${k}, in its width` });
    });
  });

  it('sensitivity: priors half as wide make edges that are seen from one side only move towards the others, never out of order', () => {
    for (const { edges } of refits.sensitivity!.variants)
      for (let k = 1; k < edges.length; k++) expect(edges[k].to).toBeGreaterThan(edges[k - 1].to);
    expect(refits.sensitivity!.variants.map(({ variant }) => variant)).toEqual([
      'priors-half',
      'priors-double',
      'other-link',
      'other-interpolation',
    ]);
    for (const { flagged, largestMove } of refits.sensitivity!.variants) expect(flagged).toBe(largestMove > 0.25);
  });

  it('influence: one visit an edge, found by a fit without it', () => {
    const { rows } = refits.influence!;
    expect(rows.map(({ between }) => between[0])).toEqual(['too low', 'low', 'good', 'high']);
    for (const row of rows) {
      expect(row.method).toBe('refit');
      const task = plan.tasks.find(
        (one) => one.kind === 'visit' && relation.aligned.visitIds[one.visit] === row.visit,
      )!;
      const { edges } = results.find(({ id }) => id === task.id) as EdgesResult;
      const edge = edges.find(({ between }) => between[0] === row.between[0])!;
      expect(row.to).toBe(edge.median);
    }
  });
});

describe('the lead curve', () => {
  it('asks at each hour that the grid reaches, and starts with the chart itself', () => {
    expect(refits.leadCurve!.points.map(({ leadHours }) => leadHours)).toEqual([0, 2, 4]);
    const far = planRelation(relation, { leads: [0, 2, 40] });
    expect(far.tasks.flatMap((task) => (task.kind === 'lead' ? [task.leadHours] : []))).toEqual([2]);
  });

  it('the creek is three hours behind its gauge: two hours early cost next to nothing', () => {
    const [now, two] = refits.leadCurve!.points.map(({ skill }) => skill.value!);
    expect(now).toBeGreaterThan(0.3);
    expectClose(two, now, { abs: 0.08, why: 'two hours before' });
    expect(refits.leadCurve!.sentence).toMatch(/^Deciding on the spot, the gauge takes away \d+ % of the guesswork/);
  });
});

describe('a plan of fits', () => {
  it('is the same whatever order the results come in', () => {
    expect(finishRelation(plan, [...results].reverse())).toEqual(refits);
    for (const at of [0, plan.tasks.length - 1])
      expect(runJudgeTask(plan.context, prepared, plan.tasks[at])).toEqual(results[at]);
  });

  it('survives the way to another core', () => {
    expect(structuredClone(prepared)).toEqual(prepared);
    expect(structuredClone(plan.context)).toEqual(plan.context);
  });

  it('says what is missing', () => {
    expect(() => finishRelation(plan, results.slice(1))).toThrow(
      `finishRelation: no result for '${plan.tasks[0].id}' of ${plan.context.label}`,
    );
    expect(() => planRelation(relation, { leads: [NaN] })).toThrow('planRelation: leads must be finite hours, got NaN');
  });

  it('for a gauge that carries no plan: the floods and its visits, and no edges', () => {
    const floods = planRelation(relation, { depth: 'floods' });
    expect(new Set(floods.tasks.map(({ kind }) => kind))).toEqual(new Set(['suspects', 'next-look', 'flood']));
    expect(planRelation(relation, { depth: 'visits' }).tasks.map(({ kind }) => kind)).toEqual([
      'suspects',
      'next-look',
    ]);
    const none = refitRelation(floods);
    expect([none.leadCurve, none.influence, none.sensitivity, none.without]).toEqual([null, null, null, []]);
    expect(none.leftOut.effective!.refitted).toBe(none.leftOut.effective!.floods.length);
  });

  it('by default leaves floods and visits out by weights, and fits only those that weights can’t be relied on for', () => {
    const first = firstScores(relation, { seed: 9 });
    const usual = planRelation(relation, { seed: 9, first, leads: [0] });
    const doubtful = [first.left.effective!, first.left['one-reading']!].flatMap(({ floods }) =>
      floods.filter(({ paretoK }) => !(paretoK <= 0.7)).map(({ flood }) => flood),
    );
    const fitted = usual.tasks.flatMap((task) => (task.kind === 'flood' ? [task.flood] : []));
    expect([...fitted].sort()).toEqual([...new Set(doubtful)].sort());
    const { leftOut, influence } = refitRelation(usual);
    expect(leftOut.effective!.refitted).toBe(fitted.length);
    expect(leftOut.effective!.undependableShare).toBeLessThanOrEqual(first.left.effective!.undependableShare);
    // Weights and fits of their own tell nearly the same odds of floods that do not steer the fit.
    const K = leftOut.effective!.cases.classes;
    const slow = refits.leftOut.effective!.probability;
    leftOut.effective!.cases.flood.forEach((flood, c) => {
      if (first.left.effective!.floods.find((one) => one.flood === flood)!.paretoK > 0.5) return;
      for (let k = 0; k < K; k++)
        expectClose(leftOut.effective!.probability[c * K + k], slow[c * K + k], { abs: 0.1, why: `case ${c}` });
    });
    expect(influence!.rows.length).toBeGreaterThan(0);
  });

  it('with nothing fitted there is nothing to do', () => {
    const thin = smallRelation({ visits: 2 });
    const empty = planRelation(thin);
    expect(empty.tasks).toEqual([]);
    const { leftOut, problems } = finishRelation(empty, []);
    expect(leftOut).toEqual({ effective: null, 'one-reading': null, 'as-it-stands': null });
    expect(problems).toEqual([]);
  });

  it('where a shift was found, the charts before and after it: the step is between them', () => {
    const steady = smallRelation({ seed: 5, visits: 60, days: 300, mismatch: 0.1 });
    // The bed moved half way through: everything seen later is seen two classes higher at the same reading.
    const half = steady.aligned.visitTimesMs[30];
    const visits = steady.visits.map((visit) =>
      visit.timeMs < half
        ? visit
        : {
            ...visit,
            sightings: visit.sightings.map((s) => ({
              ...s,
              classIndex: s.classIndex < 0 ? s.classIndex : Math.min(s.feature === 'verdict' ? 4 : 2, s.classIndex + 1),
            })),
          },
    );
    const rank = new Map(visits.map((visit) => [visit.id, visit]));
    const sightingClass = steady.aligned.sightingClass.slice();
    steady.aligned.visitIds.forEach((id, i) => {
      for (let j = steady.aligned.sightingStart[i]; j < steady.aligned.sightingStart[i + 1]; j++)
        if (steady.aligned.visitTimesMs[i] >= half && sightingClass[j] >= 0) {
          const top = steady.aligned.features[steady.aligned.sightingFeature[j]].classes.length - 1;
          sightingClass[j] = Math.min(top, sightingClass[j] + 1);
        }
      expect(rank.has(id)).toBe(true);
    });
    const aligned = { ...steady.aligned, sightingClass };
    const fits = fitLevels(aligned, { seed: 1, draws: 400 });
    const shift = shiftOf(fits.effective, aligned);
    expect(shift.found).toBe(true);
    const of = { ...steady, visits, aligned, fits };
    const first = { ...firstScores(of, { seed: 1 }), shift, chosen: 'effective' as const };
    const moved = planRelation(of, { first, leads: [0] });
    const spans = moved.tasks.filter(({ kind }) => kind === 'span');
    expect(spans.map(({ id }) => id)).toEqual(['before', 'after']);
    const start = { floods: null, edges: null };
    const [before, after] = spans.map((task) => runJudgeTask(moved.context, start, task) as EdgesResult);
    const good = (result: EdgesResult) => result.edges.find(({ between }) => between[1] === 'good')!.median;
    // The creek stands higher at the same reading, so good begins at a lower one.
    expect(good(after)).toBeLessThan(good(before));
  });
});

describe('what deciding early costs, in words', () => {
  const measured = (value: number, low: number, high: number) => ({ value, i80: [low, high] as const });
  const skill = measured(0.6, 0.5, 0.7);
  const point = (leadHours: number, loss?: ReturnType<typeof measured>) => ({
    leadHours,
    skill,
    ...(loss === undefined ? {} : { loss }),
  });
  const said = (...points: ReturnType<typeof point>[]) => leadSentence([point(0), ...points]);

  it('is nothing only where the loss’s whole interval is small', () => {
    expect(said(point(2, measured(0.01, -0.01, 0.02)), point(4, measured(0.09, 0.05, 0.13)))).toBe(
      'Deciding on the spot, the gauge takes away 60 % of the guesswork. Deciding up to 2 hours before costs nothing that matters. Deciding 4 hours before costs 9 % (5 to 13) of it.',
    );
    expect(said(point(2, measured(0.01, -0.06, 0.08)))).toBe(
      "Deciding on the spot, the gauge takes away 60 % of the guesswork. The log can't tell yet what deciding 2 hours before costs: 1 % (−6 to 8) of it. Verdicts on more floods would tell.",
    );
    expect(said()).toBe('No earlier moment of deciding could be compared.');
  });
});
