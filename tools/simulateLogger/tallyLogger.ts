import { alignVisits } from '../../src/align/alignVisits.js';
import { fitLoggers } from '../../src/chart/fitLoggers.js';
import { lagSummary } from '../../src/chart/lagSummary.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { VERDICT } from '../../src/series/visits.js';
import { intervalsOf, type EdgeHit } from '../simulate/fitCreek.js';
import { makeCreek, type World } from '../simulate/makeCreek.js';
import { LOGGER_KM, makeLogger } from './makeLogger.js';

/** How a creek is charted: by its visits; with five weeks of a logger; with a logger whose weeks ran three hours later than the visits' year. */
export const CHARTS = ['visits alone', 'with the logger', 'with a logger of other weeks'] as const;
type Chart = (typeof CHARTS)[number];

const LATER_HOURS = 3;

/** One chart of one creek against the truth. */
interface Case {
  readonly chart: Chart;
  readonly lagWidth80: number;
  readonly lag80: boolean;
  readonly lagError: number;
  readonly edges: readonly EdgeHit[];
}

export interface LoggerTally {
  readonly creeks: number;
  /** Hours: mean width of the 80 % interval of the lag, share that holds it (to the step of the search), median of its error without sign. */
  readonly lagWidth80: number;
  readonly lagHeld80: number;
  readonly lagMedianError: number;
  /** Edges of the verdict that were seen from both sides: how many, mean ln width of the 80 % interval, and shares held. */
  readonly edges: number;
  readonly edgeWidth80: number;
  readonly edgesHeld80: number;
  readonly edgesHeld95: number;
  readonly edgeMeanError: number;
}

/**
 * Simulated creeks with so many visits, each charted in three ways.
 * @param creeks how many. @param options.firstSeed whole number.
 */
export function tallyLogger(
  creeks: number,
  {
    visits = 25,
    firstSeed,
    draws = 600,
    world = 'model',
    onCreek,
  }: { visits?: number; firstSeed: number; draws?: number; world?: World; onCreek?: (done: number) => void },
): Readonly<Record<Chart, LoggerTally>> {
  const cases: Case[] = [];
  for (let i = 0; i < creeks; i++) {
    cases.push(...chartsOf(firstSeed + i, { visits, draws, world }));
    onCreek?.(i + 1);
  }
  return Object.fromEntries(
    CHARTS.map((chart) => [chart, tallied(cases.filter((c) => c.chart === chart))]),
  ) as unknown as Record<Chart, LoggerTally>;
}

function chartsOf(seed: number, { visits, draws, world }: { visits: number; draws: number; world: World }): Case[] {
  const made = makeCreek(world, { visits, seed });
  const { run, record, truth } = made;
  const creek = {
    ...made.creek,
    loggers: [
      { id: 'logger', name: 'logger', parameter: 'stage' as const, unit: 'm' as const, files: [], format: 'delimited' as const, run: run.id, kmFromPutIn: LOGGER_KM }, // prettier-ignore
    ],
  };
  const aligned = alignVisits(made);
  const grid = { lagsHours: [...aligned.lagsHours], storagesHours: [...aligned.storagesHours] };
  return CHARTS.flatMap((chart): Case[] => {
    const laterHours = chart === 'with a logger of other weeks' ? LATER_HOURS : 0;
    const { gridPrior } =
      chart === 'visits alone'
        ? {}
        : fitLoggers({ creek, run, record, loggers: [makeLogger(made, { seed, laterHours })] }, grid);
    const { effective } = fitLevels(aligned, {
      seed,
      draws,
      modes: ['effective'],
      ...(gridPrior !== undefined && { gridPrior }),
    });
    const intervals = intervalsOf(effective, { truth, aligned, seed });
    if (intervals === null) return [];
    const { i80 } = lagSummary(effective);
    return [
      {
        chart,
        lagWidth80: i80[1]! - i80[0]!,
        lag80: intervals.lag.in80,
        lagError: intervals.lag.error,
        edges: intervals.edges.filter(({ feature, seenBothSides }) => feature === VERDICT && seenBothSides),
      },
    ];
  });
}

function tallied(cases: readonly Case[]): LoggerTally {
  const mean = <T>(of: readonly T[], value: (one: T) => number): number =>
    of.reduce((sum, one) => sum + value(one), 0) / of.length;
  const edges = cases.flatMap((c) => c.edges);
  const errors = cases.map(({ lagError }) => Math.abs(lagError)).sort((a, b) => a - b);
  return {
    creeks: cases.length,
    lagWidth80: mean(cases, (c) => c.lagWidth80),
    lagHeld80: mean(cases, (c) => Number(c.lag80)),
    lagMedianError: errors[errors.length >> 1],
    edges: edges.length,
    edgeWidth80: mean(edges, (e) => e.width80),
    edgesHeld80: mean(edges, (e) => Number(e.in80)),
    edgesHeld95: mean(edges, (e) => Number(e.in95)),
    edgeMeanError: mean(edges, (e) => Math.abs(e.error)),
  };
}
