import { alignVisits, lagGrid, storageGrid, DEFAULT_LAG_HOURS } from '../../src/align/alignVisits.js';
import { floodOfVisits } from '../../src/align/floods.js';
import type { Aligned } from '../../src/align/types.js';
import { gaugeChart } from '../../src/chart/creekChart.js';
import { judgeRelation } from '../../src/judge/judgeRelation.js';
import { chosenWay, waysOfReading } from '../../src/judge/waysOfReading.js';
import { estimate } from '../../src/kernel/estimate.js';
import { storageSummary } from '../../src/chart/lagSummary.js';
import type { Interval, LagSummary } from '../../src/chart/types.js';
import { fitLevels, type LevelFits } from '../../src/fit/fitLevels.js';
import type { ReadingWay } from '../../src/fit/types.js';
import { classFrequencies } from '../../src/judge/frequencies.js';
import { planRelation } from '../../src/judge/refits/planRelation.js';
import { refitRelation } from '../../src/judge/refits/refitRelation.js';
import type { Grade } from '../../src/judge/types.js';
import { verdictCases } from '../../src/judge/verdictCases.js';
import { splitSeed } from '../../src/kernel/random.js';
import type { CreekInput } from '../../src/read/types.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT } from '../../src/series/visits.js';
import { cardOnRecord, type CardOnRecord } from './cardOnRecord.js';
import { laterOdds } from './laterOdds.js';
import { laterSkill, type LaterSkill, type Way } from './laterSkill.js';
import type { LaterClasses } from './readLater.js';
import type { GaugeTruth } from './readTruth.js';
import { statedAndMeasured, type StatedAndMeasured } from './statedMeasured.js';

/** A number of the chart beside the truth; errors are chart minus truth. Null where the truth, or the chart, has none. */
export interface Compared {
  readonly error: number | null;
  readonly inside80: boolean | null;
  readonly inside95: boolean | null;
  /** Width of the 80 % interval. */
  readonly width80: number | null;
}

/** An edge: error and width in ln units of the gauge above its zero flow. */
export interface EdgeCompared extends Compared {
  readonly feature: string;
  readonly between: readonly [string, string];
  readonly seenBothSides: boolean;
}

/** What a chart says of one run and gauge beside what the hidden record gives, and its skill on later days. */
export interface GaugeValidation {
  readonly run: string;
  readonly gauge: string;
  readonly grade: Grade;
  readonly visits: number;
  readonly floods: number;
  /** Edges of the single reading at any lag, against the truth at its own lag. */
  readonly edges: readonly EdgeCompared[];
  readonly meanAbsEdgeError: { readonly verdict: number | null; readonly features: number | null };
  /** Hours. */
  readonly lag: Compared;
  /** Hours; the storage at lead 0 and that over all lags, both against the best storage of the hidden record. */
  readonly storage: { readonly leadZero: Compared; readonly anyLag: Compared };
  /** ln(σ / σ of the verdict's edges in the hidden record, averaged); σ of the single reading at any lag. */
  readonly mismatch: Compared;
  /** Skill with floods left out, from the visits alone, as the chart prints it. */
  readonly leftOutSkill: { readonly effective: number | null; readonly oneReading: number | null };
  readonly later: LaterSkill | null;
  /** What the log states about days to come, held against them; null without a later record or a usable relation. */
  readonly statedAndMeasured: StatedAndMeasured | null;
  /** The printed card, by its own instruction, on the later record; null without one or without a level. */
  readonly card: CardOnRecord | null;
  /** Largest k̂ of the three fits. */
  readonly worstParetoK: number;
}

/**
 * Chart one run by one gauge, as `chartCreek` does, and hold the chart against the truth.
 *
 * @param at input of the folder, run and record.
 * @param options.truth of this gauge; options.later the later record of the run where there is one.
 */
export function validateGauge(
  at: { readonly input: CreekInput; readonly creek: Creek; readonly run: Run; readonly record: GaugeRecord },
  {
    truth,
    later,
    seed = 1,
    draws = 1000,
    cheap = false,
  }: { truth: GaugeTruth; later?: LaterClasses; seed?: number; draws?: number; cheap?: boolean },
): GaugeValidation {
  const { creek, run, record } = at;
  const { visits } = at.input;
  const aligned = alignVisits(
    { creek, run, record, visits },
    { lagsHours: lagGrid(creek.lagHours ?? DEFAULT_LAG_HOURS), storagesHours: storageGrid(creek.storageHours) },
  );
  const fits = fitLevels(aligned, { seed, draws });
  const judgement = judgeRelation({ run, record, aligned, fits }, { seed, timeZone: creek.timeZone });
  const chart = gaugeChart({ run, record, aligned, fits, judgement }, creek);
  const skillBy = (way: ReadingWay) =>
    judgement.scores?.ways.find((score) => score.way === way)?.skill.againstFrequencies.value ?? null;
  const edges = comparedEdges(chart.confirmEdges, truth, aligned.offset);
  const anyLagStorage = storageSummary({ grid: { ...fits['any-lag'].grid, probability: fits.surface } });
  const { lag, trust } = chart;
  return {
    run: run.id,
    gauge: record.gauge,
    grade: trust.grade,
    visits: trust.evidence.visits,
    floods: trust.evidence.floods,
    edges,
    meanAbsEdgeError: {
      verdict: meanAbs(edges.filter((e) => e.feature === VERDICT)),
      features: meanAbs(edges.filter((e) => e.feature !== VERDICT)),
    },
    lag: comparedHours(lag, truth.lagHours),
    storage: {
      leadZero: comparedHours(chart.storage, (truth.planning ?? truth.routed).storageHours),
      anyLag: comparedHours(anyLagStorage, truth.routed.storageHours),
    },
    mismatch: comparedMismatch(fits, truth),
    leftOutSkill: {
      effective: skillBy('effective'),
      oneReading: skillBy('one-reading'),
    },
    later:
      later === undefined || fits.effective.draws.count === 0 || (cheap && !trust.grade.endsWith('guide'))
        ? null
        : scoreLater(at, { aligned, fits, later, seed, draws }),
    statedAndMeasured:
      later === undefined || !trust.grade.endsWith('guide')
        ? null
        : heldAgainstLater(at, { aligned, fits, later, seed, cheap }),
    card:
      later === undefined || chart.level === undefined
        ? null
        : cardOnRecord({ level: chart.level, grade: trust.grade, record, aligned }, later),
    worstParetoK: Math.max(...[fits['one-reading'], fits.effective, fits['any-lag']].map((f) => f.diagnostics.paretoK)),
  };
}

