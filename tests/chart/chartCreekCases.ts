import { creekChart } from '../../src/chart/creekChart.js';
import { fitPair, planFits, type FittedCreek } from '../../src/chart/fitCreek.js';
import type { ChartOptions } from '../../src/chart/fitCreek.js';
import type { CreekChart, Interval, LevelChart } from '../../src/chart/types.js';
import type { CreekInput } from '../../src/read/types.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import type { Sighting, Visit } from '../../src/series/visits.js';
import { FROM, HOUR } from '../align/makeRecord.js';
import { makeWorld, type World, type WorldOptions } from '../fit/world.js';

/** Small grids and few draws: these tests look at what is said, not at its third digit. */
export const QUICK: ChartOptions = {
  draws: 200,
  seed: 1,
  lagHours: { min: -1, max: 7 },
  storageHours: { min: -3, max: 3 },
};

export function inputOf(world: Pick<World, 'creek' | 'visits' | 'record'>, over: Partial<CreekInput> = {}): CreekInput {
  const { creek, visits, record } = world;
  return {
    kind: 'creek-input',
    creek,
    visits,
    records: [record],
    issues: [],
    files: [{ name: 'visits.csv', sha256: '0'.repeat(64), bytes: 1234 }],
    counts: {
      sightingRows: visits.length,
      sightingsUsed: visits.length,
      gaugeRows: record.values.length,
      gaugeValuesUsed: record.values.length,
    },
    ...over,
  };
}

/** A world with its visits changed one by one. */
export function withVisits(world: World, change: (visit: Visit, index: number) => Visit): World {
  return { ...world, visits: world.visits.map(change) };
}

/** Every sighting of a visit changed. */
export function withSightings(visit: Visit, change: (s: Sighting) => Partial<Sighting>): Visit {
  return { ...visit, sightings: visit.sightings.map((s) => ({ ...s, ...change(s) })) };
}

export function withRecord(world: World, change: Partial<GaugeRecord>): World {
  return { ...world, record: { ...world.record, ...change } };
}

