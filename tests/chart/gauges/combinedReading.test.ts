import { describe, expect, it } from 'vitest';
import { combinedReading } from '../../../src/chart/gauges/combinedReading.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { combineGauges, type CombinedMember } from '../../../src/judge/gauges/combineGauges.js';
import { makeRecord } from '../../align/makeRecord.js';
import { gaugeWorld } from '../../../tools/gauges/gaugeWorld.js';
import { expectClose } from '../../expectClose.js';

const OPTIONS = { leadHours: 0, link: 'probit', seed: 4, draws: 400 } as const;
const NAMES = ['the left arm', 'the right arm'];

const world = gaugeWorld({ kind: 'two', seed: 5, visits: 40, noise: 0, days: 500 });
const membersOf = (leadHours: number): readonly CombinedMember[] =>
  world.map(({ aligned }) => ({
    aligned,
    fit: fitLevels(aligned, { leadHours, draws: 120, modes: ['effective'] }).effective,
  }));
const members = membersOf(0);
const records = members.map(({ aligned: { gauge } }, i) => makeRecord([1, 2], { gauge, name: NAMES[i] }));

function readingOf(of: readonly CombinedMember[], { by = records, leadHours = 0 } = {}) {
  const combined = combineGauges(of);
  const { effective } = fitLevels(combined.aligned, { leadHours, draws: 120, modes: ['effective'] });
  return combinedReading(combined, effective, { ...OPTIONS, leadHours, records: by })!;
}

/** The same gauge in a unit `factor` times smaller. */
function scaled({ aligned, fit }: CombinedMember, factor: number): CombinedMember {
  return { aligned: { ...aligned, x: aligned.x.map((x) => x + Math.log(factor)) }, fit };
}

const reading = readingOf(members);

describe('how to read a combined gauge', () => {
  it('names each gauge with its own time, and how they go together', () => {
    const weights = reading.parts.map(({ weight }) => weight);
    expectClose(weights[0] + weights[1], 1, { abs: 1e-12, why: 'shares' });
    expect(reading.howToRead).toMatch(
      /^At the left arm take the (mean )?flow .*; at the right arm take the (mean )?flow .*\. (Multiply both flows, in one unit, and take the square root|Raise both flows, in one unit, to the powers 0\.\d+ and 0\.\d+ and multiply them): the edges are for what comes out\.$/,
    );
    expect(reading.unit).toBe('m3/s');
  });

  it('has ascending edges of the verdict, rounded to the safer side', () => {
    expect(reading.edges.map(({ between }) => between.join('/'))).toEqual([
      'too low/low',
      'low/good',
      'good/high',
      'high/too high',
    ]);
    const [low, , high] = [reading.edges[1], reading.edges[1], reading.edges[2]];
    expect(low.rounded).toBeGreaterThanOrEqual(low.median);
    expect(high.rounded).toBeLessThanOrEqual(high.median);
    reading.edges.forEach(({ median }, i) => {
      if (i > 0) expect(median).toBeGreaterThan(reading.edges[i - 1].median);
    });
  });

  it('moves its edges with a gauge’s unit by the power of its weight', () => {
    const half = readingOf([scaled(members[0], 4), members[1]]);
    const [{ weight }] = half.parts;
    expect(weight).toBe(reading.parts[0].weight);
    half.edges.forEach(({ median }, i) =>
      expectClose(median / reading.edges[i].median, 4 ** weight, {
        rel: 0.03,
        why: 'edges of one set of weights; other draws of the same posterior',
      }),
    );
  });

  it('says how far ahead it is decided, and takes a height above its stage of no flow', () => {
    const stage = membersOf(2).map(({ aligned, fit }) => ({
      fit,
      aligned: { ...aligned, parameter: 'stage' as const, unit: 'm' as const },
    }));
    const by = records.map((record, i) => ({ ...record, unit: 'm' as const, ...(i === 0 && { zeroFlowStage: 0.4 }) }));
    const { howToRead } = readingOf(stage, { by, leadHours: 2 });
    expect(howToRead).toContain(', less 0.4 m (its height at no flow); at the right arm take the ');
    expect(howToRead).toMatch(/both heights, in one unit, .* Made for deciding 2 hours ahead\.$/);
  });
});
