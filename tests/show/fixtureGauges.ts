import type {
  CreekGauges,
  LagReport,
  LoggerGauge,
  LoggerReport,
  RunGauges,
  StaffRating,
  StaffReport,
} from '../../src/chart/gauges/types.js';
import type { Estimate } from '../../src/chart/types.js';
import type { GaugeRanking, RankedGauge } from '../../src/judge/gauges/types.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import { fixtureChart } from './fixtureChart.js';

/** Which candidate is chosen. */
export type FixtureChoice = 'combined' | 'single' | 'none';

const HOUR_MS = 3_600_000;
const FIRST_MS = Date.UTC(2031, 3, 2);
const BRIDGE = 'Ombrel River at Low Bridge';
const MILL = 'Garn Brook at the mill';
const BOTH = `mean of ${BRIDGE} and ${MILL}`;

function estimate(median: number, half80: number): Estimate {
  return {
    median,
    i80: [median - half80, median + half80],
    i95: [median - 1.53 * half80, median + 1.53 * half80],
  };
}

function ranked(
  one: Pick<RankedGauge, 'id' | 'name' | 'kind' | 'reason'> & Partial<RankedGauge>,
  { rank, skill, half }: { rank: number; skill: number; half: number },
): RankedGauge {
  return {
    rank,
    gauges: 1,
    skill: {
      againstFrequencies: { value: skill, i80: [skill - half, skill + half] },
      againstMonth: { value: skill - 0.05, i80: [skill - 0.05 - half, skill - 0.05 + half] },
    },
    rps: 0.12 * (1 - skill),
    beatsFirst: null,
    best: 0,
    creekLeads: 0.02,
    gain: null,
    moreAfterwards: false,
    atLead: null,
    lagHours: 3,
    storageHours: 12,
    parts: [],
    undependableShare: 0.04,
    status: 'converged',
    ...one,
  };
}

const CHOICES: Readonly<Record<FixtureChoice, GaugeRanking['choice']>> = {
  combined: {
    id: 'mean(low-bridge,mill)',
    name: BOTH,
    why: 'clear-gain',
    plain: { id: 'low-bridge', name: BRIDGE },
    gain: { value: 0.07, i80: [0.02, 0.12] },
    skill: { value: 0.66, i80: [0.55, 0.74] },
    sameChoice: 0.93,
    sentence: `Read ${BOTH}: the simplest of those that nothing clearly beats. Choosing among 5 candidates like this has a skill of 0.66 (0.55 to 0.74) on floods that had no part in the choice; without one flood or another the same is chosen in 93 %.`,
  },
  single: {
    id: 'low-bridge',
    name: BRIDGE,
    why: 'best-single',
    plain: { id: 'low-bridge', name: BRIDGE },
    gain: null,
    skill: { value: 0.61, i80: [0.49, 0.7] },
    sameChoice: 1,
    sentence: `Read ${BRIDGE}: the simplest of those that nothing clearly beats. Choosing among 5 candidates like this has a skill of 0.61 (0.49 to 0.70) on floods that had no part in the choice; without one flood or another the same is chosen in 100 %.`,
  },
  none: {
    id: null,
    name: null,
    why: 'none-reliable',
    plain: { id: 'low-bridge', name: BRIDGE },
    gain: null,
    skill: { value: -0.04, i80: [-0.2, 0.09] },
    sameChoice: 0.5,
    sentence:
      'None of 5 candidates is to be relied on: following the best of them has a skill of -0.04 (-0.20 to 0.09) on floods that had no part in the choice.',
  },
};

