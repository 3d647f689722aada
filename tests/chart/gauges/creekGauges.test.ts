import { describe, expect, it } from 'vitest';
import { creekChart } from '../../../src/chart/creekChart.js';
import { inflow } from '../../../src/align/effectiveSeries.js';
import { calculatorOf, readingFrom } from '../../../src/chart/calculator.js';
import { fitPair } from '../../../src/chart/fitCreek.js';
import type { GaugesResult } from '../../../src/chart/gauges/taskTypes.js';
import { finishGauges } from '../../../src/chart/gauges/finishGauges.js';
import { loggerReport } from '../../../src/chart/gauges/loggerReport.js';
import { planGauges, planRankings } from '../../../src/chart/gauges/planGauges.js';
import { planProposals, recommendedGauge, withProposals } from '../../../src/chart/gauges/proposals.js';
import { runGaugesTask } from '../../../src/chart/gauges/runGaugesTask.js';
import { lagSummary } from '../../../src/chart/lagSummary.js';
import { withVisits } from '../../../src/chart/gauges/withVisits.js';
import type { CreekChart, GaugeChart, Grade } from '../../../src/chart/types.js';
import { reachTimes } from '../../../src/fit/travelTime/travelTimePrior.js';
import { quantile } from '../../../src/kernel/quantile.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { expectClose } from '../../expectClose.js';
import { fittedNow } from '../chartCreekCases.js';
import { gaugesCreek, gaugesNow, LOGGER, SMALL } from './gaugesCreek.js';

const input = gaugesCreek();
const fitted = fittedNow(input, SMALL);
const chart = creekChart(fitted);
const gauges = gaugesNow(fitted);
const [run] = gauges.runs;

function everyObject(value: unknown, look: (object: object) => void): void {
  if (typeof value !== 'object' || value === null) return;
  look(value);
  Object.values(value).forEach((inner) => everyObject(inner, look));
}

/** The chart with every gauge of one grade. */
function graded(of: CreekChart, grade: Grade): CreekChart {
  const gauges = (all: readonly GaugeChart[]) => all.map((one) => ({ ...one, trust: { ...one.trust, grade } }));
  return { ...of, runs: of.runs.map((r) => ({ ...r, gauges: gauges(r.gauges) })) };
}

function creekLeads(gauge: GaugeChart): GaugeChart {
  return { ...gauge, lag: { ...gauge.lag, median: -0.5 } };
}

