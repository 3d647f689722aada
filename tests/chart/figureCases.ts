import { biasFigure } from '../../src/chart/figures/biasFigure.js';
import { ccfFigure } from '../../src/chart/figures/ccfFigure.js';
import { confidenceFigure } from '../../src/chart/figures/confidenceFigure.js';
import { coverageFigure } from '../../src/chart/figures/coverageFigure.js';
import type { Outlook } from '../../src/chart/day/outlook.js';
import type { OutlookSkill } from '../../src/chart/day/outlookSkill.js';
import type { Season } from '../../src/chart/day/season.js';
import type { Figure } from '../../src/chart/figures/figure.js';
import { gaugeScale } from '../../src/chart/figures/gaugeScale.js';
import { hydrographFigure } from '../../src/chart/figures/hydrographFigure.js';
import { intervalFigure } from '../../src/chart/figures/intervalFigure.js';
import { lagFigure } from '../../src/chart/figures/lagFigure.js';
import { leadCurveFigure } from '../../src/chart/figures/leadCurveFigure.js';
import { loggerFigure } from '../../src/chart/figures/loggerFigure.js';
import { nextLookFigure } from '../../src/chart/figures/nextLookFigure.js';
import { oddsFigure } from '../../src/chart/figures/oddsFigure.js';
import { outlookFigure } from '../../src/chart/figures/outlookFigure.js';
import { outlookSkillFigure } from '../../src/chart/figures/outlookSkillFigure.js';
import { rangeFigure } from '../../src/chart/figures/rangeFigure.js';
import { rankingFigure } from '../../src/chart/figures/rankingFigure.js';
import { reliabilityFigure } from '../../src/chart/figures/reliabilityFigure.js';
import { residualsFigure } from '../../src/chart/figures/residualsFigure.js';
import { ruleFrontierFigure } from '../../src/chart/figures/ruleFrontierFigure.js';
import { seasonFigure } from '../../src/chart/figures/seasonFigure.js';
import { skillFigure } from '../../src/chart/figures/skillFigure.js';
import { staffFigure } from '../../src/chart/figures/staffFigure.js';
import { staffRatingFigure } from '../../src/chart/figures/staffRatingFigure.js';
import { surfaceFigure } from '../../src/chart/figures/surfaceFigure.js';
import type { CreekInput } from '../../src/read/types.js';
import type { Visit } from '../../src/series/visits.js';
import { fixtureChart } from '../show/fixtureChart.js';
import { fixtureGauges } from '../show/fixtureGauges.js';
import { fixtureJudgement } from '../show/fixtureTrust.js';

/** The data as they are, with every interval wider, and with every name as long as people make them. */
export type Form = 'plain' | 'wider' | 'long';

/** One exported figure function with data to draw. */
export interface FigureCase {
  readonly name: string;
  /** The figure of a form of the data. */
  readonly draw: (form: Form) => Figure;
  /** Why nothing uncertain is drawn. */
  readonly certain?: string;
  /** Why there is a legend and not a label at each thing. */
  readonly legend?: string;
  /** Whether its x axis is the scale of the fixture's first gauge. */
  readonly gaugeAxis?: boolean;
}

/** Keys that hold the ends of intervals, one by one or as pairs. */
const ENDS = /(?:80|95|Right80)$/;
const BY = 0.013;

/** The same data with every interval wider: pairs move their ends apart, lists named low or high move by a little. */
export function wider<T>(value: T, key = ''): T {
  if (Array.isArray(value)) {
    const pair = value.length === 2 && value.every((end) => typeof end === 'number' || end === null);
    if (ENDS.test(key) && pair) {
      const [low, high] = value as [number | null, number | null];
      const by = Math.max(BY, 0.1 * Math.abs((high ?? 0) - (low ?? 0)));
      return [low === null ? null : low - by, high === null ? null : high + by] as T;
    }
    if (ENDS.test(key) && value.every((end) => typeof end === 'number' || end === null)) {
      const by = key.startsWith('low') ? -BY : BY;
      return value.map((end: number | null) => (end === null ? null : end + by)) as T;
    }
    return value.map((item: unknown) => wider(item, key)) as T;
  }
  if (key === 'band' && typeof value === 'number') return (value * 1.2) as T;
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, wider(inner, name)])) as T;
}

