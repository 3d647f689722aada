import type { CreekChart, GaugeChart, RunChart } from '../../src/chart/types.js';
import { GRADES } from '../../src/judge/grade.js';
import type { Counted, Measured } from '../../src/judge/floodRatios.js';
import type { CreekTrust, Judgement } from '../../src/judge/judgement.js';

const DAY_MS = 86_400_000;
const FIRST_MS = Date.UTC(2031, 2, 3, 9);

/** A measured number with an interval of the given half-width. */
export function measured(value: number, half: number): Measured {
  return { value, i80: [value - half, value + half] };
}

/** A share of 66 days in 18 floods. */
function countedAs(value: number, half: number): Counted {
  const cases = Math.round(66 * value);
  return {
    ...measured(value, half),
    cases,
    days: 66,
    floodsWith: Math.min(18, cases),
    floods: 18,
    floodsAtMost: value + half,
  };
}

const NOTHING: Measured = { value: null, i80: [null, null] };
const NOTHING_COUNTED: Counted = { ...NOTHING, cases: 0, days: 0, floodsWith: 0, floods: 0, floodsAtMost: null };

function scores(classes: readonly string[], best: number): NonNullable<Judgement['scores']> {
  const K = classes.length;
  const way = (name: 'effective' | 'one-reading' | 'as-it-stands', skill: number) => ({
    way: name,
    rps: measured(0.1 * (1 - skill) + 0.02, 0.01),
    skill: {
      againstFrequencies: measured(skill, 0.08),
      againstMonth: measured(skill - 0.06, 0.09),
      againstNoLag: name === 'as-it-stands' ? null : measured(skill / 3, 0.1),
    },
    logScore: measured(1.4 - skill, 0.12),
    logGain: measured(skill, 0.15),
  });
  const ends = [0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1];
  const seen = [0.012, 0.14, 0.27, 0.46, 0.75, 0.93, 0.9];
  return {
    floodRule: 'A flood is a rise of the gauge, and what follows until the next such rise.',
    method: 'refits',
    methodSentence: 'Every flood was left out by a fit of its own that never saw it.',
    ways: [way('effective', best), way('one-reading', best - 0.12), way('as-it-stands', best - 0.25)],
    gain: measured(0.12, 0.06),
    reliability: {
      bins: seen.map((value, b) => {
        const stated = (ends[b]! + ends[b + 1]!) / 2;
        return {
          from: ends[b]!,
          to: ends[b + 1]!,
          stated,
          seen: { value, i80: [Math.max(0, value - 0.08), Math.min(1, value + 0.08)] as const },
          ifRight80: [Math.max(0, stated - 0.06), Math.min(1, stated + 0.06)] as const,
          weight: [180, 40, 30, 24, 22, 30, 34][b]!,
          floods: [18, 14, 12, 9, 8, 11, 10][b]!,
        };
      }),
      gap: 0.042,
      gapIfRight: 0.037,
      gapTail: 0.31,
      sentence:
        'What was stated and what was seen differ by 4.2 points on average; right odds would differ by 3.7 points by chance. Nothing speaks against the stated odds.',
    },
    sharpness: {
      meanTop: measured(0.71, 0.03),
      sure: countedAs(0.44, 0.06),
      sureRight: countedAs(0.9, 0.05),
      entropyBits: measured(1.05, 0.1),
      loggedEntropyBits: measured(2.1, 0.08),
    },
    confusion: {
      table: Array.from({ length: K }, (_, said) =>
        Array.from({ length: K }, (_s, was) => [14, 3.5, 1, 0][Math.min(3, Math.abs(said - was))]!),
      ),
      right: countedAs(0.68, 0.12),
      withinOne: countedAs(0.96, 0.03),
      seenHigher: countedAs(0.12, 0.07),
      seenLower: countedAs(0.2, 0.08),
    },
    sentence:
      'On floods it had not seen, the chart named the right class in 68 % (56 to 80) of the visits and was off by one class at most in 96 %. The creek was higher than said in 12 % (5 to 19) and lower in 20 % (12 to 28).',
    floods: Array.from({ length: 18 }, (_, f) => ({
      firstMs: FIRST_MS + f * 9 * DAY_MS,
      lastMs: FIRST_MS + (f * 9 + 4) * DAY_MS,
      verdicts: 1 + (f % 5),
      rps: 0.03 + 0.01 * (f % 6),
      rpsFrequencies: 0.12 + 0.01 * (f % 4),
      paretoK: f === 3 ? 0.82 : f === 4 ? null : 0.2 + 0.02 * f,
    })),
  };
}

