import type { Aligned } from '../align/types.js';
import type { LevelFits } from '../fit/fitLevels.js';
import type { LevelFit } from '../fit/types.js';
import type { Measured } from '../judge/floodRatios.js';
import type { GaugeRanking } from '../judge/gauges/types.js';
import type { Judgement } from '../judge/judgement.js';
import { trustOfJudgement } from '../judge/trustOfJudgement.js';
import { CAUTIONS } from '../series/cautions.js';
import type { CreekInput } from '../read/types.js';
import type { Creek, Run } from '../series/creek.js';
import { day, figures } from '../series/format.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { otherSystemUnit } from '../series/units.js';
import { VERSION } from '../series/version.js';
import { allDaysOf, asOfToday } from './asOfToday.js';
import { bestFirst } from './bestFirst.js';
import { deepFreeze } from './deepFreeze.js';
import { outlook } from './day/outlook.js';
import { outlookSkill } from './day/outlookSkill.js';
import { saidScore } from './day/saidScore.js';
import { seasonOf } from './day/season.js';
import { derivedParts, derivedRecipe } from './derivedRecipe.js';
import { edges } from './edges.js';
import type { FittedCreek, Relation } from './fitCreek.js';
import { recommendedGauge } from './gauges/proposals.js';
import { howToReadFit } from './howToRead.js';
import { hydrograph } from './hydrograph.js';
import { lagSummary, storageSummary } from './lagSummary.js';
import { levelChart } from './levelChart.js';
import { countNotUsed, unmatchedIssues } from './notUsed.js';
import type { CreekChart, GaugeChart, LevelChart, OtherWay, RunChart } from './types.js';
import { visitMarks } from './visitMarks.js';

/**
 * The chart of a creek that is fitted and judged: made once, from both. Gauges come best first, by grade, then skill.
 *
 * @param options.rankings of the runs whose gauges were compared; default none.
 */
export function creekChart(
  fitted: FittedCreek,
  { rankings = [] }: { readonly rankings?: readonly GaugeRanking[] } = {},
): CreekChart {
  const { creek, input, runs, records, relations, options } = fitted;
  const { seed, leadHours, link, draws, lagsHours, storagesHours, useLoggers } = options;
  return deepFreeze({
    kind: 'creek-chart' as const,
    schema: 1 as const,
    creek: { name: creek.name, timeZone: creek.timeZone },
    runs: runs.map((run) =>
      runChart(
        run,
        relations.filter((relation) => relation.run.id === run.id).map((relation) => gaugeChart(relation, creek)),
        {
          choice: rankings.findLast((ranking) => ranking.run === run.id)?.choice ?? null,
          records: relations.map(({ record }) => record),
          input,
        },
      ),
    ),
    cautions: CAUTIONS,
    provenance: {
      tool: 'sightstage' as const,
      version: VERSION,
      seed,
      options: {
        leadHours,
        link,
        draws,
        lagMinHours: lagsHours[0],
        lagMaxHours: lagsHours[lagsHours.length - 1],
        storageMinHours: storagesHours[0],
        storageMaxHours: storagesHours[storagesHours.length - 1],
        ...((creek.loggers ?? []).length > 0 && { useLoggers }),
      },
      files: input.files,
      approval: records.map((r) => ({ gauge: r.gauge, ...r.approval })),
    },
    notUsed: countNotUsed([
      // A record that lies apart in time is no row; the sightings that it costs are among those unmatched.
      ...input.issues.filter((i) => i.severity !== 'note' && i.code !== 'no-overlap'),
      ...unmatchedIssues(relations.map(({ aligned }) => aligned)),
    ]),
  });
}

/** The chart of one run against one gauge, from its fits and their judgement. */
export function gaugeChart(
  { record, aligned, fits, judgement }: Omit<Relation, 'loggers' | 'first'>,
  creek: Creek,
): GaugeChart {
  const madeOf = derivedRecipe(creek, { gauge: record.gauge });
  const parts = derivedParts(creek, { gauge: record.gauge });
  const { way } = judgement;
  const jumped = jumpWords(record, creek.timeZone);
  const level = way === null ? undefined : chartOf(fits[way], { aligned, record, endsWith: [jumped, madeOf] });
  const trust = trustOfJudgement(judgement);
  const other = level === undefined ? undefined : otherWay({ fits, level, judgement, madeOf });
  const anyLag = fits['any-lag'];
  return {
    gauge: {
      id: record.gauge,
      name: record.name,
      parameter: record.parameter,
      unit: record.unit,
      otherUnit: otherSystemUnit(record.unit),
      ...(record.distanceKm === undefined ? {} : { distanceKm: record.distanceKm }),
      ...(madeOf === undefined ? {} : { madeOf }),
      ...(parts === undefined ? {} : { parts }),
      ...(record.zeroFlowStage === undefined ? {} : { zeroFlowStage: record.zeroFlowStage }),
      ...(record.jumps === undefined ? {} : { jumps: record.jumps }),
    },
    // Where no level is given, the jump stands with the reasons: it may be why.
    trust: level === undefined && jumped !== undefined ? { ...trust, reasons: [jumped, ...trust.reasons] } : trust,
    ...(level === undefined ? {} : { level }),
    ...(other === undefined ? {} : { other }),
    lag: lagSummary(anyLag),
    storage: storageSummary(fits.effective),
    surface: surfaceOf(aligned, fits.surface),
    visits: visitMarks(aligned, level?.reading),
    hydrograph: hydrograph(record),
    ...(level === undefined ? {} : { season: seasonOf(level, record, creek) }),
    confirmEdges: anyLag.draws.count > 0 ? edges(anyLag, aligned) : [],
  };
}

