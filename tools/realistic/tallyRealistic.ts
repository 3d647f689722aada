import { alignVisits } from '../../src/align/alignVisits.js';
import { floodOfVisits } from '../../src/align/floods.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { confusionOf } from '../../src/judge/confusion.js';
import { allDaysEdges } from '../../src/judge/allDays.js';
import { GRADES } from '../../src/judge/grade.js';
import { gradeWays } from '../../src/judge/gradeWays.js';
import type { Grade } from '../../src/judge/types.js';
import { waysOfReading } from '../../src/judge/waysOfReading.js';
import { classFrequencies } from '../../src/judge/frequencies.js';
import { leaveFloodOut, type LeftOut } from '../../src/judge/leaveFloodOut.js';
import { skillOf } from '../../src/judge/skill.js';
import { verdictCases } from '../../src/judge/verdictCases.js';
import { estimate, type Estimate, type Interval } from '../../src/kernel/estimate.js';
import { quantile } from '../../src/kernel/quantile.js';
import { laterLeftOut } from '../validate/laterLeftOut.js';
import { laterOdds } from '../validate/laterOdds.js';
import { classAt, realisticWorld, trueEdge, type Estimand } from './realisticWorld.js';

/** An edge of the single reading at any lag, against the truth at that lag; ln units, positive where the chart's edge lies too high. */
interface EdgeFound {
  readonly in80: boolean;
  readonly in95: boolean;
  readonly error: number;
  readonly width80: number;
  /** The truth lies below the 80 % interval: who trusts its lower end meets more water than said. */
  readonly below80: boolean;
}

/** What one creek's log states of itself, by floods left out, and what two later years then held for the hours that people would log. */
interface Found {
  readonly edges: Readonly<Record<Estimand, readonly EdgeFound[]>>;
  readonly skill: { readonly stated: number; readonly met: number };
  /** The creek above the likeliest class: counted in the log, by the odds of the later hours, and counted there. */
  readonly higher: { readonly stated: number; readonly odds: number; readonly met: number };
  /** The median mismatch of the fit. */
  readonly mismatch: number;
  /** By evidence and skill, floods left out by weights; the season and single persons are not asked. */
  readonly grade: Grade;
}

const DRAWS = 600;
const ESTIMANDS = ['daylight', 'asDrawn'] as const;

function foundOf(visits: number, seed: number): Found | null {
  const world = realisticWorld({ visits, seed });
  const aligned = alignVisits(world);
  const fits = fitLevels(aligned, { seed, draws: DRAWS });
  const { effective: fit, 'any-lag': anyLag } = fits;
  if (fit.draws.count === 0 || anyLag.draws.count === 0) return null;
  const inner = world.edges.length;
  const lag = quantile(anyLag.draws.lagHours, 0.5);
  // Each kind of days against the edges that the chart states for it.
  const stated: Readonly<Record<Estimand, readonly Estimate[]>> = {
    asDrawn: world.edges.map((_, k) =>
      estimate(Float64Array.from({ length: anyLag.draws.count }, (__, d) => anyLag.features[0].edges[d * inner + k])),
    ),
    daylight: allDaysEdges(anyLag, { aligned, record: world.record, seed })!.edges,
  };
  const edges = (estimand: Estimand): readonly EdgeFound[] =>
    world.edges.map((_, k) => {
      const truth = trueEdge(world, { k, lag, estimand });
      const { median, i80, i95 } = stated[estimand][k];
      const within = ([low, high]: Interval): boolean => truth >= low! && truth <= high!;
      return {
        in80: within(i80),
        in95: within(i95),
        error: median - truth,
        width80: i80[1]! - i80[0]!,
        below80: truth < i80[0]!,
      };
    });
  const left = leaveFloodOut(fit, aligned);
  const view = laterLeftOut(
    {
      later: { timesMs: world.laterMs, classIndex: Int32Array.from(world.laterMs, (t) => classAt(world, t)) },
      odds: laterOdds(fit, { ...world, timesMs: world.laterMs }),
      flood: floodOfVisits(world.record, world.laterMs),
    },
    { logged: classFrequencies(verdictCases(aligned)), classes: inner + 1 },
  );
  const skill = (of: LeftOut): number => skillOf(of, { seed })?.againstFrequencies.value ?? NaN;
  const higher = (of: LeftOut): number => confusionOf(of).seenHigher.value ?? NaN;
  return {
    edges: { daylight: edges('daylight'), asDrawn: edges('asDrawn') },
    skill: { stated: skill(left), met: skill(view) },
    higher: { stated: higher(left), odds: oddsOfHigher(view), met: higher(view) },
    mismatch: quantile(fit.draws.mismatch, 0.5),
    grade: gradeWays(aligned, { ways: waysOfReading(aligned, fits, { seed }) }).grade,
  };
}