describe('gauges of a creek', () => {
  it('is frozen plain data that JSON carries whole', () => {
    expect(JSON.parse(JSON.stringify(gauges))).toEqual(gauges);
    everyObject(gauges, (object) => {
      expect(Object.isFrozen(object)).toBe(true);
      expect(ArrayBuffer.isView(object)).toBe(false);
    });
    expect(gauges).toMatchObject({ kind: 'creek-gauges', schema: 1, creek: { name: 'Invented Creek' } });
    expect(gauges.cautions).toEqual(CAUTIONS);
    expect(gauges.provenance).toEqual(chart.provenance);
  });

  it('says the same whatever order the tasks were done in', () => {
    const plans = [planRankings(fitted), planGauges(fitted, chart)];
    const results = plans.flatMap(({ context, tasks }) =>
      tasks.map((task) => runGaugesTask(context, structuredClone(task))),
    );
    expect(finishGauges(fitted, chart, results.reverse())).toEqual(gauges);
  });

  it('ranks the gauge that knows the creek before the one that has weather of its own, with the skill of its chart', () => {
    const { ranking, noRanking } = run;
    expect(noRanking).toBeNull();
    const [weir, mill] = ['weir', 'mill'].map((id) => ranking!.warning.find((g) => g.id === id)!);
    expect(weir.rank).toBeLessThan(mill.rank);
    const chosen = ranking!.warning.find(({ id }) => id === ranking!.choice.id)!;
    expect(chosen.id).toContain('weir');
    // The same draws and the same floods; only their resampling is seeded anew.
    const { skill } = chart.runs[0].gauges.find(({ gauge }) => gauge.id === 'weir')!.trust;
    expectClose(weir.skill.againstFrequencies.value!, skill!.againstFrequencies.value!, {
      abs: 0.02,
      why: 'floods begin where more than half of the gauges begin one, which glues a few',
    });
  });

  it('asks about the lag and the flow where the chart can be planned with, and nowhere else', () => {
    const usable = chart.runs[0].gauges.filter(({ trust }) => trust.grade.endsWith('guide')).map((g) => g.gauge.id);
    expect(usable).toEqual(['weir']);
    expect(planGauges(fitted, chart).tasks.map(({ id }) => id)).toEqual(['lag and flow, the gorge by the weir']);
    expect(planRankings(fitted).tasks.map(({ id }) => id)).toEqual(['ranking for the gorge']);
    // Names may be given twice, ids not: then the id stands behind the name.
    const named = (name: string) => ({
      ...fitted,
      runs: fitted.runs.flatMap((r) => [
        { ...r, name },
        { ...r, id: 'other', name },
      ]),
    });
    const relations = fitted.relations.flatMap((r) => [r, { ...r, run: { ...r.run, id: 'other' } }]);
    const ids = planRankings({ ...named('Run'), relations }).tasks.map(({ id }) => id);
    expect(ids).toEqual(['ranking for Run (gorge)', 'ranking for Run (other)']);
    const late = { ...chart, runs: chart.runs.map((r) => ({ ...r, gauges: r.gauges.map(creekLeads) })) };
    expect(planGauges(fitted, late).tasks).toEqual([]);
    const { flow } = run.lags.find(({ gauge }) => gauge === 'weir')!;
    expect(flow).toMatchObject({ visits: input.visits.length, unit: 'm3/s', kept: false });
    expectClose(flow!.lag.median, 3, { abs: 1, why: 'made with a lag of 3 h' });
    expect(flow!.sentence).toContain('all flows');
    expect(run.lags.find(({ gauge }) => gauge === 'mill')!.flow).toBeNull();
  });

  it('says what the distance makes expect, at the median flow of the record', () => {
    const { travel } = run.lags.find(({ gauge }) => gauge === 'weir')!;
    const times = reachTimes({
      lengthKm: 14,
      gaugeLies: 'upstream',
      areaKm2: 120,
      slope: 0.008,
      flowM3s: quantile(input.records[0].values, 0.5),
    });
    expect(travel).toMatchObject({
      lengthKm: 14,
      lies: 'upstream',
      tracerHours: [times.tracerFastest, times.tracerProbable],
      waveHours: [times.waveFastest, times.waveProbable],
    });
    expect(travel!.sentence).toMatch(/^Over 14 km a tracer would need .* The lag found /);
    expect(run.lags.find(({ gauge }) => gauge === 'mill')!.travel).toBeNull();
  });

  it('quick leaves out what needs fits of its own: means of several gauges, and the lag by flow', () => {
    const [quick] = gaugesNow(fitted, 'quick').runs;
    expect(quick.ranking!.warning.map(({ kind }) => kind)).toEqual(['single', 'single']);
    expect(run.ranking!.warning.map(({ kind }) => kind).sort()).toEqual(['combined', 'single', 'single']);
    expect(quick.lags.map(({ flow }) => flow)).toEqual([null, null]);
    expect(quick.lags[0].travel).toEqual(run.lags[0].travel);
    expect(quick.loggers).toEqual(run.loggers);
    expect(quick.staffs).toEqual(run.staffs);
  });

  it('makes a mean that was chosen a gauge as any other: fitted, graded, charted, with an input for each part', () => {
    const mean = { id: 'weir+mill', name: 'both', kind: 'mean', of: ['weir', 'mill'] } as const;
    const proposal = { ...mean, weights: [0.75, 0.25], travelHours: [0, 2] };
    const [rank] = planRankings(fitted).tasks.map((task) => runGaugesTask(planRankings(fitted).context, task));
    const plan = planProposals(fitted, [{ ...rank, proposal } as GaugesResult]);
    const wider = withProposals(
      fitted,
      plan,
      plan.tasks.map((task) => fitPair(plan.context, task)),
    );
    expect(wider.relations.map(({ record }) => record.gauge)).toEqual(['weir', 'mill', 'weir+mill']);
    const made = creekChart(wider).runs[0].gauges.find(({ gauge }) => gauge.id === 'weir+mill')!;
    expect(made.trust.skill).not.toBeNull();
    expect(made.level!.howToRead).toContain(
      'take the product of the flow of the weir to the power 0.75 and the flow of the mill brook 2 hours earlier to the power 0.25.',
    );
    const calculator = calculatorOf(made, made.level!);
    expect(calculator.parts.map(({ name }) => name)).toEqual(['the weir', 'the mill brook']);
    const [weir, mill] = fitted.records;
    const at = 400;
    const earlier = mill.timesMs.indexOf(weir.timesMs[at] - 2 * 3_600_000);
    const now = [weir.values[at], mill.values[earlier]];
    const plainly = { ...calculator, meanHours: 0, changeHours: 0, limbHours: 0 };
    expectClose(
      readingFrom(plainly, { now, before: now, mean: now }, { inflow }),
      wider.relations[2].record.values[at],
      { rel: 1e-9, why: 'the calculator works out what the record was fitted by' },
    );
    // A second run that chooses the same id gets one of its own, and no proposal asks for nothing.
    expect(planProposals(wider, [{ ...rank, proposal } as GaugesResult]).context.pairs[0].record.gauge).toBe(
      'weir+mill-gorge',
    );
    expect(planProposals(fitted, [{ ...rank, proposal: null } as GaugesResult]).tasks).toEqual([]);
    const again = planRankings(wider, { depth: 'quick' });
    const ranked = runGaugesTask(again.context, again.tasks[0]);
    expect(ranked.kind === 'rank' && ranked.ranking.warning.find(({ id }) => id === 'weir+mill')!.kind).toBe(
      'combined',
    );
  });

  it('recommends the choice where its chart is for use, else the best plain gauge that is', () => {
    const all = chart.runs[0].gauges;
    const usable = graded(chart, 'fair guide').runs[0].gauges;
    expect(recommendedGauge(usable, { id: 'mill' })).toBe('mill');
    expect(recommendedGauge(usable, { id: 'mean(weir,mill)' })).toBe(usable[0].gauge.id);
    expect(recommendedGauge(graded(chart, 'too thin').runs[0].gauges, { id: 'weir' })).toBeNull();
    expect(recommendedGauge(all, { id: 'mill' })).toBe('weir');
    const parts = { combine: 'sum' as const, scale: 1, of: [] };
    const derived = usable.map((one, i) => (i === 0 ? { ...one, gauge: { ...one.gauge, parts } } : one));
    expect(recommendedGauge(derived, null)).toBe(usable[1].gauge.id);
    expect(recommendedGauge(derived.slice(0, 1), null)).toBe(usable[0].gauge.id);
    expect(
      recommendedGauge(
        usable.map(({ gauge, trust }) => ({ gauge, trust }) as GaugeChart),
        null,
      ),
    ).toBeNull();
  });
});