function rules(cuts: readonly number[], unit: string): NonNullable<Judgement['rules']> {
  const cost = (tooHigh: number, missed: number) => ({
    days: 66,
    goDays: 30,
    goodDays: 33,
    wasted: countedAs(0.1, 0.05),
    tooHigh: { ...countedAs(tooHigh, 0.06), i80: [0, tooHigh + 0.06] as const },
    missed: countedAs(missed, 0.09),
  });
  const low = cuts[1]!;
  const high = cuts[2]!;
  const rule = { atLeast: low * 1.02, atMost: high * 0.96 };
  return {
    rate: 0.05,
    reading: { lagHours: 1, storageHours: 12 },
    reach: 'good',
    chosen: { rule, digits: 0, tooHighAtEnds: [0.001, 0.04], cost: cost(0.02, 0.2), costLeftOut: cost(0.033, 0.24) },
    sureGood: { rule: { atLeast: low * 1.2, atMost: high * 0.8 }, cost: cost(0, 0.48) },
    frontier: Array.from({ length: 14 }, (_, i) => ({
      atLeast: low * (1.2 - 0.02 * i),
      atMost: high * (0.8 + 0.03 * i),
      tooHigh: 0.004 + 0.013 * i,
      wasted: 0.06 + 0.01 * i,
      missed: 0.62 * 0.82 ** i,
    })),
    sentence: `"Go at ${rule.atLeast.toFixed(0)} to ${rule.atMost.toFixed(0)} ${unit}" is chosen to keep days found too high under 5 %. Chosen anew without each flood, it would have gone on 30 days of 66 logged: too high on 3 % (0 to 9), wasted 10 % (5 to 15); it would have missed 24 % (15 to 33) of the good ones. These are logged days, not those of the calendar: people log when it runs.`,
  };
}

