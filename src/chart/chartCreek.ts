import { alignVisits, lagGrid, DEFAULT_LAG_HOURS } from '../align/alignVisits.js';
import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { oneReadingLoses } from '../judge/oneReadingLoses.js';
import { trustSummary } from '../judge/trustSummary.js';
import type { CreekInput } from '../read/types.js';
import { CAUTIONS } from '../series/cautions.js';
import type { Run } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { otherSystemUnit } from '../series/units.js';
import { VERSION } from '../series/version.js';
import { bestFirst } from './bestFirst.js';
import { deepFreeze } from './deepFreeze.js';
import { derivedParts, derivedRecipe } from './derivedRecipe.js';
import { edges } from './edges.js';
import { fitCreek, type ChartOptions, type FittedCreek, type Relation } from './fitCreek.js';
import { hydrograph } from './hydrograph.js';
import { lagSummary, storageSummary } from './lagSummary.js';
import { levelChart } from './levelChart.js';
import { relationSeed } from './relationSeed.js';
import type { CreekChart, GaugeChart, GaugeParts, LevelChart, RunChart } from './types.js';
import { visitMarks } from './visitMarks.js';

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
  if (input.creek === undefined)
    throw new RangeError('chartCreek: creek.json could not be read; see the issues of the input');
  return chartFitted(fitCreek(input, options));
}

/** The chart of a creek that is fitted already: what `chartCreek` does after `fitCreek`. */
export function chartFitted(fitted: FittedCreek): CreekChart {
  const { creek, input, runs, records, relations, options } = fitted;
  const { seed, leadHours, link, draws, lagsHours, storagesHours, useLoggers } = options;
  return deepFreeze({
    kind: 'creek-chart' as const,
    schema: 1 as const,
    creek: { name: creek.name, timeZone: creek.timeZone },
    runs: runs.map((run) =>
      runChart(
        run,
        relations
          .filter((relation) => relation.run === run)
          .map((relation) =>
            chartRelation(relation, {
              seed,
              madeOf: derivedRecipe(creek, { gauge: relation.record.gauge }),
              parts: derivedParts(creek, { gauge: relation.record.gauge }),
            }),
          ),
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

/** The chart of one run against one gauge from its fits; `madeOf` says how a derived gauge is made up, as `derivedRecipe` does. */
export function chartRelation(
  { record, aligned, fits }: Relation,
  {
    seed,
    madeOf,
    parts,
  }: { readonly seed: number; readonly madeOf?: string | undefined; readonly parts?: GaugeParts | undefined },
): GaugeChart {
  const oneReading = chartOf(fits.oneReading, { aligned, madeOf });
  const effective = chartOf(fits.effective, { aligned, madeOf });
  const trust = trustSummary(aligned, {
    effective: fits.effective,
    oneReading: fits.oneReading,
    anyLag: fits.anyLag,
    record,
    approval: record.approval,
    seed: relationSeed(seed, aligned),
  });
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

/** What stands nowhere to be read must be said wherever the reading is: the recipe ends the sentence on how to read the gauge. */
function chartOf(
  fit: LevelFit,
  { aligned, madeOf }: { aligned: Aligned; madeOf: string | undefined },
): LevelChart | undefined {
  if (!(fit.draws.count > 0)) return undefined;
  const level = levelChart(fit, aligned);
  return madeOf === undefined ? level : { ...level, howToRead: `${level.howToRead} ${madeOf}` };
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
    gauges: bestFirst(gauges),
    ...(run.verdictFrom === undefined ? {} : { verdictFrom: run.verdictFrom.feature }),
  };
}

function countNotUsed(issues: readonly Issue[]): { code: string; rows: number }[] {
  const rows = new Map<string, number>();
  for (const issue of issues) rows.set(issue.code, (rows.get(issue.code) ?? 0) + (issue.count ?? 1));
  return [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([code, count]) => ({ code, rows: count }));
}
