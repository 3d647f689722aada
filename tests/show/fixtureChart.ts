import type {
  CreekChart,
  Edge,
  Estimate,
  GaugeChart,
  LevelChart,
  RunChart,
  SureRange,
  VisitMark,
} from '../../src/chart/types.js';
import { howToRead } from '../../src/chart/howToRead.js';
import { roundedInOther, roundSafer, saferSideOfEdge } from '../../src/judge/roundSafer.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import { convertUnit, otherSystemUnit, parameterOfUnit, type GaugeUnit } from '../../src/series/units.js';
import type { ReadingWay } from '../../src/fit/types.js';
import type { Grade } from '../../src/judge/types.js';

/** A creek that does not exist, read from gauges that follow a sine and a normal law: every number below has a formula. */
export interface FixtureOptions {
  readonly classes?: readonly string[];
  readonly grade?: Grade;
  readonly unit?: GaugeUnit;
  /** Edges of the verdict in the gauge's unit. */
  readonly cuts?: readonly number[];
  readonly sd?: number;
  readonly creekName?: string;
  readonly runName?: string;
  readonly gaugeName?: string;
  readonly observer?: string;
  readonly note?: string;
  readonly visits?: number;
  readonly storageHours?: number;
}

const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];

/** Standard normal distribution function; Abramowitz and Stegun 7.1.26, absolute error below 1.5e-7. */
export function phi(z: number): number {
  const t = 1 / (1 + (0.3275911 * Math.abs(z)) / Math.SQRT2);
  const poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const upper = 0.5 * poly * Math.exp((-z * z) / 2);
  return z >= 0 ? 1 - upper : upper;
}

/** Odds of each class at x = ln value: differences of Φ((edge - x)/sd). */
function oddsAtX(x: number, { edges, sd }: { edges: readonly number[]; sd: number }): number[] {
  const below = [...edges.map((edge) => phi((edge - x) / sd)), 1];
  return below.map((p, k) => Math.max(0, p - (k === 0 ? 0 : below[k - 1]!)));
}

function lnNormal(median: number, spread: number): Estimate {
  const at = (z: number) => median * Math.exp(spread * z);
  return { median, i80: [at(-1.2816), at(1.2816)], i95: [at(-1.96), at(1.96)] };
}

function edgesOf(feature: string, classes: readonly string[], cuts: readonly number[], unit: GaugeUnit): Edge[] {
  return cuts.map((cut, k) => {
    const estimate = lnNormal(cut, 0.06 + 0.03 * Math.abs(k - (cuts.length - 1) / 2));
    const side = saferSideOfEdge(k, [Math.floor(classes.length / 2), Math.floor(classes.length / 2)]);
    const width = estimate.i80[1]! - estimate.i80[0]!;
    const own = roundSafer(cut, { width, side });
    const theirs = roundedInOther(own.value, unit);
    return {
      ...estimate,
      feature,
      between: [classes[k]!, classes[k + 1]!],
      rounded: own.value,
      roundedOther: theirs.value,
      digits: own.digits,
      digitsOther: theirs.digits,
      odds: classes.map((_, c) => (c === k || c === k + 1 ? 0.5 : 0)),
      seenBothSides: k < cuts.length - 1,
    };
  });
}