/** A judgement with every part filled in, made to fit a gauge of the fixture chart. */
export function fixtureJudgement(run: RunChart, gauge: GaugeChart): Judgement {
  const { classes } = run;
  const { level } = gauge;
  const edges = (level?.edges ?? []).filter(({ feature }) => feature === 'verdict');
  const cuts = edges.map(({ median }) => median);
  const skill = Math.max(0.02, 0.3 * (GRADES.indexOf(gauge.trust.grade) - 1));
  const move = (at: number, by: number) => ({
    between: edges[at]!.between,
    from: edges[at]!.median,
    to: edges[at]!.median * (1 + 0.1 * by),
    i80: edges[at]!.i80,
    move: by,
  });
  const unit = gauge.gauge.unit;
  const between = edges.map((edge) => ({
    between: edge.between,
    median: edge.median,
    i80: edge.i80,
    i95: edge.i95,
  }));
  const visits = gauge.visits;
  return {
    kind: 'judgement',
    run: run.id,
    runName: run.name,
    gauge: gauge.gauge.id,
    gaugeName: gauge.gauge.name,
    unit,
    classes,
    leadHours: 0,
    way: 'effective',
    grade: gauge.trust.grade,
    reasons: gauge.trust.reasons,
    improve: [
      'A verdict at 120 to 160 would narrow the good range’s edges most: by about 9 %. A look from the road or the bank is enough.',
      'Log 4 more floods: a good guide asks for 15.',
    ],
    checks: gauge.trust.checks,
    depth: 'full',
    evidence: {
      visits: visits.length,
      verdicts: visits.length - 5,
      floods: 18,
      firstVisitMs: FIRST_MS,
      lastVisitMs: FIRST_MS + 162 * DAY_MS,
      ageDays: 41,
      span: [level?.seen.from ?? null, level?.seen.to ?? null],
      recordSpan: [60, 900],
      classCounts: classes.map((_, k) => 6 + k),
      monthCounts: [0, 0, 14, 16, 15, 12, 9, 6, 0, 0, 0, 0],
      limbs: { rising: 0, steady: 30, falling: 42 },
      fullestFloodShare: 0.1,
      spanDays: 162,
      goodEdges: [],
      approvedShare: 0.82,
      missing: ['No visit on rising water: what the gauge says on the way up is untested, and that is when it hurts.'],
    },
    scores: level === undefined ? null : scores(classes, skill),
    rules: cuts.length > 2 ? rules(cuts, unit) : null,
    leadCurve: {
      points: [0, 1, 2, 4, 8, 12].map((leadHours) => ({
        leadHours,
        skill: measured(skill - 0.02 * leadHours, 0.08),
      })),
      sentence: 'Decided 4 hours before, the gauge still takes away 58 % of the guesswork; 12 hours before, 42 %.',
    },
    observers: {
      rows: [
        {
          observer: 'Tilde',
          sightings: 31,
          visits: 24,
          biasMedian: 0.14,
          bias80: [0.05, 0.23],
          bias95: [0.01, 0.28],
          above: 0.98,
          sentence: 'Tilde reads higher than the others: about 0.3 of a class (80 % sure: 0.1 to 0.5 of a class).',
        },
        {
          observer: 'Runa',
          sightings: 52,
          visits: 40,
          biasMedian: -0.04,
          bias80: [-0.1, 0.03],
          bias95: [-0.14, 0.06],
          above: 0.2,
          sentence: 'Runa reads like the others, as far as the log can tell.',
        },
      ],
      agreement: [
        { feature: 'verdict', name: 'the whole run', sharedVisits: 9, alpha: 0.71, i80: [0.5, 0.88] },
        { feature: 'ledge', name: 'Ledge under the footbridge', sharedVisits: 4, alpha: null, i80: [null, null] },
      ],
      pairs: [
        {
          feature: 'verdict',
          observers: ['Runa', 'Tilde'],
          shared: 9,
          kappa: 0.66,
          i80: [0.4, 0.85],
          secondHigherBy: 0.4,
        },
      ],
      without:
        edges.length > 1
          ? [
              {
                observer: 'Tilde',
                edges: [move(0, 0.4), move(1, -0.15)],
                largestMove: 0.4,
                sentence: 'Without Tilde, the edge from too low to low would lie 4 % higher.',
              },
            ]
          : [],
    },
    shift: {
      status: 'judged',
      probability: 0.97,
      found: true,
      pettittP: 0.004,
      step: {
        betweenMs: [FIRST_MS + 90 * DAY_MS, FIRST_MS + 94 * DAY_MS],
        date80Ms: [FIRST_MS + 80 * DAY_MS, FIRST_MS + 103 * DAY_MS],
        sizeMedian: 0.31,
        size80: [0.19, 0.44],
        visitsBefore: 40,
        visitsAfter: 32,
      },
      residuals: visits.map(({ visit, timeMs }, i) => ({
        visit,
        timeMs,
        residual: 0.2 * Math.sin(i * 2.4) + (timeMs > FIRST_MS + 92 * DAY_MS ? 0.31 : 0),
      })),
      before: between,
      after: between.map((edge) => ({ ...edge, median: edge.median * 0.75 })),
      sentence:
        'The relation most likely moved (probability 97 %) between 2031-06-01 and 2031-06-05: since then the creek stands higher at the same reading. 40 visits before, 32 after; the chart mixes both.',
    },
    suspects: {
      judged: visits.length,
      rows: visits.slice(3, 5).map(({ visit, timeMs }, i) => ({
        visit,
        timeMs,
        rows: [12 + i, 13 + i],
        observers: ['Runa'],
        sound: 0.03 + 0.1 * i,
        explanations: [
          {
            kind: 'clock',
            sentence: 'Took place 12 hours later than written: morning for evening.',
            probability: 0.71,
          },
          { kind: 'another-day', sentence: 'Belongs to another day or another creek.', probability: 0.2 },
        ],
      })),
      sentence: `2 of ${visits.length} visits look wrong. They are shown, not removed: look them up before changing anything.`,
    },
    nextLook:
      level === undefined
        ? null
        : {
            byValue: Array.from({ length: 25 }, (_, i) => ({
              gaugeValue: level.seen.from * (level.seen.to / level.seen.from) ** (i / 24),
              shrinkage: 0.01 + 0.08 * Math.exp(-(((i - 9) / 4) ** 2)),
            })),
            byFeature: [
              { feature: 'verdict', name: 'the whole run', gaugeValue: 190, shrinkage: 0.09 },
              { feature: 'ledge', name: 'Ledge under the footbridge', gaugeValue: 210, shrinkage: 0.04 },
            ],
            looks: [
              {
                feature: 'verdict',
                from: 180,
                to: 220,
                shrinkage: 0.09,
                sentence:
                  'A verdict at 180 to 220 ft³/s would narrow the good range’s edges most: by about 9 %. A look from the road or the bank is enough.',
              },
            ],
          },
    influence: {
      rows: edges.map((edge, i) => ({
        between: edge.between,
        visit: visits[i]?.visit ?? 'v0',
        timeMs: FIRST_MS + i * DAY_MS,
        rows: [20 + i],
        from: edge.median,
        to: edge.median * (1 + 0.02 * i),
        move: 0.12 * i,
        method: i % 2 === 0 ? 'refit' : 'weights',
        sentence: `Leaving out one visit moves the edge by ${2 * i} %.`,
      })),
    },
    sensitivity: {
      variants:
        edges.length > 1
          ? [
              {
                variant: 'priors-half',
                says: 'prior widths halved',
                link: 'probit',
                edges: [move(0, 0.1), move(1, 0.31)],
                largestMove: 0.31,
                flagged: true,
              },
              {
                variant: 'other-link',
                says: 'logit in place of probit',
                link: 'logit',
                edges: [move(0, -0.04)],
                largestMove: 0.04,
                flagged: false,
              },
            ]
          : [],
      sentence: 'With prior widths halved, an edge moves by more than a quarter of its interval.',
    },
  };
}

