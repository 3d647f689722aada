import { describe, expect, it } from 'vitest';
import type { Aligned } from '../../src/align/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { gaugeDoubt } from '../../src/judge/gaugeDoubt.js';
import { judgedSuspects } from '../../src/judge/judgedSuspects.js';
import { suspectsOf } from '../../src/judge/suspects.js';
import { sightingSlips } from '../../src/judge/suspectSlips.js';
import { normalCdf } from '../../src/kernel/normal.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { expectClose } from '../expectClose.js';
import { syntheticAligned, syntheticFit } from './syntheticRelation.js';
import { suspectWorld } from '../../tools/suspects/suspectWorld.js';
import { tallySuspects } from '../../tools/suspects/tallySuspects.js';

const fitOf = (aligned: Aligned, seed = 1) => fitLevels(aligned, { modes: ['effective'], draws: 200, seed }).effective;

it('without a fit nobody was judged', () => {
  expect(judgedSuspects(null, syntheticAligned([{ x: 0, saw: 0 }], { classes: ['low', 'high'] }))).toMatchObject({
    judged: 0,
    rows: [],
  });
});

describe('suspectsOf', () => {
  it('by hand: one draw, one slip of the clock', () => {
    const lags = [-12, 0];
    const visits = [
      { x: (lag: number) => (lag === 0 ? 4 : 1.5), saw: 1 },
      { x: 1.5, saw: 1 },
      { x: 0.5, saw: 0 },
      { x: 2.5, saw: 2 },
    ];
    const aligned = syntheticAligned(visits, { classes: ['low', 'good', 'high'], lags });
    const fit = syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.4, blur: 0.3 }]);
    const { suspects, judged, hoursNotTried } = suspectsOf(fit, aligned);
    expect([judged, hoursNotTried]).toEqual([4, [-12, 24, -24, 1, -1]]);
    expect(suspects.map((s) => s.visit)).toEqual(['v0']);
    const good = (x: number) => normalCdf((2 - x) / 0.5) - normalCdf((1 - x) / 0.5);
    const sound = (1 - 0.005 - 0.02 - 0.005) * good(4);
    const late = 0.005 * good(1.5);
    const other = (0.02 * (good(1.5) + good(0.5) + good(2.5))) / 3;
    // Another word than was meant: any of three, whatever the water.
    const misread = 0.005 / 3;
    const total = sound + late + other + misread;
    const [s] = suspects;
    expectClose(s.sound, sound / total, { rel: 1e-4, why: 'as written' });
    expect(s.explanations.map((e) => e.kind)).toEqual(['another-day', 'clock', 'misread']);
    expectClose(s.explanations[1].probability, late / total, { rel: 1e-4, why: '12 h later' });
    expectClose(s.sound + s.explanations.reduce((sum, e) => sum + e.probability, 0), 1, { abs: 1e-12, why: 'all' });
    expect([s.rows, s.observers]).toEqual([[2], ['Ann']]);
  });

  // The small twin of tools/simulate.ts, whose 60 logs stand in validation/suspects.json.
  it('finds most damaging slips of the clock and leaves the sound visits alone', () => {
    const { damaging, caught, sound, accused } = tallySuspects(7, { firstSeed: 1, wrong: 0.05 });
    expect(damaging).toBeGreaterThanOrEqual(6);
    // Where 85 % are caught on average, fewer than half of these few come about once in 100 tries.
    expect(caught / damaging).toBeGreaterThanOrEqual(0.5);
    expect(accused / sound).toBeLessThanOrEqual(0.02);
  });

  it('names a number in another unit, and a word meant for another feature', () => {
    const { aligned } = suspectWorld(3, { visits: 30, wrong: 0, staff: true });
    // A visit in the middle of the staff's range, read in inches.
    const inches = 20;
    const value = aligned.sightingValue[inches * 3 + 2] / 2.54;
    const mixed = { ...aligned, sightingValue: aligned.sightingValue.with(inches * 3 + 2, value) };
    const { suspects } = suspectsOf(fitOf(mixed), mixed);
    const its = suspects.find((s) => s.visit === 'v20')!;
    expect(its.explanations[0]).toMatchObject({ kind: 'unit', row: inches * 3 + 4 });
    expect(its.explanations[0].sentence).toBe(`Line 64: ${value} is in in, not in cm.`);
  });

  it('is quiet without draws or readings, and refuses another log', () => {
    const aligned = syntheticAligned([{ x: NaN, saw: 1 }, { x: 1, saw: 2 }, { x: 2, saw: 2 }]); // prettier-ignore
    const draw = { edges: [0, 0.7, 1.5, 3], mismatch: 0.3, blur: 0.2 };
    expect(suspectsOf(syntheticFit(aligned, []), aligned)).toMatchObject({
      suspects: [],
      judged: 0,
      hoursNotTried: [],
    });
    expect(suspectsOf(syntheticFit(aligned, [draw]), aligned).judged).toBe(2);
    const shorter = syntheticAligned([{ x: 1, saw: 2 }]);
    expect(() => suspectsOf(syntheticFit(aligned, [draw]), shorter)).toThrow(
      'suspectsOf: aligned holds 1 visits, the fit another number',
    );
  });
});