function levelChart(
  way: ReadingWay,
  options: Required<FixtureOptions>,
  seen: { from: number; to: number },
): LevelChart {
  const { classes, cuts, unit } = options;
  const sd = way === 'effective' ? options.sd : options.sd * 1.6;
  const lnEdges = cuts.map(Math.log);
  const from = Math.log(seen.from) - 0.9;
  const to = Math.log(seen.to) + 0.7;
  const xs = Array.from({ length: 161 }, (_, i) => from + ((to - from) * i) / 160);
  const gaugeValues = xs.map(Math.exp);
  const probability = xs.map((x) => oddsAtX(x, { edges: lnEdges, sd }));
  const other = otherSystemUnit(unit);
  const sureRanges = classes.map((word, k): SureRange => {
    const inside = gaugeValues.filter((v, i) => v >= seen.from && v <= seen.to && probability[i]![k]! >= 0.8);
    const best = Math.max(
      ...probability.filter((_, i) => gaugeValues[i]! >= seen.from && gaugeValues[i]! <= seen.to).map((row) => row[k]!),
    );
    const empty = inside.length === 0;
    const low = empty ? null : inside[0]!;
    const high = empty ? null : inside[inside.length - 1]!;
    const width = 0.15 * (low ?? 1);
    const round = (value: number | null, side: 'up' | 'down', to_: GaugeUnit) =>
      value === null
        ? null
        : roundSafer(convertUnit(value, unit, to_), { width: convertUnit(width, unit, to_), side }).value;
    // As the product does: nothing left between the rounded ends is said as null.
    const ends = (to_: GaugeUnit) => {
      const [a, b] = [round(low, 'up', to_), round(high, 'down', to_)];
      return a !== null && b !== null && a <= b ? ([a, b] as const) : ([null, null] as const);
    };
    const digitsOf = (to_: GaugeUnit) =>
      roundSafer(convertUnit(low ?? 1, unit, to_), { width: convertUnit(width, unit, to_), side: 'up' }).digits;
    return {
      class: word,
      empty,
      from: low,
      to: high,
      roundedFrom: ends(unit)[0],
      roundedTo: ends(unit)[1],
      roundedFromOther: ends(other)[0],
      roundedToOther: ends(other)[1],
      digits: digitsOf(unit),
      digitsOther: digitsOf(other),
      bestOdds: best,
      says: empty
        ? `No value seen makes ${word} sure; at best its odds are ${Math.round(100 * best)} in 100.`
        : `Odds of ${word} are at least 80 in 100 between these values.`,
    };
  });
  const lagHours = way === 'effective' ? 1 : 3;
  const reading = { lagHours, storageHours: way === 'effective' ? options.storageHours : 0 };
  return {
    way,
    leadHours: 0,
    link: 'probit',
    status: 'converged',
    statusSentence: 'The fit converged.',
    howToRead: howToRead(reading, { parameter: parameterOfUnit(unit) }),
    reading,
    edges: [
      ...edgesOf('verdict', classes, cuts, unit),
      ...edgesOf('ledge', ['dry', 'brown', 'white'], [cuts[0]! * 1.1, cuts[cuts.length - 1]! * 0.95], unit),
    ],
    ratings: [
      {
        feature: 'staff',
        unit: 'cm',
        form: 'power',
        base: { median: 12, i80: [9, 15], i95: [7, 17] },
        exponent: { median: 2.1, i80: [1.8, 2.4], i95: [1.6, 2.7] },
        noise: { median: 2.5, i80: [2, 3.1], i95: [1.8, 3.6] },
        noiseForm: 'constant',
        noiseAtGauge: null,
        median: gaugeValues.map((v) => 12 + 4 * Math.sqrt(v)),
        low80: gaugeValues.map((v) => 9 + 3.8 * Math.sqrt(v)),
        high80: gaugeValues.map((v) => 15 + 4.2 * Math.sqrt(v)),
        readingLow80: gaugeValues.map((v) => 7 + 3.6 * Math.sqrt(v)),
        readingHigh80: gaugeValues.map((v) => 17 + 4.4 * Math.sqrt(v)),
      },
    ],
    odds: {
      classes,
      gaugeValues,
      probability,
      low80: probability.map((row) => row.map((p) => 0.9 * p)),
      high80: probability.map((row) => row.map((p) => p + 0.1 * (1 - p))),
      atLeast: cuts.map((_, k) => {
        const curve = (shift: number) => xs.map((x) => 1 - phi((lnEdges[k]! - x + shift) / sd));
        return { median: curve(0), low80: curve(0.1), high80: curve(-0.1) };
      }),
    },
    sureRanges,
    seen,
    mismatch: { median: sd * 0.8, i80: [sd * 0.6, sd], i95: [sd * 0.5, sd * 1.2] },
    blur: [
      { feature: 'verdict', sharesMismatch: false, median: 0.14, i80: [0.1, 0.2], i95: [0.08, 0.24] },
      { feature: 'ledge', sharesMismatch: false, median: 0.22, i80: [0.15, 0.3], i95: [0.1, 0.36] },
    ],
    observers: [
      { observer: options.observer, sightings: 31, median: 0.04, i80: [-0.02, 0.1], i95: [-0.06, 0.13] },
      { observer: 'Runa', sightings: 12, median: -0.08, i80: [-0.16, 0.01], i95: [-0.2, 0.05] },
    ],
    limb: { kept: false, logBayesFactor: -1.3 },
    diagnostics: {
      gridPoints: 1200,
      gridPointsFitted: 260,
      iterations: 1840,
      gradient: 2.1e-7,
      condition: 480,
      paretoK: 0.31,
      effectiveDraws: 1710,
    },
  };
}