/** Every class edge that the hidden record places, in ln units; errors are the same at any lag because both sides are edges of the reading. */
function comparedEdges(
  edges: ReturnType<typeof gaugeChart>['confirmEdges'],
  truth: GaugeTruth,
  offset: number,
): readonly EdgeCompared[] {
  const number = new Map<string, number>();
  return edges.map(({ feature, between, median, i80, i95, seenBothSides }) => {
    const k = number.get(feature) ?? 0;
    number.set(feature, k + 1);
    const value = truth.edges[feature]?.[k]?.gauge ?? null;
    const ln = (v: number | null) => (v === null ? NaN : Math.log(v - offset));
    return {
      feature,
      between,
      seenBothSides,
      ...compared(ln(median), ln(value), {
        i80: [ln(i80[0]), ln(i80[1])],
        i95: [ln(i95[0]), ln(i95[1])],
      }),
    };
  });
}

function comparedHours({ median, i80, i95 }: Pick<LagSummary, 'median' | 'i80' | 'i95'>, truth: number) {
  return compared(median, truth, { i80, i95 });
}

/** The verdict's edges in the hidden record each have a spread; one σ stands for all in the model, so their mean is the truth. */
function comparedMismatch(fits: LevelFits, truth: GaugeTruth): Compared {
  const spreads = (truth.edges[VERDICT] ?? []).flatMap((e) =>
    e === null || e === undefined || e.gauge === null ? [] : (e.mismatch ?? []),
  );
  const mean = spreads.reduce((a, b) => a + b, 0) / spreads.length;
  if (fits['any-lag'].draws.count === 0) return compared(NaN, NaN, { i80: [null, null], i95: [null, null] });
  const ln = estimate(fits['any-lag'].draws.mismatch.map(Math.log));
  return compared(ln.median, Math.log(mean), ln);
}

function compared(
  median: number,
  truth: number,
  { i80, i95 }: { readonly i80: Interval; readonly i95: Interval },
): Compared {
  const error = median - truth;
  const width = (i80[1] ?? NaN) - (i80[0] ?? NaN);
  const inside = ([low, high]: Interval) => (low ?? -Infinity) <= truth && truth <= (high ?? Infinity);
  const known = Number.isFinite(error);
  return {
    error: known ? error : null,
    inside80: known ? inside(i80) : null,
    inside95: known ? inside(i95) : null,
    width80: Number.isFinite(width) ? width : null,
  };
}

function meanAbs(edges: readonly EdgeCompared[]): number | null {
  const known = edges.flatMap(({ error }) => (error === null ? [] : Math.abs(error)));
  return known.length === 0 ? null : known.reduce((a, b) => a + b, 0) / known.length;
}

/** The chart's two ways of reading at lead 0, and a chart that knows neither lag nor storage, on the later record. */
function scoreLater(
  at: { readonly input: CreekInput; readonly creek: Creek; readonly run: Run; readonly record: GaugeRecord },
  {
    aligned,
    fits,
    later,
    seed,
    draws,
  }: { aligned: Aligned; fits: LevelFits; later: LaterClasses; seed: number; draws: number },
): LaterSkill | null {
  const asItStands = fitLevels(
    alignVisits({ ...at, visits: at.input.visits }, { lagsHours: [0], storagesHours: [0] }),
    { seed, draws, modes: ['one-reading'] },
  )['one-reading'];
  if (asItStands.draws.count === 0) return null;
  const { timesMs, classIndex } = later;
  const ways: Record<Way, typeof asItStands> = {
    effective: fits.effective,
    oneReading: fits['one-reading'],
    asItStands,
  };
  const odds = (way: Way) => laterOdds(ways[way], { ...at, timesMs });
  return laterSkill(
    { effective: odds('effective'), oneReading: odds('oneReading'), asItStands: odds('asItStands') },
    {
      frequencies: classFrequencies(verdictCases(aligned)),
      classIndex,
      flood: floodOfVisits(at.record, timesMs),
      seed: splitSeed(seed, 'later floods'),
    },
  );
}

/** The way of reading that is chosen by floods left out by fits of their own, against the later record. */
function heldAgainstLater(
  at: { readonly input: CreekInput; readonly creek: Creek; readonly run: Run; readonly record: GaugeRecord },
  {
    aligned,
    fits,
    later,
    seed,
    cheap,
  }: { aligned: Aligned; fits: LevelFits; later: LaterClasses; seed: number; cheap: boolean },
): StatedAndMeasured | null {
  const of = { ...at, visits: at.input.visits, aligned, fits };
  const byRefits = () => refitRelation(planRelation(of, { seed, depth: 'floods' })).leftOut;
  const chosen = chosenWay(waysOfReading(aligned, fits, { left: cheap ? {} : byRefits(), seed }));
  if (chosen === null) return null;
  return statedAndMeasured(at, { ...chosen, aligned, later, seed, method: cheap ? 'weights' : 'refits' });
}
