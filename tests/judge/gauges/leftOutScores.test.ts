import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { leftOutScores } from '../../../src/judge/gauges/leftOutScores.js';
import { leaveFloodOut } from '../../../src/judge/leaveFloodOut.js';
import { rankedProbabilityScore } from '../../../src/kernel/rps.js';
import { makeWorld } from '../../fit/world.js';
import { expectClose } from '../../expectClose.js';

const world = makeWorld({ visits: 16, days: 90, giveOrTakeMin: 30 });
const aligned = alignVisits(world, { lagsHours: [0, 2, 4], storagesHours: [0, 6] });
const { effective: fit } = fitLevels(aligned, { modes: ['effective'], draws: 120 });
const scored = leftOutScores(fit, aligned);
const F = scored.floods.length;

describe('scores with floods left out', () => {
  it('are those of leaveFloodOut, flood by flood', () => {
    const left = leaveFloodOut(fit, aligned);
    expect(scored.probability).toHaveLength(left.probability.length);
    left.probability.forEach((p, i) =>
      expectClose(scored.probability[i], p, { abs: 1e-12, why: `odds ${i} of two ways to the same weights` }),
    );
    expectClose(scored.undependableShare, left.undependableShare, { abs: 1e-12, why: 'share' });
    expect(F).toBeGreaterThan(3);
  });

  it('leave two floods out as if they were one', () => {
    const [f, g] = [scored.floods[1], scored.floods[3]];
    const merged = { ...aligned, flood: aligned.flood.map((of) => (of === g ? f : of)) };
    const { cases, probability } = leaveFloodOut(fit, { ...merged, flood: merged.flood });
    // The fall-back for cases without a reading differs (all floods but f and g), so only cases that have one are compared.
    let sum = 0;
    const K = cases.classes;
    for (let c = 0; c < cases.visit.length; c++)
      if (aligned.flood[cases.visit[c]] === g)
        sum += cases.weight[c] * rankedProbabilityScore(probability.subarray(c * K, (c + 1) * K), cases.classIndex[c]);
    expectClose(scored.without[1 * F + 3], sum, { abs: 1e-9, why: 'flood g by odds without f and g' });
    expect(Math.abs(sum - scored.scores[3])).toBeGreaterThan(1e-6);
  });

  it('a draw under which a visit is impossible counts no more than the best of the others, and the flood is not dependable', () => {
    const { visitIds, flood } = aligned;
    const visit = flood.indexOf(scored.floods[1]);
    const aloneLogLik = fit.lasting?.aloneLogLik.with(visit, -Infinity);
    const draws = { ...fit.draws, visitLogLik: fit.draws.visitLogLik.with(visit, -Infinity) };
    const broken = { ...fit, draws, ...(aloneLogLik && { lasting: { ...fit.lasting!, aloneLogLik } }) };
    const of = leftOutScores(broken, aligned);
    expect([...of.scores, ...of.without, ...of.probability].every(Number.isFinite)).toBe(true);
    expect(of.undependableShare).toBeGreaterThan(0);
    of.scores.forEach((score, f) => f !== 1 && expect(score).toBe(scored.scores[f]));
    expectClose(of.scores[1], scored.scores[1], { rel: 0.1, why: `one of 120 draws, ${visitIds.length} visits` });
  });

  it('hold one score a flood on the diagonal', () => {
    scored.scores.forEach((s, f) => expect(scored.without[f * F + f]).toBe(s));
  });
});