describe('a logger in gauges.json', () => {
  const [club, lost] = run.loggers;

  it('is told against every gauge, with the levels seen and expected and the pause in between', () => {
    expect(club).toMatchObject({ id: 'club', unit: 'm', kmFromPutIn: 0.6, fromMs: input.loggers![0].timesMs[0] });
    expect(club.gauges.map(({ gauge }) => gauge)).toEqual(['weir', 'mill']);
    const [weir] = club.gauges;
    expect(weir).toMatchObject({ status: 'converged', form: 'power', doubt: null });
    // 0.6 km down the run at 6 km/h: 0.1 h after the put-in; made with 3 h at its own place.
    expectClose(weir.lag!.median, 3, { abs: 0.5, why: 'half an hour is the step of the grid' });
    expect(weir.explained).toBeGreaterThan(0.9);
    const { timesMs, seen, expected, low80, high80 } = weir.levels!;
    for (const column of [seen, expected, low80, high80]) expect(column).toHaveLength(timesMs.length);
    expect(timesMs.length).toBeLessThanOrEqual(1500);
    expect(timesMs.every((t, i) => i === 0 || t > timesMs[i - 1])).toBe(true);
    expect(seen.filter((v) => v === null)).toHaveLength(1);
    expect(expected[seen.indexOf(null)]).toBeNull();
    const inside = seen.filter((v, i) => v !== null && v >= low80[i]! && v <= high80[i]!).length / (timesMs.length - 1);
    expect(inside).toBeGreaterThan(0.6);
    expect(timesMs[timesMs.length - 1] - timesMs[0]).toBe((LOGGER.hours - 1) * 3_600_000);
    const { lagsHours, correlation, peakLagHours } = weir.ccf!;
    expect(correlation).toHaveLength(lagsHours.length);
    expectClose(peakLagHours, 3, { abs: 1, why: 'the changes of both agree at the lag' });
  });

  it('carries the doubt that keeps it from having a say', () => {
    const [relation] = fitted.relations;
    const doubtOf = (explained: number, bestExplained: number) =>
      loggerReport(
        { ...relation.loggers[0]!, explained, bestExplained },
        { logger: input.loggers![0], gauge: relation.record, withVisits: null },
      ).doubt;
    expect([doubtOf(0, 0.1), doubtOf(0.4, 0.9), doubtOf(0.9, 0.92)]).toEqual([
      'explains-little',
      'levels-disagree',
      null,
    ]);
  });

  it('says what the visits told without it', () => {
    const { lagAlone, lagWith, sentence } = club.gauges[0].withVisits!;
    expect(lagWith.median).toBe(lagSummary(fitted.relations[0].fits.effective).median);
    const width = ({ i80: [low, high] }: typeof lagWith): number => high! - low!;
    expect(width(lagWith)).toBeLessThanOrEqual(width(lagAlone));
    expect(sentence).toMatch(/^By the visits alone the lag is .* h.* and the storage .*; with the logger the lag is /);
    expect(sentence).not.toContain('says otherwise');
  });

  it('whose file could not be read has no times and no gauge', () => {
    expect(lost).toEqual({
      id: 'lost',
      name: 'lost logger',
      unit: 'm',
      kmFromPutIn: null,
      fromMs: null,
      toMs: null,
      gauges: [],
    });
  });
});