/** Three that warn of each kind, one that only confirms, one that stands aside. */
export function fixtureRanking(chosen: FixtureChoice = 'combined'): GaugeRanking {
  return {
    kind: 'gauge-ranking',
    run: 'upper',
    leadHours: 2,
    visits: 64,
    floods: 17,
    warning: [
      ranked(
        {
          id: 'mean(low-bridge,mill)',
          name: BOTH,
          kind: 'combined',
          gauges: 2,
          best: 0.71,
          creekLeads: null,
          parts: [
            { gauge: 'low-bridge', weight: 0.62, lagHours: 3, storageHours: 12 },
            { gauge: 'mill', weight: 0.38, lagHours: 2, storageHours: -8 },
          ],
          reason: `Scores best on floods left out. Better than ${BRIDGE} alone in 86 %.`,
        },
        { rank: 1, skill: 0.68, half: 0.09 },
      ),
      ranked(
        {
          id: 'low-bridge',
          name: BRIDGE,
          kind: 'single',
          beatsFirst: 0.14,
          best: 0.16,
          reason: `${BOTH} scores better in 86 % of the draws of floods.`,
        },
        { rank: 2, skill: 0.61, half: 0.1 },
      ),
      ranked(
        {
          id: 'bridge-less-dam',
          name: 'Low Bridge less Vessin',
          kind: 'derived',
          gauges: 2,
          beatsFirst: 0.11,
          best: 0.12,
          storageHours: 6,
          reason: `${BOTH} scores better in 89 % of the draws of floods.`,
        },
        { rank: 3, skill: 0.55, half: 0.13 },
      ),
      ranked(
        {
          id: 'mill',
          name: MILL,
          kind: 'single',
          beatsFirst: 0.02,
          best: 0.01,
          lagHours: 2,
          storageHours: -8,
          undependableShare: 0.31,
          reason: `${BOTH} scores better in 98 % of the draws of floods. Its skill could be luck: the interval holds 0.`,
        },
        { rank: 4, skill: 0.1, half: 0.17 },
      ),
    ],
    confirming: [
      ranked(
        {
          id: 'dam',
          name: 'Vessin below the dam',
          kind: 'single',
          best: 1,
          creekLeads: 0.97,
          lagHours: -5,
          storageHours: 0,
          reason:
            'The creek leads it by about 5 hours (probability 97 %): it confirms afterwards and is nothing to plan with. Read 2 hours before going it has a skill of 0.21 (0.05 to 0.36).',
        },
        { rank: 1, skill: 0.58, half: 0.12 },
      ),
    ],
    beats: [
      [0.5, 0.86, 0.89, 0.98],
      [0.14, 0.5, 0.66, 0.96],
      [0.11, 0.34, 0.5, 0.93],
      [0.02, 0.04, 0.07, 0.5],
    ],
    choice: CHOICES[chosen],
    aside: [
      { id: 'tarn', name: 'Tarn outlet', reason: 'Its record covers 21 of 72 visits; at least 60 % are needed.' },
    ],
    cautions: CAUTIONS,
  };
}

/** Level at the creek in metres after a sharp rise every nine days. */
function levelAt(hour: number): number {
  const since = hour % 216;
  return 0.42 + 0.5 * Math.exp(-since / 34) * (1 - Math.exp(-since / 4)) + 0.04 * Math.sin(hour / 90);
}

function loggerGauge(): LoggerGauge {
  const hours = Array.from({ length: 420 }, (_, i) => 2 * i);
  const gap = (i: number): boolean => i > 200 && i < 210;
  const expected = hours.map((hour, i) => (gap(i) ? null : levelAt(hour) + 0.012 * Math.sin(hour / 7)));
  const lags = Array.from({ length: 49 }, (_, i) => i - 24);
  return {
    gauge: 'low-bridge',
    gaugeName: BRIDGE,
    status: 'converged',
    sentence: `The gauge leads the logger by 2.6 h (80 % between 2.1 and 3.1 h) with a storage of 9 h (6 to 12 h); 94 % of the level's variance is explained.`,
    doubt: null,
    lag: estimate(2.6, 0.5),
    storage: estimate(9, 3),
    form: 'power',
    explained: 0.94,
    residualSd: 0.021,
    floods: 4,
    rows: 838,
    effectiveRows: 61,
    levels: {
      timesMs: hours.map((hour) => FIRST_MS + hour * HOUR_MS),
      seen: hours.map((hour, i) => (gap(i) ? null : levelAt(hour - 1))),
      expected,
      low80: expected.map((value) => (value === null ? null : value - 0.028)),
      high80: expected.map((value) => (value === null ? null : value + 0.028)),
    },
    ccf: {
      lagsHours: lags,
      correlation: lags.map((lag) => (lag === -24 ? null : 0.82 * Math.exp(-0.5 * ((lag - 5) / 4) ** 2) - 0.04)),
      band: 0.17,
      peakLagHours: 5,
    },
    withVisits: {
      lagAlone: estimate(3, 2.2),
      lagWith: estimate(2.7, 0.6),
      storageAlone: estimate(12, 7),
      storageWith: estimate(10, 3),
      sentence: 'With the logger the lag is known to 1.2 h instead of 4.4 h.',
    },
  };
}

function noLoggerGauge(): LoggerGauge {
  return {
    gauge: 'mill',
    gaugeName: MILL,
    status: 'too-few-rows',
    sentence: `The logger and ${MILL} share 12 hours; 48 are needed for a lag.`,
    doubt: null,
    lag: null,
    storage: null,
    form: null,
    explained: null,
    residualSd: null,
    floods: 0,
    rows: 12,
    effectiveRows: null,
    levels: null,
    ccf: null,
    withVisits: null,
  };
}

