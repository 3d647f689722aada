import { describe, expect, it } from 'vitest';
import { laterOdds } from '../../tools/validate/laterOdds.js';
import { laterSkill, WAYS } from '../../tools/validate/laterSkill.js';
import { readLater } from '../../tools/validate/readLater.js';
import { readTruth } from '../../tools/validate/readTruth.js';
import { validationTable } from '../../tools/validate/validationTable.js';
import type { GaugeValidation } from '../../tools/validate/validateGauge.js';
import { normalCdf } from '../../src/kernel/normal.js';
import type { Creek } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { expectClose } from '../expectClose.js';
import { HOUR, FIVE, syntheticAligned, syntheticFit } from '../judge/syntheticRelation.js';

const edge = (gauge: number | null, { mismatch = 0.3, above = 100 }: { mismatch?: number; above?: number } = {}) => ({
  between: ['low', 'good'],
  gauge,
  mismatch,
  above,
});
const period = (edges: unknown[]) => ({
  lagHours: -4,
  edges: { verdict: edges },
  routed: { storageHours: -8, lagHours: 1 },
});

describe('readTruth', () => {
  it('keeps the edges that the hidden record places and drops the others', () => {
    const text = JSON.stringify({
      how: 'told',
      gauges: {
        bridge: {
          fit: period([
            edge(3),
            null,
            edge(null),
            edge(5, { above: 19 }),
            edge(6, { above: 20 }),
            edge(7, { mismatch: 1.6 }),
          ]),
          test: null,
        },
      },
    });
    const [only, ...others] = readTruth(text, 'main');
    expect(others).toEqual([]);
    expect(only.run).toBe('main');
    expect(only.laterFile).toBe('later.csv');
    expect(only.gauges.bridge.edges.verdict).toEqual([
      { gauge: 3, mismatch: 0.3 },
      null,
      null,
      null,
      { gauge: 6, mismatch: 0.3 },
      null,
    ]);
  });

  it('finds the later record of each run of a folder with several', () => {
    const gauges = { bridge: { fit: period([edge(3)]) } };
    const runs = readTruth(JSON.stringify({ run: 'lower', gauges, otherRuns: { upper: { gauges } } }), 'main');
    expect(runs.map((r) => [r.run, r.laterFile])).toEqual([
      ['lower', 'later.csv'],
      ['upper', 'later-upper.csv'],
    ]);
  });
});

describe('readLater', () => {
  it('reads times and classes', () => {
    const later = readLater('time,class\n2020-01-01T08:00:00Z,good\n2020-01-01T10:00:00+01:00,too low\n', FIVE);
    expect([...later.timesMs]).toEqual([Date.UTC(2020, 0, 1, 8), Date.UTC(2020, 0, 1, 9)]);
    expect([...later.classIndex]).toEqual([2, 0]);
  });

  it('names the row of a word that is no class, and of a time that is none', () => {
    expect(() => readLater('time,class\n2020-01-01T08:00:00Z,fine\n', FIVE)).toThrow(
      'later record, row 1: "fine" is no class of the run (too low, low, good, high, too high)',
    );
    expect(() => readLater('time,class\nsoon,good\n', FIVE)).toThrow('later record, row 1: "soon" is no time');
  });
});

/** A record whose ln rises by 1 a day, six hours a reading, with one reading missing on the second day. */
const START = Date.UTC(2020, 0, 1);
const record: GaugeRecord = {
  kind: 'gauge-record',
  gauge: 'bridge',
  name: 'the bridge',
  parameter: 'discharge',
  unit: 'm3/s',
  timesMs: Float64Array.from({ length: 17 }, (_, i) => START + 6 * i * HOUR),
  values: Float64Array.from({ length: 17 }, (_, i) => (i === 6 ? NaN : Math.exp(i / 4))),
  stepMs: 6 * HOUR,
  maxGapMs: 6 * HOUR,
  approval: { approved: 17, provisional: 0, unknown: 0 },
  codes: {},
};
const run = { id: 'main', name: 'main', classes: FIVE, features: [] };
const creek: Creek = { schema: 1, name: 'x', timeZone: 'UTC', runs: [run], gauges: [] };
const fitOf = (draws: Parameters<typeof syntheticFit>[1]) =>
  syntheticFit(syntheticAligned([{ x: 0, saw: 2 }], { lags: [0, 12], storages: [0] }), draws);