/** Creeks at the edges of what a log can be, and the status with which the single reading must end. */
export const EDGE_CASES: readonly {
  readonly name: string;
  readonly world: () => World;
  readonly status: string;
  readonly options?: ChartOptions;
}[] = (() => {
  const make = (options: WorldOptions) => makeWorld({ seed: 31, ...options });
  const nineWords = Array.from({ length: 9 }, (_, k) => `word ${k + 1}`);
  const nineEdges = Array.from({ length: 8 }, (_, k) => -1.2 + 0.35 * k);
  return [
    { name: '8 visits', world: () => make({ visits: 8 }), status: 'separated' },
    { name: '8 visits, two features', world: () => make({ visits: 8, ledge: true, staff: true }), status: 'converged' },
    {
      name: 'a class nobody saw',
      world: () =>
        withVisits(make({ visits: 20 }), (v) =>
          withSightings(v, (s) => ({ classIndex: s.classIndex === 2 ? 3 : s.classIndex })),
        ),
      status: 'converged',
    },
    {
      name: 'only one class seen',
      world: () => withVisits(make({ visits: 12 }), (v) => withSightings(v, () => ({ classIndex: 2 }))),
      status: 'converged',
    },
    {
      name: 'classes that do not overlap',
      world: () => make({ visits: 14, mismatch: 0, blur: 1e-9, lagHours: 0 }),
      status: 'separated',
      options: { ...QUICK, lagHours: { min: 0, max: 0 }, storageHours: { min: 0, max: 0 } },
    },
    { name: 'one feature, one observer', world: () => make({ visits: 20, observers: 1 }), status: 'converged' },
    {
      name: 'all visits in one flood',
      world: () => {
        const world = make({ visits: 12, days: 30 });
        const start = world.record.timesMs[0] + 300 * HOUR;
        return withVisits(world, (v, i) => {
          const timeMs = start + i * 2 * HOUR;
          return { ...withSightings(v, () => ({ timeMs })), timeMs };
        });
      },
      status: 'converged',
    },
    {
      name: 'a gauge that never moves',
      world: () => {
        const world = make({ visits: 20 });
        return withRecord(world, { values: world.record.values.map(() => 4.2) });
      },
      status: 'constant-gauge',
    },
    {
      name: 'a gauge that hardly moves',
      world: () => {
        const world = make({ visits: 20 });
        return withRecord(world, { values: world.record.values.map((v) => 4.2 + 1e-6 * v) });
      },
      status: 'converged',
    },
    { name: 'one visit', world: () => make({ visits: 1 }), status: 'too-few-rows' },
    { name: 'no visit', world: () => make({ visits: 0 }), status: 'too-few-rows' },
    {
      name: 'readings of zero and below',
      world: () => {
        const world = make({ visits: 30 });
        return withRecord(world, { values: world.record.values.map((v, t) => (t % 400 < 40 ? -((t % 3) - 1) : v)) });
      },
      status: 'converged',
    },
    {
      name: 'logit',
      world: () => make({ visits: 20, ledge: true }),
      status: 'converged',
      options: { ...QUICK, link: 'logit' },
    },
    {
      name: 'two hours ahead',
      world: () => make({ visits: 20 }),
      status: 'converged',
      options: { ...QUICK, leadHours: 2 },
    },
    {
      name: 'six hours ahead',
      world: () => make({ visits: 20 }),
      status: 'converged',
      options: { ...QUICK, leadHours: 6 },
    },
    {
      name: 'twelve hours ahead',
      world: () => make({ visits: 20 }),
      status: 'converged',
      options: { ...QUICK, lagHours: { min: -4, max: 14 }, leadHours: 12 },
    },
    {
      name: 'nine classes',
      world: () => make({ visits: 25, classes: nineWords, edges: nineEdges }),
      status: 'converged',
    },
    {
      name: 'two classes',
      world: () => make({ visits: 20, classes: ['no', 'yes'], edges: [0.1] }),
      status: 'separated',
    },
    {
      name: 'half of the visits outside the record',
      world: () =>
        withVisits(make({ visits: 24 }), (v, i) => {
          if (i % 2 === 0) return v;
          const timeMs = FROM - (i + 1) * 24 * HOUR;
          return { ...withSightings(v, () => ({ timeMs })), timeMs };
        }),
      status: 'separated',
    },
    {
      name: 'no visit inside the record',
      world: () =>
        withVisits(make({ visits: 6 }), (v, i) => {
          const timeMs = FROM - (i + 1) * 24 * HOUR;
          return { ...withSightings(v, () => ({ timeMs })), timeMs };
        }),
      status: 'too-few-rows',
    },
    {
      name: 'times give or take three hours',
      world: () => make({ visits: 20, giveOrTakeMin: 180 }),
      status: 'converged',
    },
    {
      name: 'a stage 312 m above its datum',
      world: () => {
        const world = make({ visits: 30, ledge: true });
        const top = Math.max(...world.record.values);
        return withRecord(world, {
          parameter: 'stage',
          unit: 'm',
          values: world.record.values.map((v) => 312.4 + 0.7 * Math.sqrt(v / top)),
        });
      },
      status: 'converged',
    },
    {
      name: 'no verdict, only a ledge',
      world: () =>
        withVisits(make({ visits: 20, ledge: true }), (v) => ({
          ...v,
          sightings: v.sightings.filter((s) => s.feature === 'ledge'),
        })),
      status: 'nothing-to-score',
    },
    {
      name: 'no verdict, only a staff',
      world: () =>
        withVisits(make({ visits: 20, staff: true }), (v) => ({
          ...v,
          sightings: v.sightings.filter((s) => s.feature === 'staff'),
        })),
      status: 'nothing-to-score',
    },
    {
      name: 'a staff that always reads the same',
      world: () =>
        withVisits(make({ visits: 20, staff: true }), (v) =>
          withSightings(v, (s) => (s.feature === 'staff' ? { value: 40 } : {})),
        ),
      status: 'converged',
    },
    {
      name: 'gaps all over the record',
      world: () => {
        const world = make({ visits: 30 });
        return withRecord(world, { values: world.record.values.map((v, t) => (t % 30 < 8 ? NaN : v)) });
      },
      status: 'converged',
    },
    {
      name: 'verdicts against the gauge',
      world: () => withVisits(make({ visits: 25 }), (v) => withSightings(v, (s) => ({ classIndex: 4 - s.classIndex }))),
      status: 'converged',
    },
  ];
})();