const HOUR = 3_600_000;

function hourly(hours: number, change: Partial<GaugeRecord> = {}): GaugeRecord {
  const timesMs = Float64Array.from({ length: hours }, (_, h) => h * HOUR);
  return {
    kind: 'gauge-record',
    gauge: 'bridge',
    name: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs,
    values: timesMs.map(() => 3),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: hours },
    codes: {},
    ...change,
  };
}

describe('gaugeDoubt', () => {
  const window = { fromMs: 10 * HOUR, toMs: 12 * HOUR };
  const doubtAt = (doubt: number, hours: readonly number[]) =>
    Uint8Array.from({ length: 30 }, (_, h) => (hours.includes(h) ? doubt : 0));

  it('estimated before a gap before provisional, a step around the window', () => {
    expect(gaugeDoubt(hourly(30), window)).toBeNull();
    expect(gaugeDoubt(hourly(30, { doubt: doubtAt(1, [13]) }), window)).toEqual({
      kind: 'gauge',
      prior: 0.01,
      sentence: 'The gauge: its readings around that time are provisional and may be corrected.',
    });
    expect(gaugeDoubt(hourly(30, { doubt: doubtAt(1, [14]) }), window)).toBeNull();
    const iced = hourly(30, { doubt: doubtAt(1, [9, 10, 11]), values: hourly(30).values.with(9, NaN) });
    expect(gaugeDoubt(iced, window)).toMatchObject({ prior: 0.03 });
    expect(gaugeDoubt(iced, window)!.sentence).toBe(
      'The gauge: there is a gap, or a refused reading, beside the readings around that time.',
    );
    expect(gaugeDoubt({ ...iced, doubt: doubtAt(2, [9]) }, window)!.sentence).toBe(
      'The gauge: its readings around that time were estimated, not measured.',
    );
  });

  it('rows that are not there are a gap too', () => {
    const { timesMs, values, ...rest } = hourly(30);
    const without = (lost: (h: number) => boolean): GaugeRecord => {
      const kept = Array.from(timesMs.keys()).filter((h) => !lost(h));
      return { ...rest, timesMs: timesMs.filter((_, h) => kept.includes(h)), values: values.slice(0, kept.length) };
    };
    expect(
      gaugeDoubt(
        without((h) => h === 11),
        window,
      ),
    ).toMatchObject({ kind: 'gauge', prior: 0.03 });
    expect(
      gaugeDoubt(
        without((h) => h > 6 && h < 20),
        window,
      ),
    ).toMatchObject({ kind: 'gauge', prior: 0.03 });
    expect(gaugeDoubt(hourly(0), window)).toMatchObject({ kind: 'gauge', prior: 0.03 });
  });
});