describe('laterOdds', () => {
  const steady = { edges: [0, 1, 2, 3], mismatch: 0.3, blur: 0.4 };

  it('reads the gauge at each draw at its own lag and integrates mismatch and blur', () => {
    const fit = fitOf([
      { ...steady, lagHours: 0 },
      { ...steady, lagHours: 12 },
    ]);
    const { odds, found } = laterOdds(fit, { creek, run, record, timesMs: Float64Array.of(START + 72 * HOUR) });
    // x is 3 now and was 2.5 twelve hours ago; the total spread is hypot(0.3, 0.4) = 0.5.
    const upTo = (k: number) => (normalCdf((k - 3) / 0.5) + normalCdf((k - 2.5) / 0.5)) / 2;
    const by = { abs: 1e-12, why: 'two draws by hand' };
    expect([...found]).toEqual([1]);
    expectClose(odds[0], upTo(0), by);
    expectClose(odds[3], upTo(3) - upTo(2), by);
    expectClose(odds[4], 1 - upTo(3), by);
  });

  it('averages the draws that find a reading, and says how many did', () => {
    const fit = fitOf([
      { ...steady, lagHours: 0 },
      { ...steady, lagHours: 12 },
    ]);
    // 39 h lies beside the missing reading of 36 h; 27 h does not.
    const { odds, found } = laterOdds(fit, { creek, run, record, timesMs: Float64Array.of(START + 39 * HOUR) });
    expect([...found]).toEqual([0.5]);
    expectClose(odds[0], normalCdf((0 - 27 / 24) / 0.5), { abs: 1e-12, why: 'the draw at lag 12 h alone' });
  });

  it('gives no odds where no draw finds a reading', () => {
    const { odds, found } = laterOdds(fitOf([{ ...steady, lagHours: 0 }]), {
      creek,
      run,
      record,
      timesMs: Float64Array.of(START + 39 * HOUR, START + 24 * HOUR),
    });
    expect(found[0]).toBe(0);
    expect([...odds.subarray(0, 5)]).toEqual([NaN, NaN, NaN, NaN, NaN]);
    expect(found[1]).toBe(1);
  });

  it('moves the state by the limb term', () => {
    const timesMs = Float64Array.of(START + 72 * HOUR);
    const { odds } = laterOdds(fitOf([{ ...steady, limb: 6 }]), { creek, run, record, timesMs });
    // The gauge rises by 1/24 an hour: six hours of it are worth 0.25.
    expectClose(odds[0], normalCdf((0 - 3.25) / 0.5), { rel: 1e-6, why: 'x + 6 dx/dt' });
  });
});