function logger(): LoggerReport {
  return {
    id: 'club-logger',
    name: 'Club logger under the footbridge',
    unit: 'm',
    kmFromPutIn: 0.1,
    fromMs: FIRST_MS,
    toMs: FIRST_MS + 838 * HOUR_MS,
    gauges: [loggerGauge(), noLoggerGauge()],
  };
}

function lags(): readonly LagReport[] {
  return [
    {
      gauge: 'low-bridge',
      gaugeName: BRIDGE,
      travel: {
        lengthKm: 15,
        lies: 'upstream',
        tracerHours: [6.5, 16],
        waveHours: [3.9, 9.5],
        lagGoes: true,
        sentence:
          'Over 15 km a tracer would need 6.5 to 16 h; a wave is faster, about 3.9 to 9.5 h. The lag found goes with that.',
      },
      flow: {
        visits: 64,
        flowAt: 260,
        unit: 'ft3/s',
        lag: estimate(3.1, 1.4),
        exponent: estimate(0.31, 0.2),
        logBayesFactor: 0.6,
        kept: false,
        sentence:
          'One lag for all flows will do: that it shortens with the flow makes the visits only 1.8 times as likely.',
      },
    },
    { gauge: 'mill', gaugeName: MILL, travel: null, flow: null },
  ];
}

function staffRating(): StaffRating {
  const values = Array.from({ length: 61 }, (_, i) => 80 * (1200 / 80) ** (i / 60));
  const curve = (value: number): number => 12 + 4.1 * value ** 0.42;
  return {
    gauge: 'low-bridge',
    gaugeName: BRIDGE,
    unit: 'ft3/s',
    way: 'effective',
    form: 'power',
    upper: null,
    formSentence: 'A power law: the visits are 14 times as likely under it as under a straight line in ln flow.',
    noiseSentence: 'The scatter does not grow with the reading: a constant scatter will do.',
    offset: {
      ...estimate(12, 4),
      below95: 16.2,
      sentence: 'Painted staff would read about 12.0 cm at no flow (95 % between 5.88 and 18.1 cm).',
    },
    gaugeValues: values,
    median: values.map(curve),
    curve80: values.map((value) => [curve(value) - 1.1, curve(value) + 1.2]),
    reading80: values.map((value) => [curve(value) - 4.4, curve(value) + 4.5]),
    points: Array.from({ length: 22 }, (_, i) => {
      const gaugeValue = 120 * (850 / 120) ** (i / 21);
      return {
        visit: `v${i + 1}`,
        gaugeValue,
        staff: Math.round(curve(gaugeValue) + 4 * Math.sin(2.4 * i)),
        expected: curve(gaugeValue),
      };
    }),
  };
}

function staff(): StaffReport {
  return {
    feature: 'staff',
    name: 'Painted staff',
    unit: 'cm',
    classes: [
      { word: 'too low', readings: [38, 41, 44], median: 41 },
      { word: 'low', readings: [45, 47, 48, 52], median: 47.5 },
      { word: 'good', readings: [50, 55, 57, 57, 61, 63], median: 57 },
      { word: 'high', readings: [66, 71], median: 68.5 },
      { word: 'too high', readings: [], median: null },
    ],
    gauges: [staffRating()],
    sentence: 'Painted staff was read on 15 visits with a verdict: good from 50 to 63 cm.',
  };
}

/**
 * What gauges.json holds for the creek of `fixtureChart`: its first run with a ranking, a logger against two gauges (one shares too few hours), lags and a
 * staff; its second run with nothing to say.
 */
export function fixtureGauges({ chosen = 'combined' }: { chosen?: FixtureChoice } = {}): CreekGauges {
  const { creek, provenance } = fixtureChart();
  const upper: RunGauges = {
    id: 'upper',
    name: 'Upper Ombrel',
    ranking: fixtureRanking(chosen),
    noRanking: null,
    loggers: [logger()],
    lags: lags(),
    staffs: [staff()],
  };
  const lower: RunGauges = {
    id: 'lower',
    name: 'Lower Ombrel',
    ranking: null,
    noRanking: 'Four visits are too few to rank gauges by.',
    loggers: [],
    lags: [],
    staffs: [],
  };
  return { kind: 'creek-gauges', schema: 1, creek, runs: [upper, lower], cautions: CAUTIONS, provenance };
}
