import { beforeAll, describe, expect, it } from 'vitest';
import { chartCreek, type CreekResult, type StagedProgress } from '../../src/chart/chartCreek.js';
import { sureGood } from '../../src/chart/sureGood.js';
import { trustOfJudgement } from '../../src/judge/trustOfJudgement.js';
import { makeWorld } from '../fit/world.js';
import { chartNow, inputOf } from './chartCreekCases.js';

const options = { draws: 100, seed: 1, lagHours: { min: 0, max: 6 }, storageHours: { min: 0, max: 0 } } as const;

/** Two gauges on one run: one that knows the creek, one that never moves. */
function twoGauges() {
  const world = makeWorld({ seed: 31, visits: 26 });
  const dead = { ...world.record, gauge: 'dead', name: 'dead pool', values: world.record.values.map(() => 4.2) };
  return inputOf(world, { records: [dead, world.record] });
}

/** Every judgement of a creek beside the summary on its chart. */
function sideBySide({ chart, trust }: CreekResult) {
  return chart.runs.map((run, r) =>
    run.gauges.map((gauge, g) => {
      const judgement = trust.runs[r]!.gauges[g]!;
      expect([judgement.run, judgement.gauge]).toEqual([run.id, gauge.gauge.id]);
      return [gauge.trust, trustOfJudgement(judgement)] as const;
    }),
  );
}

describe('judging a creek', () => {
  const input = twoGauges();
  const firsts: CreekResult[] = [];
  const said: StagedProgress[] = [];
  let full: CreekResult;
  beforeAll(async () => {
    full = await chartCreek(input, {
      ...options,
      onFirst: (first) => void firsts.push(first),
      onProgress: (progress) => said.push(progress),
    });
  });

  it('gives a first answer by weights, before anything is judged further: the chart of the fits alone', () => {
    const [first] = firsts;
    expect(firsts).toHaveLength(1);
    expect(first!.chart).toEqual(chartNow(input, options));
    for (const pair of sideBySide(first!).flat()) expect(pair[1]).toEqual(pair[0]);
    expect(first!.trust.runs[0]!.gauges.map(({ depth }) => depth)).toEqual(['quick', 'quick']);
    expect([...new Set(said.map(({ stage }) => stage))]).toEqual(['fit', 'compare', 'judge']);
  });

  it('quickly stops there, with its gauges compared and the visits of the gauge to read held against it', async () => {
    const quick = await chartCreek(input, { ...options, depth: 'quick', onFirst: (first) => void firsts.push(first) });
    expect(quick.chart).toEqual(firsts[0]!.chart);
    const scored = ({ trust }: CreekResult) =>
      trust.runs.map(({ gauges }) => gauges.map(({ grade, checks, scores }) => ({ grade, checks, scores })));
    expect(scored(quick)).toEqual(scored(firsts[0]!));
    expect([firsts[0]!.trust.depth, quick.trust.depth]).toEqual(['first', 'quick']);
    const held = quick.trust.runs[0]!.gauges.map(({ suspects }) => suspects.judged > 0);
    expect(held).toEqual([true, false]);
    expect(firsts).toHaveLength(1);
  });

  it('fully judges what may be recommended; chart and trust say the same grade, reasons, checks and skill', () => {
    for (const pair of sideBySide(full).flat()) expect(pair[1]).toEqual(pair[0]);
    const [best, dead] = full.trust.runs[0]!.gauges;
    expect(best).toMatchObject({ gauge: input.records[1]!.gauge, depth: 'full' });
    expect(best!.sensitivity!.variants).toHaveLength(4);
    expect(best!.leadCurve!.points.map(({ leadHours }) => leadHours)).toEqual([0, 1, 2, 4]);
    expect(full.chart.runs[0]!.recommended).toBe(best!.gauge);
    expect(dead).toMatchObject({ gauge: 'dead', grade: 'too thin', scores: null, depth: 'quick' });
  });

  it('thoroughly leaves every flood out by a fit of its own', async () => {
    const thorough = await chartCreek(input, { ...options, depth: 'thorough' });
    const [best] = thorough.trust.runs[0]!.gauges;
    expect(best!.scores!.method).toBe('refits');
    expect(best!.influence!.rows.every(({ method }) => method === 'refit')).toBe(true);
  });

  it('names a rule only within the good range that the chart prints, and at odds of "too high" that keep under the rate', () => {
    const judgement = full.trust.runs[0]!.gauges[0]!;
    const gauge = full.chart.runs[0]!.gauges[0]!;
    const level = gauge.level!;
    const at = level.odds.classes.indexOf('good');
    const { rule, tooHighAtEnds } = judgement.rules!.chosen!;
    expect(rule.atLeast).toBeGreaterThanOrEqual(level.edges[at - 1]!.rounded);
    expect(rule.atMost).toBeLessThanOrEqual(level.edges[at]!.rounded);
    for (const odds of tooHighAtEnds) expect(odds).toBeLessThanOrEqual(judgement.rules!.rate);
    expect(level.edges[at]!.odds[at + 1]! + level.edges[at]!.odds[at + 2]!).toBeLessThan(0.5 + 0.01);
  });

  it('carries cautions and provenance of the chart, and everything in it can be written as JSON', () => {
    expect(full.trust.cautions).toEqual(full.chart.cautions);
    expect(full.trust.provenance).toEqual(full.chart.provenance);
    expect(JSON.parse(JSON.stringify(full.trust))).toEqual(full.trust);
    expect(JSON.stringify(full.trust)).not.toContain('undefined');
  });

  it('refuses an input without a creek by its own name', async () => {
    await expect(chartCreek({ ...input, creek: undefined })).rejects.toThrow(
      new RangeError('chartCreek: creek.json could not be read; see the issues of the input'),
    );
  });
});

const level = chartNow(twoGauges(), options).runs[0]!.gauges[0]!.level!;

describe('the sure range of good as a rule', () => {
  const withRanges = (ranges: readonly (readonly [string, number | null, number | null])[]) => ({
    ...level,
    odds: { ...level.odds, classes: ranges.map(([word]) => word) },
    sureRanges: ranges.map(([word, from, to]) => ({
      ...level.sureRanges[0]!,
      class: word,
      empty: from === null,
      from,
      to,
      roundedFrom: from,
      roundedTo: to,
    })),
  });

  it('is that of the good class, and null where it is empty', () => {
    const three = (from: number | null, to: number | null) =>
      sureGood(
        withRanges([
          ['low', 1, 2],
          ['good', from, to],
          ['high', 9, 10],
        ]),
      );
    expect(three(3, 5)).toEqual({ atLeast: 3, atMost: 5 });
    expect(three(null, null)).toBe(null);
    expect(sureGood(undefined)).toBe(null);
  });

  it('reaches over both of two good classes', () => {
    const four = withRanges([
      ['a', 1, 2],
      ['b', 3, 5],
      ['c', 6, 8],
      ['d', 9, 10],
    ]);
    expect(sureGood(four)).toEqual({ atLeast: 3, atMost: 8 });
    expect(
      sureGood(
        withRanges([
          ['a', 1, 2],
          ['b', null, null],
          ['c', 6, 8],
          ['d', 9, 10],
        ]),
      ),
    ).toEqual({
      atLeast: 6,
      atMost: 8,
    });
  });
});