describe('laterSkill', () => {
  const certain = (classIndex: readonly number[], found: readonly number[] = classIndex.map(() => 1)) => ({
    odds: Float64Array.from(classIndex.flatMap((c) => [c === 0 ? 1 : 0, c === 1 ? 1 : 0])),
    found: Float64Array.from(found),
  });
  const options = {
    frequencies: Float64Array.of(0.5, 0.5),
    classIndex: Int32Array.of(0, 1, 0, 1),
    flood: Int32Array.of(0, 0, 1, 1),
    seed: 1,
  };

  it('is 1 for the truth, 0 for the frequencies, -3 for the opposite', () => {
    const { skill, gain, hoursScored } = laterSkill(
      {
        effective: certain([0, 1, 0, 1]),
        oneReading: { odds: new Float64Array(8).fill(0.5), found: new Float64Array(4).fill(1) },
        asItStands: certain([1, 0, 1, 0]),
      },
      options,
    );
    expect(hoursScored).toBe(4);
    expect(skill).toEqual({ effective: 1, oneReading: 0, asItStands: -3 });
    expect(gain!.oneReading).toEqual({ difference: 1, i80: [1, 1] });
    expect(gain!.asItStands).toEqual({ difference: 4, i80: [4, 4] });
  });

  it('scores only the hours that every way can score', () => {
    const all = certain([0, 1, 0, 1]);
    const { skill, hoursScored, notScoredShare, floods } = laterSkill(
      { effective: all, oneReading: certain([0, 1, 1, 0], [1, 1, 0.4, 0]), asItStands: all },
      options,
    );
    expect([hoursScored, notScoredShare, floods]).toEqual([2, 0.5, 1]);
    expect(skill!.oneReading).toBe(1);
  });

  it('has none without an hour', () => {
    const none = certain([0, 1, 0, 1], [0, 0, 0, 0]);
    const result = laterSkill({ effective: none, oneReading: none, asItStands: none }, options);
    expect(result.skill).toBe(null);
    expect(result.notScoredShare).toBe(1);
    expect(WAYS).toHaveLength(3);
  });
});

describe('validationTable', () => {
  it('keeps to 80 columns, says what has no truth and which edge was seen from one side only', () => {
    const known = { error: -0.1234, inside80: false, inside95: true, width80: 0.2 };
    const unknown = { error: null, inside80: null, inside95: null, width80: 12.5 };
    const printed = { between: ['low', 'good'] as const, error: -0.1, inside80: true, inside95: true, unsafe: false };
    const side = { odds: 0.2, met: 0.3 };
    const met = { hours: 500, skill: 0.5, higher: side, lower: side };
    const v: GaugeValidation = {
      run: 'main',
      gauge: 'bridge',
      grade: 'fair guide',
      visits: 90,
      floods: 23,
      edges: [
        { feature: 'verdict', between: ['too low', 'low'], seenBothSides: true, ...known },
        { feature: 'a rock of some name', between: ['standing dry', 'under water'], seenBothSides: false, ...unknown },
      ],
      meanAbsEdgeError: { verdict: 0.1234, features: null },
      lag: known,
      storage: { leadZero: known, anyLag: unknown },
      mismatch: known,
      leftOutSkill: { effective: 0.5, oneReading: null },
      later: {
        hours: 694,
        hoursScored: 600,
        notScoredShare: 94 / 694,
        floods: 11,
        skill: { effective: 0.6, oneReading: 0.5, asItStands: 0.5 },
        gain: {
          oneReading: { difference: 0.1, i80: [-0.05, 0.2] },
          asItStands: { difference: 0.1, i80: [0.02, 0.2] },
        },
      },
      statedAndMeasured: null,
      card: {
        grade: 'fair guide',
        seenShare: 0.95,
        edges: { asDrawn: [printed, { ...printed, inside80: false, unsafe: true }], allHours: [printed] },
        met: { asDrawn: met, allHours: met, whenItRuns: met },
        bySeason: [{ ...met, from: '2031-10-01', allHours: 0.4 }],
      },
      worstParetoK: 0.4,
    };
    const lines = validationTable(v).split('\n');
    expect(Math.max(...lines.map((l) => l.length))).toBeLessThanOrEqual(80);
    expect(lines).toContain('  verdict: too low | low               -0.123       0.200        no       yes');
    expect(lines).toContain('  a rock of some name: standing dr…         -      12.500         -         -');
    expect(lines).toContain('  * no visit on one side of this edge');
    expect(lines).toContain('  later days: 694 h, 13.5 % could not be scored, 11 floods');
    expect(lines).toContain('  effective over one reading:         +0.100 (80 %: -0.050 to +0.200)');
    expect(lines).toContain('  edges as drawn: 1 of 2 in 80 %, 2 of 2 in 95 %, 1 of 2 unsafe');
    expect(lines).toContain('  from 2031-10-01  skill 0.500, higher 0.300/0.200, lower 0.300/0.200');
    expect(validationTable({ ...v, later: null })).toContain('no later record');
  });
});