describe('a logger that the visits contradict', () => {
  const relation = fitted.relations[0];
  const [fit] = relation.loggers;
  const moved = (hours: number) => ({
    ...fit,
    lag: { ...fit.lag, i95: [fit.lag.i95[0]! + hours, fit.lag.i95[1]! + hours] as const },
  });

  it('is said to, unless it stood that far down the run', () => {
    const late = withVisits(relation, { fit: moved(9), shiftHours: 0.1 })!;
    expect(late.sentence).toMatch(
      / The logger by itself says otherwise: look at its clock and zone, at whether it was moved, and at other seasons\.$/,
    );
    const below = withVisits(relation, { fit: moved(9), shiftHours: 9.1 })!;
    expect(below.sentence).not.toContain('says otherwise');
  });

  it('has no say without a prior', () => {
    const { gridPrior: _prior, ...without } = relation;
    expect(_prior).toBeDefined();
    expect(withVisits(without, { fit, shiftHours: 0 })).toBeNull();
    // Deciding nine hours ahead holds the visits' lag at nine: the logger's three is no contradiction.
    const ahead = { ...relation, fits: { ...relation.fits, effective: { ...relation.fits.effective, leadHours: 9 } } };
    expect(withVisits(ahead, { fit: moved(-1), shiftHours: 0.1 })!.sentence).toMatch(
      /A plan takes no reading from later than 9 h before, and the logger's own lag is shorter than that: the two can't be compared\.$/,
    );
  });
});