const LONG: Readonly<Record<string, string>> = {
  'too low': 'nothing but gravel showing',
  'too high': 'brown, fast & in the alders <!>',
  'Upper Ombrel': 'Upper Ombrel from the old sawmill weir down to the second footbridge below the chapel',
  'Ombrel River at Low Bridge': 'Ombrel River at Low Bridge, right bank, below the confluence with the Garn',
  'Painted staff': 'Painted staff on the left pier of the second footbridge',
  Tilde: 'Tilde who runs it at any level, always',
};

/** The same data with long words for classes, places and people, and with ten times as many observers and gauges. */
export function longer<T>(value: T): T {
  if (typeof value === 'string') return (LONG[value] ?? value) as T;
  if (Array.isArray(value)) return value.map((item: unknown) => longer(item)) as T;
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, inner]) => [name, MANY.has(name) ? times10(longer(inner)) : longer(inner)]),
  ) as T;
}

const MANY: ReadonlySet<string> = new Set(['observers', 'warning', 'confirming']);

function times10(list: unknown): unknown {
  if (Array.isArray(list)) return Array.from({ length: 10 }, () => list as unknown[]).flat();
  const { rows } = list as { rows?: readonly unknown[] };
  return rows === undefined ? list : { ...(list as object), rows: times10(rows) };
}

/** Small and whole: a creek, its judgement and its gauges in one form, made once. */
function worldOf(change: <T>(value: T) => T) {
  const chart = change(fixtureChart());
  const run = chart.runs[0]!;
  const gauge = run.gauges[0]!;
  const gauges = change(fixtureGauges()).runs[0]!;
  return { chart, run, gauge, gauges, judged: change(fixtureJudgement(run, gauge)) };
}

const worlds = { plain: worldOf((value) => value), wider: worldOf(wider), long: worldOf(longer) } as const;
type World = (typeof worlds)['plain'];
const timeZone = worlds.plain.chart.creek.timeZone;
const scale = gaugeScale(
  worlds.plain.chart.runs.flatMap(({ gauges }) =>
    gauges.filter(({ gauge }) => gauge.id === worlds.plain.gauge.gauge.id),
  ),
);
export const firstGauge = worlds.plain.gauge;
export const firstScale = scale;

/** Days to come and the year of the fixture's first run, by hand. */
function dayOf({ run, gauge }: World, form: Form) {
  const change = form === 'wider' ? wider : <T>(value: T) => value;
  const { classes } = run;
  const odds = classes.map(() => 1 / classes.length);
  const middle = Math.sqrt(gauge.level!.seen.from * gauge.level!.seen.to);
  const steps = [0, 6, 24, 72].map((hours) => ({
    hours,
    odds,
    notSeen: { below: 0, above: 0 },
    reading: { value: middle, i80: [middle / (1 + hours / 40), middle * (1 + hours / 40)] as const },
  }));
  const outlook: Outlook = {
    kind: 'outlook',
    classes,
    fromMs: Date.UTC(2024, 4, 4),
    like: 60,
    steps,
    falls: [],
    forecast: null,
    why: null,
  };
  const gain = (value: number) => ({ value, i80: [value - 0.1, value + 0.1] as const });
  const leads = [6, 24, 72].map((hours) => ({
    hours,
    moments: 80,
    rps: { outlook: 0.1, persistence: 0.12, season: 0.15 },
    againstPersistence: gain(0.2),
    againstSeason: gain(0.5 - hours / 150),
    good: {
      bins: [],
      brier: 0.1,
      reliability: 0.01,
      resolution: 0.1,
      uncertainty: 0.2,
    } as unknown as OutlookSkill['leads'][number]['good'],
  }));
  const months = Array.from({ length: 12 }, (_, month) => ({
    days: 60,
    share: odds.map((p, k) => 0.9 * p + [-0.005, 0, 0.005, 0, 0][k]! * month),
    below: 0.05,
    above: 0.05,
  }));
  const season: Season = {
    kind: 'season',
    classes,
    good: ['good'],
    months,
    goodDays: null,
    mostly: [],
    longestGood: null,
  };
  const skill: OutlookSkill = { kind: 'outlook-skill', leads, usefulHours: 24 };
  return { outlook: change(outlook), skill: change(skill), season };
}