/** A discrete bell over `hours`; quantiles read from the bell itself. */
function summary(hours: readonly number[], centre: number, spread: number) {
  const raw = hours.map((h) => Math.exp(-0.5 * ((h - centre) / spread) ** 2));
  const total = raw.reduce((sum, p) => sum + p, 0);
  return {
    hours,
    probability: raw.map((p) => p / total),
    median: centre,
    i80: [centre - 1.28 * spread, centre + 1.28 * spread] as const,
    i95: [centre - 1.96 * spread, centre + 1.96 * spread] as const,
  };
}

const START_MS = Date.UTC(2031, 2, 1);
const HOUR_MS = 3_600_000;

/** Flow of the invented gauge at an hour: a spring hump and sharp rises every 9 days, times the middle of the cuts. */
function flowAt(hour: number, middle: number): number {
  const season = Math.exp(-0.5 * ((hour / 24 - 75) / 40) ** 2);
  const sinceRise = hour % (9 * 24);
  return middle * (0.25 + 0.6 * season + 1.6 * Math.exp(-sinceRise / 30) * (1 - Math.exp(-sinceRise / 3)));
}

function gaugeChart(id: string, options: Required<FixtureOptions>): GaugeChart {
  const { classes, cuts, unit, grade } = options;
  const middle = cuts[Math.floor(cuts.length / 2)]!;
  const hours = Array.from({ length: 1400 }, (_, i) => i * 3);
  const fitted = grade !== 'too thin';
  const visits = Array.from({ length: options.visits }, (_, i): VisitMark => {
    const hour = 60 + Math.round((i * 3900) / options.visits / 24) * 24 + (i % 5);
    const value = flowAt(hour, middle);
    const effective = flowAt(hour - 6, middle) * (1 + 0.02 * Math.sin(i));
    const state = Math.log(effective) + 0.18 * Math.sin(i * 2.4);
    return {
      visit: `v${i + 1}`,
      timeMs: START_MS + hour * HOUR_MS,
      reading: i % 17 === 9 ? null : effective,
      onRecord: i % 17 === 9 ? null : value,
      classIndex: i % 13 === 7 ? -1 : cuts.filter((cut) => Math.log(cut) < state).length,
      observer: i % 3 === 0 ? options.observer : 'Runa',
      flood: Math.floor(hour / 216),
      limb: hour % 216 < 9 ? 'rising' : hour % 216 > 120 ? 'steady' : 'falling',
      sightings: [{ feature: 'ledge', saw: 'brown', row: i + 2 }],
    };
  });
  const seenValues = visits.flatMap((v) => (v.reading === null ? [] : [v.reading]));
  const seen =
    seenValues.length > 0
      ? { from: Math.min(...seenValues), to: Math.max(...seenValues) }
      : { from: cuts[0]! * 0.7, to: cuts[cuts.length - 1]! * 1.3 };
  const lagHours = Array.from({ length: 37 }, (_, i) => i - 12);
  const storages = [-24, -12, -6, -3, 0, 3, 6, 12, 24, 36];
  const storage = summary(storages, options.storageHours, 5);
  const allLags = summary(lagHours, 3, 2);
  const one = levelChart('one-reading', options, seen);
  return {
    gauge: {
      id,
      name: options.gaugeName,
      parameter: parameterOfUnit(unit),
      unit,
      otherUnit: otherSystemUnit(unit),
      distanceKm: 14,
    },
    trust: {
      grade,
      reasons: [
        `${visits.length} visits in ${new Set(visits.map((v) => v.flood)).size} floods`,
        'The lag interval does not cross zero.',
        'Only two visits were too high.',
      ],
      way: fitted ? 'effective' : 'one-reading',
      depth: 'full',
      evidence: {
        visits: visits.length,
        verdicts: visits.filter((v) => v.classIndex >= 0).length,
        floods: new Set(visits.map((v) => v.flood)).size,
        fullestFloodShare: 0.1,
        firstVisitMs: visits[0]?.timeMs ?? null,
        lastVisitMs: visits[visits.length - 1]?.timeMs ?? null,
        spanDays: 162,
        ageDays: 41,
        span: [seen.from, seen.to],
        recordSpan: [seen.from, seen.to],
        classCounts: classes.map((_, k) => visits.filter((v) => v.classIndex === k).length),
        monthCounts: [0, 0, 14, 16, 15, 12, 9, 6, 0, 0, 0, 0],
        limbs: { rising: 0, steady: 30, falling: 42 },
        goodEdges: [],
        approvedShare: 0.82,
        missing: [
          'No visit on rising water: what the gauge says on the way up is untested, and that is when it hurts.',
        ],
      },
      skill: fitted
        ? {
            againstFrequencies: { value: 0.66, i80: [0.58, 0.73] },
            againstMonth: { value: 0.6, i80: [0.51, 0.69] },
          }
        : null,
      checks: [
        {
          id: 'floods',
          check: 'independent floods',
          statistic: 18,
          operator: '>=',
          threshold: 8,
          unit: 'floods',
          pass: true,
          essential: true,
          comment: 'Visits of one flood are one piece of evidence.',
        },
        {
          id: 'edge-near',
          check: 'visits near the lowest edge',
          statistic: 0,
          operator: '>=',
          threshold: 1,
          unit: 'visits',
          pass: false,
          essential: false,
          comment: 'Log the days on which you drove past.',
        },
      ],
    },
    ...(fitted
      ? {
          level: levelChart('effective', options, seen),
          other: {
            way: 'one-reading',
            howToRead: one.howToRead,
            skill: { value: 0.52, i80: [0.42, 0.61] },
            difference: { value: -0.14, i80: [-0.21, -0.06] },
          },
        }
      : {}),
    lag: { ...allLags, sentence: 'the gauge leads by 3 h (0.4 to 5.6)' },
    storage,
    surface: {
      lagsHours: lagHours,
      storagesHours: storages,
      probability: storages.map((_, s) => lagHours.map((_, l) => storage.probability[s]! * allLags.probability[l]!)),
    },
    visits,
    hydrograph: {
      timesMs: hours.map((hour) => START_MS + hour * HOUR_MS),
      values: hours.map((hour) => (hour > 900 && hour < 960 ? null : flowAt(hour, middle))),
    },
    confirmEdges: one.edges,
  };
}