/** Odds of a class above the likeliest, averaged over the cases by weight. */
function oddsOfHigher({ cases, probability }: LeftOut): number {
  const K = cases.classes;
  let sum = 0;
  cases.weight.forEach((weight, c) => {
    const row = probability.subarray(c * K, (c + 1) * K);
    const likeliest = row.indexOf(row.reduce((a, b) => Math.max(a, b)));
    sum += weight * row.subarray(likeliest + 1).reduce((a, b) => a + b, 0);
  });
  return sum / cases.weight.reduce((a, b) => a + b, 0);
}

/** How often intervals hold, and what is stated comes, in `creeks` realistic worlds of one number of visits. */
export function tallyRealistic(
  creeks: number,
  { visits, firstSeed, onCreek }: { visits: number; firstSeed: number; onCreek?: (done: number) => void },
) {
  const all = Array.from({ length: creeks }, (_, i) => {
    const found = foundOf(visits, firstSeed + i);
    onCreek?.(i + 1);
    return found;
  }).filter((found) => found !== null);
  const mean = (of: (found: Found) => number): number => all.reduce((sum, found) => sum + of(found), 0) / all.length;
  const perEdge = (estimand: Estimand, of: (edge: EdgeFound) => number): readonly number[] =>
    Array.from({ length: 4 }, (_, k) => mean(({ edges }) => of(edges[estimand][k])));
  return {
    visits,
    creeks,
    charts: all.length,
    edges: Object.fromEntries(
      ESTIMANDS.map((estimand) => [
        estimand,
        {
          in80: perEdge(estimand, ({ in80 }) => Number(in80)),
          in95: perEdge(estimand, ({ in95 }) => Number(in95)),
          error: perEdge(estimand, ({ error }) => error),
          highestUnsafe: perEdge(estimand, ({ below80 }) => Number(below80))[3],
        },
      ]),
    ),
    width80: perEdge('asDrawn', ({ width80 }) => width80),
    skill: { stated: mean(({ skill }) => skill.stated), met: mean(({ skill }) => skill.met) },
    higher: {
      stated: mean(({ higher }) => higher.stated),
      odds: mean(({ higher }) => higher.odds),
      met: mean(({ higher }) => higher.met),
    },
    grades: gradesMet(all),
    mismatch: [0.1, 0.5, 0.9].map((p) =>
      quantile(
        Float64Array.from(all, ({ mismatch }) => mismatch),
        p,
      ),
    ),
  };
}

/** What each grade asks of the skill, and asks its 80 % interval to lie above. */
const ASKED: Readonly<Partial<Record<Grade, readonly [skill: number, low: number]>>> = {
  'rough guide': [0.15, 0],
  'fair guide': [0.4, 0.2],
  'good guide': [0.6, 0.4],
};
/** The skill that makes a refusal a loss. */
const FAIR = 0.4;

/** For each grade given: how many charts, the skill met on later days, and the shares that met what the grade asks and its low end. */
function gradesMet(all: readonly Found[]) {
  return GRADES.flatMap((grade) => {
    const met = all.filter((found) => found.grade === grade).map(({ skill }) => skill.met);
    if (met.length === 0) return [];
    const share = (least: number) => met.filter((skill) => skill >= least).length / met.length;
    const asked = ASKED[grade];
    return {
      grade,
      charts: met.length,
      met: met.reduce((sum, skill) => sum + skill, 0) / met.length,
      ...(asked === undefined
        ? { wouldBeFair: share(FAIR) }
        : { metAsked: share(asked[0]), metLowEnd: share(asked[1]) }),
    };
  });
}