/** The log of the fixture's first run as it would be read. */
function logOf({ run, gauge }: World): CreekInput {
  const visits = gauge.visits.map((mark): Visit => ({
    id: mark.visit,
    run: run.id,
    timeMs: mark.timeMs,
    sightings:
      mark.classIndex < 0 ? [] : [{ feature: 'verdict', classIndex: mark.classIndex } as Visit['sightings'][number]],
  }));
  const creek = { timeZone, runs: [{ id: run.id, name: run.name, classes: run.classes, features: [] }] };
  return { creek, visits } as unknown as CreekInput;
}

function from(
  name: string,
  draw: (world: World, form: Form) => Figure | undefined,
  more: Partial<FigureCase> = {},
): FigureCase {
  return {
    name,
    draw: (form) => {
      const figure = draw(worlds[form], form);
      if (figure === undefined) throw new Error(`${name} has nothing to draw of the fixture`);
      return figure;
    },
    ...more,
  };
}

const gaugeAxis = true;

export const FIGURE_CASES: readonly FigureCase[] = [
  from('biasFigure', ({ judged }) => biasFigure(judged.observers)),
  from('ccfFigure', ({ gauges }) => ccfFigure(gauges.loggers[0]!.gauges[0]!.ccf!)),
  from('confidenceFigure', ({ gauge }) => confidenceFigure(gauge, { scale }), { gaugeAxis }),
  from('coverageFigure', (world) => coverageFigure(logOf(world), { run: 'upper' }), {
    certain: 'it counts visits',
    legend: 'every class stands in every month: a label in each piece of each bar has no room',
  }),
  from('hydrographFigure', ({ gauge, run }) => hydrographFigure(gauge, { scale, classes: run.classes, timeZone }), {
    certain: 'it shows the record and the visits as they were logged',
    legend: 'marks of all classes lie scattered over the record',
  }),
  from(
    'intervalFigure',
    ({ gauge }) =>
      intervalFigure(
        gauge
          .level!.edges.filter(({ feature }) => feature === 'verdict')
          .map(({ between, median, i80, i95 }) => ({ label: between.join(' / '), median, i80, i95 })),
        { title: 'Edges', axis: `effective reading of ${gauge.gauge.name}, ft³/s`, scale },
      ),
    { gaugeAxis },
  ),
  from('lagFigure', ({ gauge }) => lagFigure(gauge)),
  from('leadCurveFigure', ({ judged }) => leadCurveFigure(judged.leadCurve!)),
  from('loggerFigure', ({ gauges }) => loggerFigure(gauges.loggers[0]!.gauges[0]!, { logger: gauges.loggers[0]! })),
  from('nextLookFigure', ({ gauge, judged }) => nextLookFigure(gauge, { nextLook: judged.nextLook!, scale }), {
    gaugeAxis,
  }),
  from('oddsFigure', ({ gauge }) => oddsFigure(gauge, { scale, timeZone }), { gaugeAxis }),
  from('outlookFigure', (world, form) =>
    outlookFigure(dayOf(world, form).outlook, world.gauge, { kind: scale.kind, timeZone }),
  ),
  from('outlookSkillFigure', (world, form) => outlookSkillFigure(dayOf(world, form).skill)),
  from('rangeFigure', ({ chart }) => rangeFigure(chart, { gauge: firstGauge.gauge.id }), { gaugeAxis }),
  from('rankingFigure', ({ gauges }) => rankingFigure(gauges.ranking!)),
  from('reliabilityFigure', ({ judged }) => reliabilityFigure(judged.scores!.reliability)),
  from('residualsFigure', ({ judged }) => residualsFigure(judged.shift, { timeZone })),
  from('ruleFrontierFigure', ({ judged }) => ruleFrontierFigure(judged.rules!, { unit: judged.unit })),
  from('seasonFigure', (world, form) => seasonFigure(dayOf(world, form).season, { run: world.run.name }), {
    certain: 'it counts days',
    legend: 'every class stands in every month: a label in each piece of each bar has no room',
  }),
  from('skillFigure', ({ judged }) => skillFigure(judged.scores!)),
  from('staffFigure', ({ gauges }) => staffFigure(gauges.staffs[0]!), {
    certain: 'it shows readings as they were logged',
  }),
  from(
    'staffRatingFigure',
    ({ gauges }) => staffRatingFigure(gauges.staffs[0]!.gauges[0]!, { ...gauges.staffs[0]!, scale }),
    { gaugeAxis },
  ),
  from('surfaceFigure', ({ gauge }) => surfaceFigure(gauge), { certain: 'it is the posterior itself, cell by cell' }),
];