/** Paths of every number in a chart that is not finite. */
export function notFinite(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${path}: ${value}`];
  if (typeof value !== 'object' || value === null) return value === undefined ? [`${path}: undefined`] : [];
  return Object.entries(value).flatMap(([key, inner]) => notFinite(inner, `${path}/${key}`));
}

/** What is dishonest about a chart: intervals out of order, odds that don't sum to 1, edges that cross. Empty when all is well. */
export function complaints(chart: CreekChart): string[] {
  const out = notFinite(chart);
  const within = (what: string, inner: Interval, outer: Interval, median?: number) => {
    const chain = [outer[0], inner[0], median ?? null, inner[1], outer[1]].filter((v) => v !== null);
    if (chain.some((v, i) => i > 0 && v < chain[i - 1] - 1e-9)) out.push(`${what}: ${chain.join(' ')} is out of order`);
  };
  const sumsToOne = (what: string, p: readonly number[]) => {
    const total = p.reduce((a, b) => a + b, 0);
    if (p.some((v) => !(v >= 0 && v <= 1 + 1e-9)) || !(Math.abs(total - 1) < 1e-9))
      out.push(`${what}: sums to ${total}`);
  };
  const level = (at: string, c: LevelChart) => {
    c.odds.probability.forEach((row, v) => sumsToOne(`${at} odds ${v}`, row));
    for (const e of [...c.edges, c.mismatch, ...c.blur, ...c.observers])
      within(`${at} estimate`, e.i80, e.i95, e.median);
    if (!(c.reading.lagHours >= c.leadHours)) out.push(`${at}: lag ${c.reading.lagHours} under the lead`);
    if (!(c.seen.from <= c.seen.to)) out.push(`${at}: seen from ${c.seen.from} to ${c.seen.to}`);
    c.edges.forEach((e, k) => {
      const next = c.edges[k + 1];
      if (next?.feature === e.feature && !(e.median < next.median)) out.push(`${at}: edges ${k} and ${k + 1} cross`);
    });
    for (const r of c.sureRanges) {
      if (r.empty !== (r.from === null)) out.push(`${at} ${r.class}: empty ${r.empty} but from ${r.from}`);
      if (r.from !== null && r.to !== null && r.from > r.to) out.push(`${at} ${r.class}: ${r.from} to ${r.to}`);
      if (r.says === '') out.push(`${at} ${r.class}: says nothing`);
    }
    if (c.howToRead === '') out.push(`${at}: no way to read`);
  };
  for (const run of chart.runs)
    for (const g of run.gauges) {
      const at = `${run.id}/${g.gauge.id}`;
      if (g.level) level(at, g.level);
      if (g.trust.reasons.length === 0) out.push(`${at}: a grade without a reason`);
      if (g.level) {
        within(`${at} lag`, g.lag.i80, g.lag.i95, g.lag.median);
        within(`${at} storage`, g.storage.i80, g.storage.i95, g.storage.median);
        sumsToOne(`${at} surface`, g.surface.probability.flat());
        sumsToOne(`${at} storage`, g.storage.probability);
        sumsToOne(`${at} any lag`, g.lag.probability);
      }
      if (g.lag.sentence === '') out.push(`${at}: no sentence about the lag`);
    }
  return out;
}

/** A creek fitted and judged by weights, here and now. */
export function fittedNow(input: CreekInput, options: ChartOptions = {}): FittedCreek {
  const { runs, records, plan } = planFits(input, options);
  const { creek, pairs, options: own } = plan.context;
  const relations = plan.tasks.map((task) => ({ ...pairs[task.at]!, ...fitPair(plan.context, task) }));
  return { kind: 'fitted-creek', creek, input, runs, records, relations, options: own };
}

/** Its chart: what `chartCreek` shows first. */
export function chartNow(input: CreekInput, options: ChartOptions = {}): CreekChart {
  return creekChart(fittedNow(input, options));
}
