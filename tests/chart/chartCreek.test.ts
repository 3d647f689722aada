import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { chartCreek } from '../../src/chart/chartCreek.js';
import { fitCreek } from '../../src/chart/fitCreek.js';
import { notUsedIssues, unmatchedIssues } from '../../src/chart/notUsed.js';
import type { CreekChart } from '../../src/chart/types.js';
import { GRADES } from '../../src/judge/grade.js';
import { createRandom } from '../../src/kernel/random.js';
import { readCreek } from '../../src/read/readCreek.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import type { Run } from '../../src/series/creek.js';
import type { Issue } from '../../src/series/issue.js';
import { VERSION } from '../../src/series/version.js';
import { stableJson } from '../../src/show/write/stableJson.js';
import { DAY, FROM, HOUR } from '../align/makeRecord.js';
import { expectClose } from '../expectClose.js';
import { makeWorld } from '../fit/world.js';
import {
  chartNow,
  complaints,
  EDGE_CASES,
  fittedNow,
  inputOf,
  notFinite,
  QUICK,
  withRecord,
  withSightings,
  withVisits,
} from './chartCreekCases.js';

const only = (chart: CreekChart) => chart.runs[0].gauges[0];
const edgeCharts = new Map<string, CreekChart>();
/** The chart of an edge case, made once. */
function edgeChart(name: string): CreekChart {
  const { world: made, options = QUICK } = EDGE_CASES.find((c) => c.name === name)!;
  if (!edgeCharts.has(name)) edgeCharts.set(name, chartNow(inputOf(made()), options));
  return edgeCharts.get(name)!;
}
const world = makeWorld({ seed: 41, visits: 24, ledge: true });
const input = inputOf(world);
const chart = chartNow(input, QUICK);
/** The same with a painted staff, whose rating costs as much again. */
const staffed = inputOf(makeWorld({ seed: 41, visits: 24, ledge: true, staff: true }));
const withStaff = chartNow(staffed, QUICK);

