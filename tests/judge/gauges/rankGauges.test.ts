import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import { keepVisits } from '../../../src/align/keepVisits.js';
import type { Aligned } from '../../../src/align/types.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { commonVisits } from '../../../src/judge/gauges/commonVisits.js';
import { gaugeCandidate } from '../../../src/judge/gauges/gaugeCandidate.js';
import { leftOutScores } from '../../../src/judge/gauges/leftOutScores.js';
import { rankAndPropose, rankGauges } from '../../../src/judge/gauges/rankGauges.js';
import { waysOfReading } from '../../../src/judge/waysOfReading.js';
import { gaugeWorld } from '../../../tools/gauges/gaugeWorld.js';
import { tallyGauges } from '../../../tools/gauges/tallyGauges.js';
import { expectClose } from '../../expectClose.js';
import { makeWorld } from '../../fit/world.js';

describe('ranking gauges', () => {
  const worlds = gaugeWorld({ kind: 'two', seed: 5, visits: 40, noise: 1, days: 500 });
  const { ranking, proposal } = rankAndPropose(worlds, { draws: 120 });

  it('puts the mean of two halves before each half, and says what it is made of', () => {
    const [first] = ranking.warning;
    expect(first.id.split('+').filter((id) => id.startsWith('right'))).toHaveLength(2);
    const halves = ranking.warning.find((g) => g.id.split('+').sort().join('+') === 'right 1+right 2')!;
    expect(halves.parts.map((p) => p.gauge).sort()).toEqual(['right 1', 'right 2']);
    expect(halves.parts.every((p) => p.weight >= 0.25 && p.weight <= 0.75)).toBe(true);
    const { choice } = ranking;
    expect(choice).toMatchObject({ id: halves.id, why: 'clear-gain', gain: halves.gain });
    expect(choice.gain!.value!).toBeGreaterThanOrEqual(0.03);
    expect(choice.gain!.i80[0]!).toBeGreaterThan(0);
    expect(ranking.warning.find(({ id }) => id === choice.plain!.id)).toMatchObject({ kind: 'single', gain: null });
    expect(choice.sentence).toMatch(
      /^Read right \d with right \d: it gains 0\.\d+ \(.*\) of skill over right \d alone\. Choosing among \d+ candidates like this has a skill of 0\.\d\d? \(/,
    );
    // The same mean as a gauge of its own: read at the time of the part with the shortest lag.
    expect(proposal).toMatchObject({ id: halves.id, kind: 'mean' });
    expect(proposal!.weights!.reduce((a, b) => a + b)).toBe(1);
    expect(proposal!.travelHours![0]).toBe(0);
  });

  it('gives every candidate a probability against every other, and a reason', () => {
    const C = ranking.warning.length;
    expect(ranking.warning.map((g) => g.rank)).toEqual(Array.from({ length: C }, (_, i) => i + 1));
    ranking.beats.forEach((row, a) => row.forEach((p, b) => expect(p + ranking.beats[b][a]).toBeCloseTo(1, 12)));
    expect(ranking.warning.reduce((sum, g) => sum + g.best, 0)).toBeCloseTo(1, 12);
    const noise = ranking.warning.find((g) => g.id === 'noise 1')!;
    expect(noise.reason).toMatch(/^right \d.* scores better in .* of the draws of floods\./);
    expect(ranking.warning[0].reason).toMatch(
      /^Scores best on floods left out\. Its skill differs from that of right \d alone by 0\./,
    );
  });
});

describe('candidates of a creek', () => {
  it('are its records, with the gauges that stand behind a derived one', () => {
    const world = makeWorld({ visits: 6, days: 40 });
    const made = { id: 'both', name: 'both', kind: 'sum' as const, of: ['weir', 'mill'] };
    const mean = { ...made, id: 'mean', kind: 'mean' as const, weights: [0.5, 0.5] };
    const aligned = alignVisits(world, { lagsHours: [0, 1], storagesHours: [0] });
    const candidates = ['weir', 'both', 'mean'].map((gauge) =>
      gaugeCandidate({ ...world.creek, derivedGauges: [made, mean] }, { record: { ...world.record, gauge }, aligned }),
    );
    expect(candidates.map((c) => [c.id, c.kind, c.sources])).toEqual([
      ['weir', 'single', ['weir']],
      ['both', 'derived', ['weir', 'mill']],
      ['mean', 'combined', ['weir', 'mill']],
    ]);
  });
});

describe('what is combined', () => {
  it('are plain gauges: a derived one is never a part of a mean', () => {
    const [right, noise] = gaugeWorld({ kind: 'right', seed: 8, visits: 24, noise: 1, days: 250 });
    const copy = { ...right, id: 'copy', kind: 'derived' as const, sources: ['right 1'] };
    const scaled = { ...copy, aligned: { ...right.aligned, x: right.aligned.x.map((x) => x + 1) } };
    const { warning } = rankGauges([{ ...right, sources: ['right 1'] }, scaled, noise], { draws: 40 });
    const pairs = warning.filter((g) => g.kind === 'combined').map((g) => g.id.split('+').sort().join('+'));
    expect(pairs).toEqual(['noise 1+right 1']);
    expect(warning.find((g) => g.id === 'copy')!.gauges).toBe(1);
  });
});

describe('a gauge that the creek leads', () => {
  const late = makeWorld({ seed: 4, visits: 30, lagHours: -5, mismatch: 0.1 });
  const grid = { lagsHours: [-8, -6, -5, -4, -2, 0, 2, 4], storagesHours: [0] };
  const aligned = alignVisits(late, grid);

  it('stays among those to read before going where it surely says something then, and says that it says more later', () => {
    const { warning, confirming } = rankGauges([{ id: 'weir', name: 'the weir', kind: 'single', aligned }], {
      draws: 80,
    });
    expect(confirming).toEqual([]);
    expect(warning[0].skill.againstFrequencies.value!).toBeGreaterThan(0.5);
    expect(warning[0].reason).toBe(
      'Scores best on floods left out. The creek leads it: read afterwards it says clearly more.',
    );
  });

  it('is ranked apart where it says nothing sure before, with what it is worth then', () => {
    const far = makeWorld({ seed: 4, visits: 30, lagHours: -70, mismatch: 0.1 });
    const aligned = alignVisits(far, { lagsHours: [-74, -72, -70, -68, -66, 0, 2], storagesHours: [0] });
    const ranking = rankGauges([{ id: 'weir', name: 'the weir', kind: 'single', aligned }], { draws: 80 });
    expect(JSON.stringify(rankGauges([{ id: 'weir', name: 'the weir', kind: 'single', aligned }], { draws: 80 }))).toBe(
      JSON.stringify(ranking),
    );
    expect(ranking.warning).toEqual([]);
    const [weir] = ranking.confirming;
    expect(weir.creekLeads).toBeGreaterThan(0.95);
    expect(Math.abs(weir.lagHours + 70)).toBeLessThanOrEqual(2);
    expect(weir.reason).toMatch(
      /^The creek leads it by about \d+(\.5)? hours \(probability .*\): it only confirms afterwards, so don't plan by it\. What it says at the moment of looking has a skill of /,
    );
    expect(ranking.choice).toMatchObject({ id: null, sentence: 'There is no gauge to choose from.' });
  });

  it('and one that can’t be fitted stands aside with its status', () => {
    const few = keepVisits(aligned, ({ index }) => index < 2);
    const ranking = rankGauges([{ id: 'weir', name: 'the weir', kind: 'single', aligned: few }]);
    expect(ranking.aside).toHaveLength(1);
    expect(ranking.aside[0].reason).toContain('visits');
    expect(ranking.floods).toBe(0);
  });

  it('refuses two candidates of one id', () => {
    const one = { id: 'weir', name: 'the weir', kind: 'single' as const, aligned };
    expect(() => rankGauges([one, one])).toThrow("rankGauges: two candidates have the id 'weir'");
    expect(() => rankGauges([one, { ...one, id: 'b', aligned: { ...aligned, run: 'other' } }])).toThrow(
      "rankGauges: 'b' belongs to run 'other', the first to 'gorge'",
    );
  });
});

describe('candidates that are fitted already', () => {
  const bare = gaugeWorld({ kind: 'right', seed: 8, visits: 16, noise: 1, days: 250 });
  const known = bare.map((candidate) => ({
    ...candidate,
    fitted: { aligned: candidate.aligned, fits: fitLevels(candidate.aligned, { draws: 90, seed: 9 }) },
  }));
  const options = { draws: 40, combine: 0 };

  it('are scored by those fits, by the way that their chart is read, on the floods that all share', () => {
    const { warning } = rankGauges(known, options);
    const common = commonVisits(bare).candidates;
    known.forEach(({ id, aligned, fitted }, i) => {
      const { flood } = common[i].aligned;
      const { chosen } = waysOfReading({ ...aligned, flood }, fitted.fits, { seed: 1 });
      const { scores } = leftOutScores(fitted.fits[chosen!], { ...aligned, flood });
      const sum = scores.reduce((a, b) => a + b, 0);
      expectClose(warning.find((g) => g.id === id)!.rps, sum / 16, { rel: 1e-12, why: 'one verdict a visit' });
    });
  });

  it('are fitted anew for another lead, and where one of them lacks a visit', () => {
    expect(rankGauges(known, { ...options, leadHours: 2 })).toEqual(rankGauges(bare, { ...options, leadHours: 2 }));
    const without = (aligned: Aligned): Aligned => keepVisits(aligned, ({ index }) => index !== 3);
    const lacking = (list: typeof bare) => [{ ...list[0], aligned: without(list[0].aligned) }, list[1]];
    const ranking = rankGauges(lacking(known), options);
    expect(ranking.visits).toBe(15);
    expect(ranking).toEqual(rankGauges(lacking(bare), options));
  });

  it('take a logger’s word for the lag where they are fitted anew', () => {
    const [right] = bare;
    const { lagsHours, storagesHours } = right.aligned;
    const gridPrior = Float64Array.from({ length: lagsHours.length * storagesHours.length }, (_, g) =>
      g % lagsHours.length === 2 ? 0 : -50,
    );
    expect(rankGauges([{ ...right, gridPrior }], options).warning[0].lagHours).toBe(lagsHours[2]);
  });
});

describe('more candidates than evidence', () => {
  it('the right gauge is found among many that share its seasons', () => {
    const tally = tallyGauges(
      { kind: 'right', visits: 40, noise: 3, days: 400 },
      { worlds: 3, firstSeed: 900, combine: 0, draws: 80 },
    );
    expect(tally.noiseFirst).toBe(0);
    expect(tally.rightChosen).toBeGreaterThanOrEqual(2 / 3 - 1e-4);
  });
});
