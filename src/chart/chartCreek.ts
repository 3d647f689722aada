import { alignVisits, lagGrid, storageGrid, DEFAULT_LAG_HOURS } from '../align/alignVisits.js';
import type { Aligned } from '../align/types.js';
import { fitLevels, type LevelFits } from '../fit/fitLevels.js';
import type { LevelFit, Link } from '../fit/types.js';
import { GRADES } from '../judge/grade.js';
import { oneReadingLoses } from '../judge/oneReadingLoses.js';
import { trustSummary } from '../judge/trustSummary.js';
import { splitSeed } from '../kernel/random.js';
import type { CreekInput } from '../read/types.js';
import { CAUTIONS } from '../series/cautions.js';
import type { Run } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { otherSystemUnit } from '../series/units.js';
import { VERSION } from '../series/version.js';
import { edges } from './edges.js';
import { hydrograph } from './hydrograph.js';
import { lagSummary, storageSummary } from './lagSummary.js';
import { levelChart } from './levelChart.js';
import type { CreekChart, GaugeChart, LevelChart, RunChart } from './types.js';
import { visitMarks } from './visitMarks.js';

export interface ChartOptions {
  /** Hours before paddling at which the decision is made; default 0. */
  readonly leadHours?: number;
  /** Whole number; default 1. */
  readonly seed?: number;
  /** Default 'probit'. */
  readonly link?: Link;
  /** Draws of each fit; default 1000. */
  readonly draws?: number;
  /** Bounds of the lag searched, hours; default the creek's, else -24 to 48. */
  readonly lagHours?: { readonly min: number; readonly max: number };
  /** Bounds of the storage searched, hours; default the creek's, else -24 to 48. */
  readonly storageHours?: { readonly min: number; readonly max: number };
  /** Ids; default all. */
  readonly runs?: readonly string[];
  readonly gauges?: readonly string[];
  readonly onProgress?: (progress: { readonly done: number; readonly total: number; readonly label: string }) => void;
}

/** One run against one gauge: everything that was fitted, for people who want to go on from there. */
export interface Relation {
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly aligned: Aligned;
  readonly fits: LevelFits;
}

/**
 * The level chart of a creek: every run against every gauge, by one reading and by the effective reading, with how far to trust it.
 *
 * @param input a creek as read by `readCreek` or `loadCreekFolder`.
 * @returns a frozen, JSON-ready chart; the same input, options and seed give the same numbers. Gauges come best first (by grade, then skill).
 *   Visits that find no reading of a gauge are counted under `unmatched` in `notUsed`, with the rows the reader refused.
 * @throws RangeError when the input holds no usable creek.json, or the lead is longer than every lag.
 * @example const chart = chartCreek(readCreek({ creekJson, visits, gaugeFiles }), { seed: 7 });
 */
export function chartCreek(input: CreekInput, options: ChartOptions = {}): CreekChart {
  const { creek } = input;
  if (creek === undefined)
    throw new RangeError('chartCreek: creek.json could not be read; see the issues of the input');
  const { leadHours = 0, seed = 1, link = 'probit', draws = 1000, onProgress } = options;
  const runs = creek.runs.filter((r) => options.runs?.includes(r.id) ?? true);
  const records = input.records.filter((r) => options.gauges?.includes(r.gauge) ?? true);
  const grid = {
    lagsHours: lagGrid(options.lagHours ?? creek.lagHours ?? DEFAULT_LAG_HOURS),
    storagesHours: storageGrid(options.storageHours ?? creek.storageHours),
  };

  const pairs = runs.flatMap((run) => records.map((record) => ({ run, record })));
  const charts = pairs.map(({ run, record }, i) => {
    const label = `${run.name} by ${record.name}`;
    const report = (share: number): void => onProgress?.({ done: i + share, total: pairs.length, label });
    report(0);
    const aligned = alignVisits({ creek, run, record, visits: input.visits }, grid);
    const fits = fitLevels(aligned, {
      leadHours,
      link,
      seed,
      draws,
      onProgress: ({ done, total }) => report((0.8 * done) / total),
    });
    const chart = chartRelation({ run, record, aligned, fits }, { seed });
    report(1);
    return { run, aligned, chart };
  });

  return deepFreeze({
    kind: 'creek-chart' as const,
    schema: 1 as const,
    creek: { name: creek.name, timeZone: creek.timeZone },
    runs: runs.map((run) =>
      runChart(
        run,
        charts.filter((c) => c.run === run).map((c) => c.chart),
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
        lagMinHours: grid.lagsHours[0],
        lagMaxHours: grid.lagsHours[grid.lagsHours.length - 1],
        storageMinHours: grid.storagesHours[0],
        storageMaxHours: grid.storagesHours[grid.storagesHours.length - 1],
      },
      files: input.files,
      approval: records.map((r) => ({ gauge: r.gauge, ...r.approval })),
    },
    notUsed: countNotUsed([
      ...input.issues.filter((i) => i.severity !== 'note'),
      ...unmatchedIssues(charts.map((c) => c.aligned)),
    ]),
  });
}

