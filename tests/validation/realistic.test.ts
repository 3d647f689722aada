import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { classAt, realisticWorld, trueEdge } from '../../tools/realistic/realisticWorld.js';
import { tallyRealistic } from '../../tools/realistic/tallyRealistic.js';
import { expectClose } from '../expectClose.js';

const HOUR = 3_600_000;

describe('a realistic world', () => {
  const world = realisticWorld({ visits: 40, seed: 5 });

  it('is the same from the same seed, and another from another', () => {
    expect(realisticWorld({ visits: 40, seed: 5 }).visits).toEqual(world.visits);
    expect(realisticWorld({ visits: 40, seed: 6 }).visits).not.toEqual(world.visits);
  });

  it('is logged mostly when it runs, by three people, in daylight and no two visits within six hours', () => {
    const classes = world.visits.map(({ sightings }) => sightings[0].classIndex);
    // Wetter than a third of an ln unit below the first edge: a third of all hours, and nearly all that are logged.
    const hourOf = (timeMs: number) => Math.round((timeMs - world.record.timesMs[0]) / HOUR);
    const runs = world.visits.filter(({ timeMs }) => world.state[hourOf(timeMs)] > world.edges[0] - 0.3);
    expect(runs.length).toBeGreaterThan(0.85 * classes.length);
    expect(new Set(world.visits.map(({ sightings }) => sightings[0].observer)).size).toBe(3);
    world.visits.forEach(({ timeMs }, i) => {
      const hour = (timeMs / HOUR) % 24;
      expect(hour >= 8 && hour <= 18).toBe(true);
      if (i > 0) expect(timeMs - world.visits[i - 1].timeMs).toBeGreaterThanOrEqual(6 * HOUR);
    });
    // Nine in ten of the words are within a class of what the creek was: blur, bias and one gross mistake in fifty.
    const near = world.visits.filter(({ timeMs }, i) => Math.abs(classes[i] - classAt(world, timeMs)) <= 1);
    expect(near.length).toBeGreaterThan(0.9 * classes.length);
  });

  it('places an edge where half of the days lie on either side: more weight on wet hours moves the lowest down', () => {
    const at = (k: number, estimand: 'daylight' | 'asDrawn') => trueEdge(world, { k, lag: 0, estimand });
    expect(at(0, 'asDrawn')).toBeLessThan(at(0, 'daylight') - 0.1);
    for (const k of [1, 2, 3]) expect(at(k, 'daylight')).toBeGreaterThan(at(k - 1, 'daylight'));
  });

  it('with a creek that is its own gauge, the edge is the creek’s', () => {
    const values = world.state.map((s) => Math.exp(s));
    const mirrored = { ...world, record: { ...world.record, values } };
    const noisy = { ...mirrored, state: world.state.map((s, t) => s + 0.1 * Math.sin(t * t)) };
    const found = trueEdge(noisy, { k: 1, lag: 0, estimand: 'daylight' });
    expectClose(found, world.edges[1], { abs: 0.05, why: 'a tenth of an ln unit of even scatter on either side' });
  });

  it('a small twin of the tally: shares are shares, and what is stated has a number beside it', () => {
    const found = tallyRealistic(1, { visits: 25, firstSeed: 11 });
    expect(found.charts).toBe(1);
    for (const estimand of ['daylight', 'asDrawn']) {
      const { in80, in95, error } = found.edges[estimand];
      in80.forEach((share, k) => expect(share).toBeLessThanOrEqual(in95[k]));
      expect(error.every(Number.isFinite)).toBe(true);
    }
    expect(found.skill.met).toBeLessThan(1);
    expect(found.higher.odds).toBeGreaterThan(0);
    // One chart has one grade, and what it met is the skill met.
    expect(found.grades.map(({ charts }) => charts)).toEqual([1]);
    expect(found.grades[0]!.met).toBe(found.skill.met);
  });
});

describe('the committed summary', () => {
  it('has three numbers of visits, each with edges by both estimands', () => {
    const { plans } = JSON.parse(readFileSync(new URL('../../validation/realistic.json', import.meta.url), 'utf8')) as {
      plans: (ReturnType<typeof tallyRealistic> & { edges: Record<string, { in95: number[] }> })[];
    };
    expect(plans.map(({ visits }) => visits)).toEqual([25, 40, 80]);
    // The middle edges, where visits lie on both sides and no selection reaches, as visits are drawn.
    for (const { edges } of plans) for (const k of [1, 2]) expect(edges.asDrawn.in95[k]).toBeGreaterThan(0.6);
  });
});