describe('a staff in gauges.json', () => {
  const [relation] = fitted.relations;
  const [staff] = run.staffs;

  it('stands against the usable gauge as in its chart, with every reading beside what was expected', () => {
    expect(staff.gauges.map(({ gauge }) => gauge)).toEqual(['weir']);
    const [rating] = staff.gauges;
    const { level } = chart.runs[0].gauges.find(({ gauge }) => gauge.id === 'weir')!;
    const [summary] = level!.ratings;
    expect(rating).toMatchObject({ form: summary.form, unit: 'm3/s', median: summary.median });
    expect(rating.upper).toEqual(summary.upper ?? null);
    expect(rating.gaugeValues).toEqual(level!.odds.gaugeValues);
    expect(rating.curve80).toEqual(summary.low80.map((low, v) => [low, summary.high80[v]]));
    rating.reading80.forEach(([low, high], v) => {
      expect(low!).toBeLessThan(rating.curve80[v][0]!);
      expect(high!).toBeGreaterThan(rating.curve80[v][1]!);
    });
    expect(rating.points.map(({ visit }) => visit)).toEqual(relation.aligned.visitIds);
    // The curve at a point lies where the table of the curve puts it.
    for (const { gaugeValue, expected } of rating.points) {
      const v = rating.gaugeValues.findIndex((value) => value >= gaugeValue);
      if (v < 1) continue;
      expect(expected).toBeGreaterThanOrEqual(rating.median[v - 1] - 1e-9);
      expect(expected).toBeLessThanOrEqual(rating.median[v] + 1e-9);
    }
    const off = rating.points.map(({ staff: read, expected }) => Math.abs(read - expected)).sort((a, b) => a - b);
    // Noise of 2 cm and a mismatch of 0.2 on a curve of some 50 cm.
    expect(off[off.length >> 1]).toBeLessThan(8);
    expect(rating.formSentence).not.toBe('');
    expect(rating.noiseSentence).not.toBe('');
  });

  it('has an offset with its one-sided bound where the rating is a power law', () => {
    const [{ form, offset }] = staff.gauges;
    expect(offset === null).toBe(form === 'line');
    if (offset !== null) expect(offset.below95).toBeGreaterThan(offset.median);
  });
});

describe('a creek with one gauge', () => {
  const one = fittedNow(input, { ...SMALL, gauges: ['weir'], useLoggers: false });
  const [only] = gaugesNow(one, 'quick').runs;

  it('has nothing to choose between, and its loggers no say where they are not to be used', () => {
    expect(planGauges(one, creekChart(one)).tasks.map(({ kind }) => kind)).toEqual(['flow-lag']);
    expect(only.noRanking).toBe('the weir is the only gauge asked for: there is nothing to choose between.');
    const why = (creek: typeof one.creek) =>
      finishGauges({ ...one, creek, input: { ...input, records: one.records } }, creekChart(one), []).runs[0]!
        .noRanking;
    expect(why(one.creek)).toBe('the weir is the only gauge with a record: there is nothing to choose between.');
    expect(why({ ...one.creek, gauges: one.creek.gauges.slice(0, 1), derivedGauges: [] })).toBe(
      'the weir is the only gauge: there is nothing to choose between.',
    );
    expect(only.loggers.map(({ gauges: by }) => by)).toEqual([[], []]);
    expect(only.lags.map(({ gauge }) => gauge)).toEqual(['weir']);
  });

  it('or none says that', () => {
    const none = fittedNow(input, { ...SMALL, gauges: [] });
    const [bare] = gaugesNow(none).runs;
    expect(bare).toMatchObject({ ranking: null, noRanking: 'There is no gauge to read.', lags: [] });
  });
});

describe('too few visits', () => {
  it('stand aside with a reason in place of a ranking', () => {
    const few = fittedNow({ ...input, visits: input.visits.slice(0, 2) }, SMALL);
    const [thin] = gaugesNow(few).runs;
    expect(thin.ranking).toBeNull();
    expect(thin.noRanking).toMatch(/^No gauge could be compared\. .*visits/);
    expect(thin.lags).toEqual([]);
    expect(thin.loggers[0].gauges[0].withVisits).toBeNull();
  });
});