/** What `--quick` leaves away. */
export function quick(judgement: Judgement): Judgement {
  return {
    ...judgement,
    depth: 'quick',
    leadCurve: null,
    influence: null,
    sensitivity: null,
    observers: { ...judgement.observers, without: [] },
    shift: { ...judgement.shift, before: null, after: null },
  };
}

/** Nothing could be fitted: only the evidence speaks. */
export function unfitted(judgement: Judgement): Judgement {
  return {
    ...quick(judgement),
    way: null,
    scores: null,
    rules: null,
    nextLook: null,
    evidence: {
      ...judgement.evidence,
      visits: 0,
      verdicts: 0,
      floods: 0,
      firstVisitMs: null,
      lastVisitMs: null,
      ageDays: null,
      span: [null, null],
      recordSpan: [null, null],
      approvedShare: null,
    },
    observers: { rows: [], agreement: [], pairs: [], without: [] },
    shift: {
      status: 'too-few',
      probability: null,
      found: false,
      pettittP: null,
      step: null,
      residuals: [],
      before: null,
      after: null,
      sentence: 'Too few floods to say whether the relation moved: three on either side are the least.',
    },
    suspects: { judged: 0, rows: [], sentence: 'No visit could be held against the gauge.' },
  };
}

/** Fitted, but with every number that can be unknown unknown: one way, no bins, no rule, one observer, no step, no suspect, no look. */
export function bare(judgement: Judgement): Judgement {
  const { scores, rules } = judgement;
  return {
    ...quick(judgement),
    scores: scores && {
      ...scores,
      ways: scores.ways.slice(0, 1).map((way) => ({
        ...way,
        skill: { againstFrequencies: NOTHING, againstMonth: NOTHING, againstNoLag: null },
        logScore: NOTHING,
        logGain: NOTHING,
        rps: NOTHING,
      })),
      reliability: {
        bins: [],
        gap: null,
        gapIfRight: null,
        gapTail: null,
        sentence: 'There is nothing to hold the stated odds to.',
      },
      sharpness: {
        meanTop: NOTHING,
        sure: NOTHING_COUNTED,
        sureRight: NOTHING_COUNTED,
        entropyBits: NOTHING,
        loggedEntropyBits: NOTHING,
      },
      confusion: {
        table: scores.confusion.table.map((row) => row.map(() => 0)),
        right: NOTHING_COUNTED,
        withinOne: NOTHING_COUNTED,
        seenHigher: NOTHING_COUNTED,
        seenLower: NOTHING_COUNTED,
      },
      floods: [],
    },
    rules: rules && {
      ...rules,
      chosen: null,
      sureGood: null,
      frontier: [],
      sentence: 'No rule keeps the days found too high under 5 %: this gauge does not carry a rule.',
    },
    observers: { rows: judgement.observers.rows.slice(0, 1), agreement: [], pairs: [], without: [] },
    shift: {
      ...judgement.shift,
      probability: 0.04,
      found: false,
      pettittP: null,
      step: null,
      residuals: [],
      before: null,
      after: null,
      sentence: 'No lasting change was found (probability 4 %).',
    },
    suspects: {
      judged: 60,
      rows: [],
      sentence: 'None of 60 visits contradicts the gauge so far that it looks like a mistake.',
    },
    nextLook: { byValue: [], byFeature: [], looks: [] },
  };
}

/** The trust of a fixture chart, each judgement put through `change`. */
export function fixtureTrust(chart: CreekChart, change: (judgement: Judgement) => Judgement = (j) => j): CreekTrust {
  return {
    kind: 'creek-trust',
    schema: 1,
    creek: chart.creek,
    depth: 'full',
    runs: chart.runs.map((run) => ({
      id: run.id,
      name: run.name,
      gauges: run.gauges.map((gauge) => change(fixtureJudgement(run, gauge))),
    })),
    cautions: chart.cautions,
  };
}
