import type {
  CreekChart,
  Edge,
  GaugeChart,
  Interval,
  LagSummary,
  LevelChart,
  TrustSummary,
} from '../../../src/chart/types.js';
import { CAUTIONS } from '../../../src/series/cautions.js';

/** A chart written by hand, so that the text outputs are checked without a fit. Two gauges of one run; numbers are invented. */
export function handChart({ name = 'Larch Creek' }: { name?: string } = {}): CreekChart {
  return {
    kind: 'creek-chart',
    schema: 1,
    creek: { name, timeZone: 'America/Denver' },
    runs: [
      {
        id: 'upper',
        name: 'Upper run',
        classes: ['too low', 'low', 'good', 'high', 'too high'],
        features: [
          { id: 'ledge', name: 'Split ledge', classes: ['dry', 'wet', 'padded'], looks: { dry: 'both slots bare' } },
          { id: 'staff', name: 'Bridge staff', classes: [], unit: 'cm' },
        ],
        gauges: [
          gaugeChart('far', 'Far river', {
            ...trust,
            grade: 'no usable relation',
            reasons: ['No better than counting classes.'],
          }),
          gaugeChart('mill', 'Mill Bridge', trust),
        ],
        recommended: 'mill',
      },
    ],
    cautions: CAUTIONS,
    provenance: {
      tool: 'sightstage',
      version: '0.1.0',
      seed: 1,
      options: { leadHours: 0, link: 'probit' },
      files: [{ name: 'visits.csv', sha256: 'ab'.repeat(32), bytes: 1234 }],
      approval: [{ gauge: 'mill', approved: 900, provisional: 100, unknown: 0 }],
    },
    notUsed: [{ code: 'class-unknown', rows: 2 }],
  };
}

const i = (low: number | null, high: number | null): Interval => [low, high];

const lag: LagSummary = {
  hours: [2, 3, 4],
  probability: [0.25, 0.5, 0.25],
  median: 3,
  i80: i(2, 4),
  i95: i(2, 4),
  sentence: 'the gauge leads by 3 h (2 to 4)',
};

const trust: TrustSummary = {
  grade: 'fair guide',
  reasons: ['Skill on floods left out is 0.61.', 'Only 2 visits were too low.'],
  way: 'effective',
  depth: 'full',
  evidence: {
    visits: 62,
    verdicts: 62,
    floods: 21,
    fullestFloodShare: 0.1,
    firstVisitMs: Date.UTC(2031, 2, 3, 5),
    lastVisitMs: Date.UTC(2032, 10, 14, 18),
    spanDays: 622,
    ageDays: 3,
    span: i(88, 640),
    recordSpan: i(80, 700),
    classCounts: [2, 15, 30, 10, 5],
    monthCounts: [0, 0, 20, 20, 12, 0, 0, 0, 0, 0, 10, 0],
    limbs: { rising: 10, steady: 30, falling: 22 },
    goodEdges: [],
    approvedShare: 0.9,
    missing: [],
  },
  skill: {
    againstFrequencies: { value: 0.61, i80: i(0.5, 0.7) },
    againstMonth: { value: 0.58, i80: i(0.45, 0.66) },
  },
  checks: [
    {
      id: 'floods',
      check: 'floods',
      statistic: 21,
      operator: '>=',
      threshold: 10,
      unit: 'floods',
      pass: true,
      essential: true,
      comment: '',
    },
  ],
};

const FT3 = 0.028316846592;

function edge(
  between: readonly [string, string],
  rounded: number,
  roundedOther: number,
  i80: Interval,
  feature = 'verdict',
): Edge {
  return {
    feature,
    between,
    median: rounded + 0.4,
    i80,
    i95: i(i80[0] === null ? null : i80[0] * 0.9, i80[1] === null ? null : i80[1] * 1.1),
    rounded,
    roundedOther,
    odds: [],
    digits: 0,
    digitsOther: 1,
    seenBothSides: between[0] !== 'too low',
  };
}

function level(way: LevelChart['way'], howToRead: string): LevelChart {
  const estimate = { median: 0.2, i80: i(0.15, 0.27), i95: i(0.12, 0.33) };
  return {
    way,
    leadHours: 0,
    link: 'probit',
    status: 'converged',
    statusSentence: 'The fit converged.',
    howToRead,
    reading: { lagHours: 3, storageHours: way === 'effective' ? 12 : 0 },
    edges: [
      edge(['too low', 'low'], 120, 3.4, i(95.2, 140.7)),
      edge(['low', 'good'], 180, 5.1, i(165, 200)),
      edge(['good', 'high'], 310, 8.7, i(280, 345)),
      edge(['high', 'too high'], 500, 14.1, i(430, null)),
      edge(['dry', 'wet'], 90, 2.6, i(80, 110), 'ledge'),
    ],
    ratings: [],
    odds: {
      classes: ['too low', 'low', 'good', 'high', 'too high'],
      gaugeValues: [],
      probability: [],
      low80: [],
      high80: [],
      atLeast: [],
    },
    sureRanges: [
      {
        class: 'good',
        empty: false,
        from: 198.2,
        to: 283.9,
        roundedFrom: 200,
        roundedTo: 280,
        roundedFromOther: 5.7,
        roundedToOther: 7.9,
        digits: 0,
        digitsOther: 1,
        bestOdds: 0.93,
        says: 'good is sure from 200 to 280 ft³/s',
      },
      {
        class: 'high',
        empty: true,
        from: null,
        to: null,
        roundedFrom: null,
        roundedTo: null,
        roundedFromOther: null,
        roundedToOther: null,
        digits: 0,
        digitsOther: 1,
        bestOdds: 0.629,
        says: 'high is nowhere sure: its best odds are 62 %',
      },
    ],
    seen: { from: 2.5 / FT3, to: 640.2 },
    mismatch: estimate,
    blur: [{ feature: 'verdict', sharesMismatch: false, ...estimate }],
    observers: [{ observer: 'Dov', sightings: 20, ...estimate }],
    limb: { kept: false, logBayesFactor: -1.2 },
    diagnostics: {
      gridPoints: 10,
      gridPointsFitted: 8,
      iterations: 30,
      gradient: 1e-9,
      condition: 100,
      paretoK: 0.3,
      effectiveDraws: 900,
    },
  };
}

function gaugeChart(id: string, name: string, gaugeTrust: TrustSummary): GaugeChart {
  return {
    gauge: { id, name, parameter: 'discharge', unit: 'ft3/s', otherUnit: 'm3/s', distanceKm: 14 },
    trust: gaugeTrust,
    level: level('effective', "Take the gauge's mean over the last 24 h, weighted towards now (time constant 12 h)."),
    other: {
      way: 'one-reading',
      howToRead: 'Take the reading 3 h before you arrive.',
      skill: { value: 0.5, i80: i(0.4, 0.6) },
      difference: { value: -0.11, i80: i(-0.2, -0.04) },
    },
    lag,
    storage: { hours: [0, 12], probability: [0.1, 0.9], median: 12, i80: i(0, 12), i95: i(0, 12) },
    surface: {
      lagsHours: [2, 3],
      storagesHours: [0, 12],
      probability: [
        [0.05, 0.05],
        [0.4, 0.5],
      ],
    },
    visits: [],
    hydrograph: { timesMs: [], values: [] },
    confirmEdges: [],
  };
}