/** Every option filled in. */
function filled(options: FixtureOptions): Required<FixtureOptions> {
  return {
    classes: CLASSES,
    grade: 'fair guide',
    unit: 'ft3/s',
    cuts: [140, 240, 420, 640],
    sd: 0.2,
    creekName: 'Ombrel Creek',
    runName: 'Upper Ombrel',
    gaugeName: 'Ombrel River at Low Bridge',
    observer: 'Tilde',
    note: '',
    visits: 72,
    storageHours: 12,
    ...options,
  };
}

/** One gauge of one run, as `fixtureChart` holds it. */
export function fixtureGauge(options: FixtureOptions = {}): { run: RunChart; gauge: GaugeChart } {
  const run = fixtureChart(options).runs[0]!;
  return { run, gauge: run.gauges[0]! };
}

/** A creek with two runs: the first with a fair, a stage and a useless gauge, the second with a thin one. */
export function fixtureChart(options: FixtureOptions = {}): CreekChart {
  const o = filled(options);
  const runOf = (id: string, name: string, gauges: readonly GaugeChart[]): RunChart => ({
    id,
    name,
    classes: o.classes,
    features: [
      {
        id: 'ledge',
        name: 'Ledge under the footbridge',
        classes: ['dry', 'brown', 'white'],
        looks: { dry: 'the lip is out of the water', brown: 'smooth tongue', white: 'white from bank to bank' },
      },
      { id: 'staff', name: 'Painted staff', classes: [], unit: 'cm' },
    ],
    gauges,
    recommended: gauges.find(({ trust, level }) => trust.grade.endsWith('guide') && level)?.gauge.id ?? null,
  });
  const stage = {
    ...o,
    unit: 'm' as const,
    cuts: o.cuts.map((_, k) => 0.62 + 0.21 * k + 0.02 * k * k),
    sd: o.sd * 0.6,
  };
  return {
    kind: 'creek-chart',
    schema: 1,
    creek: { name: o.creekName, timeZone: 'Europe/Vienna' },
    runs: [
      runOf('upper', o.runName, [
        gaugeChart('low-bridge', o),
        gaugeChart('mill', { ...stage, grade: 'rough guide', gaugeName: 'Garn Brook at the mill', storageHours: -8 }),
        gaugeChart('dam', { ...o, grade: 'no usable relation', gaugeName: 'Vessin below the dam', sd: 1.4 }),
      ]),
      runOf('lower', 'Lower Ombrel', [gaugeChart('low-bridge', { ...o, grade: 'too thin', visits: 4 })]),
    ],
    cautions: CAUTIONS,
    provenance: {
      tool: 'sightstage',
      version: '0.1.0',
      seed: 7,
      options: { leadHours: 0, link: 'probit' },
      files: [
        { name: 'creek.json', sha256: 'a'.repeat(64), bytes: 4120 },
        { name: 'visits.csv', sha256: 'b'.repeat(64), bytes: 18231 },
      ],
      approval: [{ gauge: 'low-bridge', approved: 9200, provisional: 2010, unknown: 0 }],
    },
    notUsed: [{ code: 'class-unknown', rows: 3 }],
  };
}