describe('chartCreek: finite and honest at the edges', () => {
  it.each(EDGE_CASES)('$name: $status', ({ name, status, options = QUICK }) => {
    const edge = edgeChart(name);
    const { level, trust, lag, storage, surface, confirmEdges } = only(edge);
    expect(complaints(edge).filter((c) => !/(lag|storage)\/(median|i80|i95)|VisitMs/.test(c))).toEqual([]);
    if (status === 'too-few-rows' || status === 'constant-gauge') {
      // Nothing was fitted: nothing is shown, and what has no value is null in the file.
      expect([level, confirmEdges]).toEqual([undefined, []]);
      expect(trust.grade).toBe('too thin');
      expect(lag.sentence).toBe('The lag is unknown.');
      expect([...lag.probability, ...storage.probability, ...surface.probability.flat()].every((p) => p === 0)).toBe(
        true,
      );
    } else if (status === 'nothing-to-score') {
      // Without a single verdict there is nothing to hold a way of reading to, and no level is given.
      expect(level).toBeUndefined();
      expect(trust.grade).toBe('too thin');
    } else {
      expect(level!.status).toBe(status);
      expect(notFinite(edge)).toEqual([]);
      expect(level!.leadHours).toBe(options.leadHours ?? 0);
    }
    expect(JSON.parse(stableJson(edge))).toMatchObject({ kind: 'creek-chart', schema: 1 });
    expect(stableJson(edge)).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('a class nobody saw keeps its place, and its edges are said to come from one side at most', () => {
    const { level, trust } = only(edgeChart('only one class seen'));
    expect(level!.edges.map((e) => e.seenBothSides)).toEqual([false, false, false, false]);
    expect(trust.grade).toBe('too thin');
  });

  it('a gauge read backwards, or one that hardly moves, is no usable relation', () => {
    for (const name of ['verdicts against the gauge', 'a gauge that hardly moves'])
      expect(only(edgeChart(name)).trust.grade).toBe('no usable relation');
  });

  it('the datum of a stage gauge is no matter: 312 m above it, the same grade and the same edges in metres', () => {
    const top = Math.max(...world.record.values);
    const stage = (offset: number) =>
      only(
        chartNow(
          inputOf(
            withRecord(world, {
              parameter: 'stage',
              unit: 'm',
              values: world.record.values.map((v) => offset + 0.9 * Math.sqrt(v / top)),
            }),
          ),
          QUICK,
        ),
      );
    const [near, far] = [stage(0.4), stage(312.4)];
    expect([far.trust.grade, far.level!.status]).toEqual([near.trust.grade, near.level!.status]);
    near.level!.edges.forEach((e, k) => {
      const width = e.i80[1]! - e.i80[0]!;
      expectClose(far.level!.edges[k].median - 312, e.median, { abs: 0.5 * width, why: `edge ${k}` });
      const there = far.level!.edges[k].i80;
      expectClose(there[1]! - there[0]!, width, { rel: 0.6, why: `width of edge ${k}` });
    });
    expect(far.visits.map((v) => v.limb)).toEqual(only(chart).visits.map((v) => v.limb));
  });
});

describe('chartCreek: what it carries', () => {
  it('is frozen all the way down, finite, with cautions', () => {
    expect([...complaints(chart), ...complaints(withStaff)]).toEqual([]);
    expect(chart.cautions).toEqual(CAUTIONS);
    expect(Object.isFrozen(chart) && Object.isFrozen(only(chart).level!.odds.probability[3])).toBe(true);
    expect(() => {
      (chart.runs as unknown[]).push(1);
    }).toThrow(TypeError);
  });

  it('records seed, options, files, approval and version', () => {
    const { provenance } = chartNow(input, { ...QUICK, seed: 7, link: 'logit', leadHours: 1 });
    expect(provenance).toEqual({
      tool: 'sightstage',
      version: VERSION,
      seed: 7,
      options: {
        leadHours: 1,
        link: 'logit',
        draws: 200,
        lagMinHours: -1,
        lagMaxHours: 7,
        storageMinHours: expect.any(Number) as number,
        storageMaxHours: expect.any(Number) as number,
      },
      files: input.files,
      approval: [{ gauge: 'weir', approved: world.record.values.length, provisional: 0, unknown: 0 }],
    });
    const { storageMinHours, storageMaxHours } = provenance.options as Record<string, number>;
    expect(storageMinHours).toBeGreaterThanOrEqual(-3);
    expect(storageMaxHours).toBeLessThanOrEqual(3);
  });

  it('takes the creek’s bounds where the options give none, and the options’ where they do', () => {
    const bounded = {
      ...input,
      creek: { ...world.creek, lagHours: { min: 0, max: 4 }, storageHours: { min: 0, max: 0 } },
    };
    const rest = { draws: 200, seed: 1 };
    const own = chartNow(bounded, rest).provenance.options;
    expect([own.lagMinHours, own.lagMaxHours, own.storageMinHours, own.storageMaxHours]).toEqual([0, 4, 0, 0]);
    const asked = chartNow(bounded, { ...rest, lagHours: { min: 1, max: 2 } }).provenance.options;
    expect([asked.lagMinHours, asked.lagMaxHours]).toEqual([1, 2]);
  });

  it('describes runs and features as creek.json has them', () => {
    const [run] = withStaff.runs;
    expect([run.id, run.name, run.classes]).toEqual(['gorge', 'the gorge', world.run.classes]);
    expect(run.features).toEqual([
      { id: 'ledge', name: 'first ledge', classes: ['dry', 'wet', 'covered'] },
      { id: 'staff', name: 'painted staff', classes: [], unit: 'cm' },
    ]);
    expect(only(withStaff).gauge).toEqual({
      id: 'weir',
      name: 'the weir',
      parameter: 'discharge',
      unit: 'm3/s',
      otherUnit: 'ft3/s',
    });
    expect(only(withStaff).visits).toHaveLength(24);
    expect(only(withStaff).level!.ratings.map((r) => [r.feature, r.unit])).toEqual([['staff', 'cm']]);
  });

  it('refuses an input without a creek', async () => {
    await expect(chartCreek({ ...input, creek: undefined })).rejects.toThrow(
      new RangeError('chartCreek: creek.json could not be read; see the issues of the input'),
    );
  });

  it('refuses a lead beyond every lag', () => {
    expect(() => chartNow(input, { ...QUICK, leadHours: 24 })).toThrow(
      new RangeError('fitLevels: a lead of 24 h is longer than the largest lag of the grid, 7 h'),
    );
  });
});

describe('chartCreek: the same input gives the same bytes', () => {
  it('twice, and whatever the order of the visits', () => {
    expect(stableJson(chartNow(input, QUICK))).toBe(stableJson(chart));
    const turned = { ...staffed, visits: [...staffed.visits].reverse() };
    expect(stableJson(chartNow(turned, QUICK))).toBe(stableJson(withStaff));
  });

  it('another seed gives other draws and the same medians within their noise', () => {
    const other = chartNow(input, { ...QUICK, seed: 2 });
    expect(stableJson(other)).not.toBe(stableJson(chart));
    only(chart).level!.edges.forEach((e, k) => {
      const there = only(other).level!.edges[k];
      const spread = (e.i80[1]! - e.i80[0]!) / 2.56;
      expectClose(there.median, e.median, { abs: 0.5 * spread, why: `edge ${k}` });
    });
  });

  it('a chart of one run and gauge is the same alone and among others', () => {
    const second: Run = { ...world.run, id: 'gorge-2', name: 'second gorge' };
    const more = {
      ...input,
      creek: { ...world.creek, runs: [second, world.run] },
      records: [{ ...world.record, gauge: 'other', name: 'another weir' }, world.record],
    };
    const both = chartNow(more, { ...QUICK, runs: ['gorge'] });
    expect(both.runs.map((r) => r.id)).toEqual(['gorge']);
    // An outlook stands with the recommended gauge only, and of two that are one either may be it.
    const { ahead: _, ...alone } = only(chart);
    const { ahead: __, ...among } = both.runs[0].gauges.find((g) => g.gauge.id === 'weir')!;
    expect(among).toEqual(alone);
    const filtered = chartNow(more, { ...QUICK, runs: ['gorge'], gauges: ['weir'] });
    expect(filtered.runs[0]).toEqual(chart.runs[0]);
  });

  it('moving record and visits by whole years changes nothing but the times', () => {
    const by = 4 * 365.25 * DAY;
    const moved = chartNow(
      inputOf({
        ...withVisits(world, (v) => ({
          ...withSightings(v, (s) => ({ timeMs: s.timeMs + by })),
          timeMs: v.timeMs + by,
        })),
        record: { ...world.record, timesMs: world.record.timesMs.map((t) => t + by) },
      }),
      QUICK,
    );
    const bare = (c: CreekChart) => {
      const { level: timed, other, lag, storage, surface, trust } = only(c);
      const { sinceMs, nowMs, ...asOfToday } = timed!.asOfToday!;
      const level = { ...timed, asOfToday, ageMs: nowMs - sinceMs };
      return { level, other, lag, storage, surface, grade: trust.grade, classCounts: trust.evidence.classCounts };
    };
    expect(bare(moved)).toEqual(bare(chart));
    expect(only(moved).visits.map((v) => v.timeMs - by)).toEqual(only(chart).visits.map((v) => v.timeMs));
    expect(only(moved).trust.evidence.firstVisitMs! - by).toBe(only(chart).trust.evidence.firstVisitMs);
  });

  it('a gauge in other units has edges in other units and the same odds', () => {
    const factor = 3.2808;
    const other = chartNow(inputOf(withRecord(world, { values: world.record.values.map((v) => factor * v) })), QUICK);
    const [a, b] = [only(chart).level!, only(other).level!];
    a.edges.forEach((e, k) => expectClose(b.edges[k].median, factor * e.median, { rel: 1e-5, why: `edge ${k}` }));
    a.odds.probability.forEach((row, v) =>
      row.forEach((p, k) => expectClose(b.odds.probability[v][k], p, { abs: 1e-5, why: `odds ${v}, ${k}` })),
    );
    expect(b.howToRead).toBe(a.howToRead);
  });
});

describe('chartCreek: several gauges', () => {
  const still = { ...world.record, gauge: 'still', name: 'a still pond', values: world.record.values.map(() => 1) };
  const turned = {
    ...world.record,
    gauge: 'turned',
    name: 'turned round',
    values: world.record.values.map((v) => 1 / v),
  };

  it('puts the best gauge first, by grade and then by skill', () => {
    const { runs } = chartNow({ ...input, records: [still, turned, world.record] }, QUICK);
    const { gauges } = runs[0];
    expect(gauges.map((g) => g.gauge.id)).toEqual(['weir', 'turned', 'still']);
    const places = gauges.map((g) => GRADES.indexOf(g.trust.grade));
    expect(places).toEqual([...places].sort((a, b) => b - a));
    expect(places[0]).toBeGreaterThan(GRADES.indexOf('no usable relation'));
    expect(gauges.slice(1).map((g) => g.trust.grade)).toEqual(['no usable relation', 'too thin']);
  });

  it('puts the more skilful of two with the same grade first', () => {
    const random = createRandom(1);
    const worse = {
      ...world.record,
      gauge: 'worse',
      values: world.record.values.map((v) => v * Math.exp(0.15 * random.normal())),
    };
    const { gauges } = chartNow({ ...input, records: [worse, world.record] }, QUICK).runs[0];
    const skill = (g: (typeof gauges)[number]) => g.trust.skill!.againstFrequencies.value!;
    expect(new Set(gauges.map((g) => g.trust.grade)).size).toBe(1);
    expect(skill(gauges[0])).toBeGreaterThan(skill(gauges[1]));
  });

  it('reports its progress upwards to the number of pairs', async () => {
    const seen: { done: number; total: number; label: string }[] = [];
    const records = [still, world.record];
    const fitted = await fitCreek({ ...input, records }, { ...QUICK, onProgress: (p) => seen.push(p) });
    expect(seen).toEqual([
      { done: 1, total: 2, label: 'fitting: the gorge by a still pond' },
      { done: 2, total: 2, label: 'fitting: the gorge by the weir' },
    ]);
    expect(fitted).toEqual(fittedNow({ ...input, records }, QUICK));
  });

  it('makes a chart without gauges and without runs', () => {
    const none = chartNow({ ...input, records: [] }, QUICK);
    expect(none.runs.map((r) => r.gauges)).toEqual([[]]);
    expect(chartNow(input, { ...QUICK, runs: [] }).runs).toEqual([]);
  });
});

describe('chartCreek: rows not used', () => {
  const early = { ...world.visits[0], id: 'early', timeMs: FROM - 20 * DAY };
  const outside = withSightings(early, () => ({ timeMs: FROM - 20 * DAY }));
  const visits = [outside, ...world.visits];
  const issue = (code: Issue['code'], severity: Issue['severity'], count?: number): Issue => ({
    code,
    severity,
    file: 'visits.csv',
    found: 'x',
    expected: 'y',
    hint: 'z',
    ...(count === undefined ? {} : { count }),
  });

  it('counts by code what the reader refused and what found no reading; notes are no refusals', () => {
    const issues = [
      issue('class-unknown', 'warning'),
      issue('class-unknown', 'warning'),
      issue('value-refused', 'warning', 40),
      issue('time-ambiguous', 'note', 3),
    ];
    const { notUsed } = chartNow({ ...input, visits, issues }, QUICK);
    // The early visit has two sightings.
    expect(notUsed).toEqual([
      { code: 'class-unknown', rows: 2 },
      { code: 'unmatched', rows: 2 },
      { code: 'value-refused', rows: 40 },
    ]);
    expect(chart.notUsed).toEqual([]);
  });

  it('lists each unmatched sighting with its row and what it lacked', () => {
    const aligned = alignVisits({ creek: world.creek, run: world.run, record: world.record, visits });
    const [first, ...rest] = unmatchedIssues([aligned]);
    expect(first).toEqual({
      code: 'unmatched',
      severity: 'warning',
      file: 'visits.csv',
      row: outside.sightings[0].row,
      found: 'visit early',
      expected: 'a reading of gauge weir around its time',
      hint: 'Not used with this gauge: the record of gauge weir does not reach this time.',
    });
    expect(rest).toHaveLength(1);
  });

  it('notUsedIssues gives the same rows without fitting anything', () => {
    const refused = issue('class-unknown', 'warning');
    const all = notUsedIssues({ ...input, visits, issues: [refused] }, QUICK);
    expect(all.map((i) => i.code)).toEqual(['class-unknown', 'unmatched', 'unmatched']);
    expect(notUsedIssues({ ...input, visits, issues: [refused] }, { gauges: [] })).toEqual([refused]);
    expect(notUsedIssues({ ...input, creek: undefined, issues: [refused] })).toEqual([refused]);
  });
});

describe('chartCreek: a run that nobody gives verdicts', () => {
  it('takes its classes from a feature by verdictFrom, from the files to the chart', () => {
    const bytes = (text: string) => new TextEncoder().encode(text);
    const iso = (ms: number) => new Date(ms).toISOString();
    const creekJson = {
      schema: 1,
      name: 'Invented Creek',
      timeZone: 'UTC',
      runs: [
        {
          id: 'gorge',
          name: 'the gorge',
          classes: ['low', 'good', 'high'],
          features: [{ id: 'ledge', name: 'first ledge', classes: ['dry', 'wet', 'covered'] }],
          verdictFrom: { feature: 'ledge', classes: { dry: 'low', wet: 'good', covered: 'high' } },
        },
      ],
      gauges: [
        {
          id: 'weir',
          name: 'the weir',
          parameter: 'discharge',
          unit: 'm3/s',
          files: ['weir.csv'],
          format: 'delimited',
          columns: { time: 'time', value: 'flow' },
        },
      ],
    };
    const made = makeWorld({ seed: 5, visits: 20, ledge: true, days: 90 });
    const rows = made.visits.map((v, i) => {
      const { classIndex } = v.sightings.find((s) => s.feature === 'ledge')!;
      return `${iso(v.timeMs)},gorge,ledge,${['dry', 'wet', 'covered'][classIndex]},observer ${i % 7}`;
    });
    const readings = Array.from(made.record.values, (v, i) => `${iso(made.record.timesMs[i])},${v}`);
    const read = readCreek({
      creekJson: { name: 'creek.json', bytes: bytes(JSON.stringify(creekJson)) },
      visits: { name: 'visits.csv', bytes: bytes(`when,run,feature,saw,observer\n${rows.join('\n')}\n`) },
      gaugeFiles: [{ name: 'weir.csv', bytes: bytes(`time,flow\n${readings.join('\n')}\n`) }],
    });
    expect(read.issues.filter((i) => i.severity !== 'note')).toEqual([]);
    const [run] = chartNow(read, QUICK).runs;
    expect(run.verdictFrom).toBe('ledge');
    expect(run.gauges[0].level!.edges.map((e) => [e.feature, ...e.between])).toEqual([
      ['verdict', 'low', 'good'],
      ['verdict', 'good', 'high'],
    ]);
    // The ledge's edges in the world: -0.5 and 0.6 ln units around the mean.
    [-0.5, 0.6].forEach((edge, k) => {
      const { i95 } = run.gauges[0].level!.edges[k];
      const truth = Math.exp(edge + made.mean);
      expect(i95[0]!).toBeLessThan(truth);
      expect(i95[1]!).toBeGreaterThan(truth);
    });
    expect(run.gauges[0].trust.evidence.classCounts.reduce((a, b) => a + b, 0)).toBe(20);
  });
});

describe('chartCreek: the lead', () => {
  it('plans with lags from the lead on', () => {
    const late = chartNow(input, { ...QUICK, lagHours: { min: -1, max: 9 }, leadHours: 6 });
    expect(only(late).level!.reading.lagHours).toBeGreaterThanOrEqual(6);
  });

  it('never reads the gauge later than that: changed readings of the last six hours change nothing', () => {
    const apart = withVisits(makeWorld({ seed: 6, visits: 20, days: 150 }), (v, i) => {
      const timeMs = FROM + (100 + 150 * i) * HOUR;
      return { ...withSightings(v, () => ({ timeMs })), timeMs };
    });
    const values = apart.record.values.slice();
    for (const v of apart.visits) {
      const at = (v.timeMs - FROM) / HOUR;
      for (let t = at - 5; t <= at; t++) values[t] *= 3;
    }
    const options = { ...QUICK, leadHours: 6, storageHours: { min: 0, max: 0 } };
    const before = only(chartNow(inputOf(apart), { ...options, lagHours: { min: -2, max: 12 } }));
    const after = only(
      chartNow(inputOf(withRecord(apart, { values })), { ...options, lagHours: { min: -2, max: 12 } }),
    );
    expect(before.level!.status).toBe('converged');
    // Where the climb starts is chosen on the whole grid, so draws may differ; what they are drawn from may not.
    const [a, b] = [before.level!, after.level!];
    expect(b.seen).toEqual(a.seen);
    a.edges.forEach((e, k) => {
      const sd = (e.i80[1]! - e.i80[0]!) / 2.56;
      expectClose(b.edges[k].median, e.median, { abs: 0.4 * sd, why: `edge ${k}` });
    });
    // The fit that confirms afterwards does see them.
    expect(after.lag.probability).not.toEqual(before.lag.probability);
  });
});
