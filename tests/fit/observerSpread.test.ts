import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { findMode } from '../../src/fit/findMode.js';
import { createGridProblem } from '../../src/fit/gridProblem.js';
import { moveSpread } from '../../src/fit/observerSpread.js';
import { makeCreek } from '../../tools/simulate/makeCreek.js';
import { expectClose } from '../expectClose.js';

const aligned = alignVisits(makeCreek('model', { visits: 25, seed: 4 }));
const problemAt = (observerSd: number) =>
  createGridProblem(aligned, {
    link: 0,
    priors: 'weak',
    priorWidth: 1,
    mismatch: true,
    bias: true,
    limb: false,
    ratingForm: new Map(),
    scale: 1,
    observerSd,
  });
const nL = aligned.lagsHours.length;
const point = (lag: number, storage: number) =>
  aligned.storagesHours.indexOf(storage) * nL + aligned.lagsHours.indexOf(lag);

describe('moveSpread', () => {
  it('moved to a neighbouring ω, a mode has about the evidence that climbing there gives', () => {
    const g = point(0, 0);
    const from = problemAt(0.1);
    const mode = findMode(from, g, from.start(g));
    const there = problemAt(0.14);
    const climbed = findMode(there, g, mode.u);
    expectClose(moveSpread(from, mode, 0.14)!.logEvidence, climbed.logEvidence, { abs: 0.05, why: 'Laplace at 0.14' });
    expectClose(moveSpread(from, mode, 0.1)!.logEvidence, mode.logEvidence, { abs: 1e-9, why: 'no move at all' });
  });

  it('does not believe a move that runs away', () => {
    // Somewhere on the grid of this log the moved precision is all but singular: its evidence would beat the best by seven ln units.
    const problem = problemAt(0.142);
    for (const [lag, storage] of [
      [12, -3],
      [0, 0],
      [20, 24],
    ]) {
      const g = point(lag, storage);
      const mode = findMode(problem, g, problem.start(g));
      for (const omega of [0.02, 0.1, 0.3, 0.8]) {
        const moved = moveSpread(problem, mode, omega);
        if (moved === undefined) continue;
        expect(moved.logEvidence).toBeLessThan(mode.logEvidence + 5);
      }
    }
  });
});