/** Sightings that found no reading of a gauge, as issues for the list of rows not used. */
export function unmatchedIssues(aligned: readonly Aligned[]): Issue[] {
  return aligned.flatMap((a) =>
    a.unmatched.map((u): Issue => ({
      code: 'unmatched',
      severity: 'warning',
      file: 'visits.csv',
      row: u.row,
      found: `visit ${u.visit}`,
      expected: `a reading of gauge ${a.gauge} around its time`,
      hint: `Not used with this gauge: ${u.reason}.`,
    })),
  );
}

/** The rows of a chart's input that took no part, and why, for one creek: the reader's issues and what found no reading. */
export function notUsedIssues(
  input: CreekInput,
  options: Pick<ChartOptions, 'lagHours' | 'runs' | 'gauges'> = {},
): readonly Issue[] {
  const { creek } = input;
  if (creek === undefined) return input.issues;
  const lagsHours = lagGrid(options.lagHours ?? creek.lagHours ?? DEFAULT_LAG_HOURS);
  const aligned = creek.runs
    .filter((r) => options.runs?.includes(r.id) ?? true)
    .flatMap((run) =>
      input.records
        .filter((r) => options.gauges?.includes(r.gauge) ?? true)
        .map((record) => alignVisits({ creek, run, record, visits: input.visits }, { lagsHours, storagesHours: [0] })),
    );
  return [...input.issues, ...unmatchedIssues(aligned)];
}

/** The chart of one run against one gauge from its fits. */
export function chartRelation({ record, aligned, fits }: Relation, { seed }: { readonly seed: number }): GaugeChart {
  const oneReading = chartOf(fits.oneReading, aligned);
  const effective = chartOf(fits.effective, aligned);
  const trust = trustSummary(aligned, {
    effective: fits.effective,
    oneReading: fits.oneReading,
    approval: record.approval,
    seed: splitSeed(seed, `${aligned.run}/${aligned.gauge}/trust`),
  });
  return {
    gauge: {
      id: record.gauge,
      name: record.name,
      parameter: record.parameter,
      unit: record.unit,
      otherUnit: otherSystemUnit(record.unit),
      ...(record.distanceKm === undefined ? {} : { distanceKm: record.distanceKm }),
    },
    trust,
    ...(oneReading === undefined ? {} : { oneReading }),
    ...(effective === undefined ? {} : { effective }),
    oneReadingLoses: oneReadingLoses(trust.skill),
    lag: lagSummary(fits.anyLag),
    storage: storageSummary(fits.effective),
    surface: surfaceOf(aligned, fits.surface),
    visits: visitMarks(aligned, { oneReading: oneReading?.reading, effective: effective?.reading }),
    hydrograph: hydrograph(record),
    confirmEdges: fits.anyLag.draws.count > 0 ? edges(fits.anyLag, aligned) : [],
  };
}

function chartOf(fit: LevelFit, aligned: Aligned): LevelChart | undefined {
  return fit.draws.count > 0 ? levelChart(fit, aligned) : undefined;
}

function surfaceOf(aligned: Aligned, surface: Float64Array): GaugeChart['surface'] {
  const nL = aligned.lagsHours.length;
  return {
    lagsHours: [...aligned.lagsHours],
    storagesHours: [...aligned.storagesHours],
    probability: Array.from(aligned.storagesHours, (_, k) => [...surface.subarray(k * nL, (k + 1) * nL)]),
  };
}

function runChart(run: Run, gauges: readonly GaugeChart[]): RunChart {
  const skill = (g: GaugeChart): number =>
    Math.max(
      g.trust.skill.effective?.againstFrequencies ?? -Infinity,
      g.trust.skill.oneReading?.againstFrequencies ?? -Infinity,
    );
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
    gauges: [...gauges].sort(
      (a, b) => GRADES.indexOf(b.trust.grade) - GRADES.indexOf(a.trust.grade) || skill(b) - skill(a),
    ),
    ...(run.verdictFrom === undefined ? {} : { verdictFrom: run.verdictFrom.feature }),
  };
}

function countNotUsed(issues: readonly Issue[]): { code: string; rows: number }[] {
  const rows = new Map<string, number>();
  for (const issue of issues) rows.set(issue.code, (rows.get(issue.code) ?? 0) + (issue.count ?? 1));
  return [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([code, count]) => ({ code, rows: count }));
}

/** Freezes plain data all the way down; typed arrays don't occur in a chart. */
function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const inner of Object.values(value)) deepFreeze(inner);
  }
  return value;
}