describe('a flagged gauge as an explanation', () => {
  it('has the odds of another day, by its own prior; sound visits hardly change', () => {
    const visits = [{ x: 4, saw: 1 }, { x: 1.5, saw: 1 }, { x: 0.5, saw: 0 }, { x: 2.5, saw: 2 }]; // prettier-ignore
    const aligned = {
      ...syntheticAligned(visits, { classes: ['low', 'good', 'high'] }),
      visitTimesMs: Float64Array.of(11 * HOUR, 15 * HOUR, 20 * HOUR, 25 * HOUR),
    };
    const fit = syntheticFit(aligned, [{ edges: [1, 2], mismatch: 0.4, blur: 0.3 }]);
    const record = hourly(30, { doubt: Uint8Array.from({ length: 30 }, (_, h) => (h < 13 ? 2 : 0)) });
    const plain = suspectsOf(fit, aligned).suspects[0];
    const [suspect, ...others] = suspectsOf(fit, aligned, { record }).suspects;
    expect(others).toEqual([]);
    expect(suspect.explanations.map(({ kind }) => kind)).toEqual(['gauge', 'another-day', 'misread']);
    expectClose(suspect.explanations[0].probability / suspect.explanations[1].probability, 0.05 / 0.02, {
      rel: 1e-12,
      why: 'same likelihood, priors 5 % and 2 %',
    });
    expectClose(
      suspect.explanations.reduce((sum, { probability }) => sum + probability, suspect.sound),
      1,
      {
        abs: 1e-12,
        why: 'all',
      },
    );
    expect(suspect.sound).toBeLessThan(plain.sound);
    // Not flagged: as without the record.
    expect(suspectsOf(fit, aligned, { record: hourly(30) }).suspects[0]).toEqual(plain);
  });
});

describe('sightingSlips', () => {
  it('tries words that another feature knows, and shares the prior', () => {
    const { aligned } = suspectWorld(1, { visits: 3, staff: true });
    const twins = {
      ...aligned,
      features: aligned.features.map((f) =>
        f.id === 'ledge' ? { ...f, classes: ['too low', 'good', 'x', 'y', 'z'] } : f,
      ),
      sightingClass: aligned.sightingClass.with(3, 2),
    };
    const slips = sightingSlips(twins, 1);
    const words = slips.filter(({ slip }) => slip.kind === 'feature');
    expect(words.map(({ slip }) => slip.sentence)).toContain(
      'Line 5: "good" was seen at the ledge, not at the verdict.',
    );
    const [first] = words;
    expect([first.changed.sightingFeature[3], first.changed.sightingClass[3]]).toEqual([1, 1]);
    const units = slips.filter(({ slip }) => slip.kind === 'unit');
    expect(units.map(({ slip }) => slip.prior)).toEqual([0.01 / 3, 0.01 / 3, 0.01 / 3]);
    const feet = units.find(({ slip }) => slip.sentence.includes('is in ft'))!;
    expectClose(feet.changed.sightingValue[5], aligned.sightingValue[5] * 30.48, {
      rel: 1e-12,
      why: '1 ft = 30.48 cm',
    });
    // 445 for 44.5, and the rest that a slip of the pen makes of a number.
    const sentences = slips.map(({ slip }) => slip.sentence);
    const saw = aligned.sightingValue[5];
    expect(sentences.filter((sentence) => sentence.startsWith(`Line 7: ${saw} should read `))).toHaveLength(5);
    expect(sentences).toContain(`Line 7: ${saw} was misread, or is another number altogether.`);
    expect(slips.filter(({ slip }) => slip.kind === 'digits').map(({ slip }) => slip.prior)).toEqual(
      Array(5).fill(0.01 / 5),
    );
    expectClose(feet.lnScale, Math.log(30.48), { rel: 1e-12, why: 'density' });
  });
});