/**
 * What stands nowhere to be read must be said wherever the reading is: a jump of the record and the recipe end the sentence on how to read
 * the gauge.
 */
function chartOf(
  fit: LevelFit,
  { aligned, record, endsWith }: { aligned: Aligned; record: GaugeRecord; endsWith: readonly (string | undefined)[] },
): LevelChart | undefined {
  if (!(fit.draws.count > 0)) return undefined;
  const level = levelChart(fit, aligned);
  const today = asOfToday(fit, { aligned, record });
  const allDays = allDaysOf(fit, { aligned, record });
  return {
    ...level,
    ...(today === null ? {} : { asOfToday: today }),
    ...(allDays === null ? {} : { allDays }),
    howToRead: [level.howToRead, ...endsWith.filter((words) => words !== undefined)].join(' '),
  };
}

/** What the reader of a gauge whose unit or zero seems to have jumped has to know. */
function jumpWords({ jumps = [], values, timesMs }: GaugeRecord, timeZone: string): string | undefined {
  const last = jumps[jumps.length - 1];
  if (last === undefined) return undefined;
  const split = !values.some((v, i) => v === v && timesMs[i]! < last.timeMs);
  return (
    `The record jumped from ${figures(last.before)} to ${figures(last.after)} on ${day(last.timeMs, timeZone)} and stayed there: ` +
    (split ? 'only readings since then are used.' : 'it jumps often, and readings before and after are used together.')
  );
}

/** The way that was not taken, with what it would gain or lose. */
function otherWay({
  fits,
  level,
  judgement: { scores },
  madeOf,
}: {
  fits: LevelFits;
  level: LevelChart;
  judgement: Judgement;
  madeOf: string | undefined;
}): OtherWay | undefined {
  const way = level.way === 'effective' ? 'one-reading' : 'effective';
  const skill = scores?.ways.find((score) => score.way === way)?.skill.againstFrequencies;
  const gain = scores?.gain ?? null;
  if (skill === undefined || gain === null) return undefined;
  const howToRead = [howToReadFit(fits[way]), ...(madeOf === undefined ? [] : [madeOf])].join(' ');
  if (howToRead === level.howToRead) return undefined;
  return { way, howToRead, skill, difference: way === 'effective' ? gain : negated(gain) };
}

function negated({ value, i80: [from, to] }: Measured): Measured {
  const minus = (x: number | null) => (x === null ? null : 0 - x);
  return { value: minus(value), i80: [minus(to), minus(from)] };
}

function surfaceOf(aligned: Aligned, surface: Float64Array): GaugeChart['surface'] {
  const nL = aligned.lagsHours.length;
  return {
    lagsHours: [...aligned.lagsHours],
    storagesHours: [...aligned.storagesHours],
    probability: Array.from(aligned.storagesHours, (_, k) => [...surface.subarray(k * nL, (k + 1) * nL)]),
  };
}

function runChart(
  run: Run,
  unordered: readonly GaugeChart[],
  {
    choice,
    records,
    input,
  }: { choice: GaugeRanking['choice'] | null; records: readonly GaugeRecord[]; input: CreekInput },
): RunChart {
  const ordered = bestFirst(unordered);
  const recommended = recommendedGauge(ordered, choice);
  const gauges = ordered.map((one) => (one.gauge.id === recommended ? { ...one, ...aheadOf(one, records) } : one));
  const said = saidScore(input.said ?? [], { run: run.id, classes: run.classes.length, visits: input.visits });
  return {
    id: run.id,
    name: run.name,
    classes: run.classes,
    features: run.features.map((f) => ({
      id: f.id,
      name: f.name,
      classes: f.classes ?? [],
      ...(f.unit === undefined ? {} : { unit: f.unit }),
      ...(f.looks === undefined ? {} : { looks: f.looks }),
    })),
    gauges,
    recommended,
    ...(said === null ? {} : { said }),
    ...(run.verdictFrom === undefined ? {} : { verdictFrom: run.verdictFrom.feature }),
  };
}

function aheadOf({ gauge, level }: GaugeChart, records: readonly GaugeRecord[]): Pick<GaugeChart, 'ahead'> {
  const record = records.find((one) => one.gauge === gauge.id);
  if (level === undefined || record === undefined) return {};
  return { ahead: { outlook: outlook(level, record), skill: outlookSkill(level, record) } };
}
