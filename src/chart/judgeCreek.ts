import { judgeRelation, type WithRefits } from '../judge/judgeRelation.js';
import type { Judgement } from '../judge/judgement.js';
import { trustOfJudgement } from '../judge/trustOfJudgement.js';
import type { ShiftFinding } from '../judge/shift.js';
import type { CreekInput } from '../read/types.js';
import { bestFirst } from './bestFirst.js';
import { chartFitted } from './chartCreek.js';
import { fitCreek, type ChartOptions, type FittedCreek, type Relation } from './fitCreek.js';
import { oneReadingLoses } from '../judge/oneReadingLoses.js';
import { relationSeed } from './relationSeed.js';
import { sureGood } from './sureGood.js';
import type { CreekChart, GaugeChart, TrustFile } from './types.js';

/** A chart and how far to trust it; both say the same grade. */
export interface JudgedCreek {
  readonly kind: 'judged-creek';
  readonly chart: CreekChart;
  readonly trust: TrustFile;
}

/**
 * The level chart of a creek together with the whole judgement of how far to trust it.
 *
 * @param input a creek as read by `readCreek` or `loadCreekFolder`.
 * @param options as for `chartCreek`.
 * @returns frozen plain data, the same for the same input, options and seed.
 * @throws RangeError as `chartCreek`.
 * @example const { trust } = judgeCreek(input, { seed: 7 }); trust.runs[0]?.gauges[0]?.scores?.sentence
 */
export function judgeCreek(input: CreekInput, options: ChartOptions = {}): JudgedCreek {
  if (input.creek === undefined)
    throw new RangeError('judgeCreek: creek.json could not be read; see the issues of the input');
  const fitted = fitCreek(input, options);
  return judgeFitted(fitted, chartFitted(fitted));
}

/** What is known of a relation before it is judged. */
export interface RelationKnown {
  readonly shift: ShiftFinding | null;
  readonly given?: WithRefits | undefined;
}

/**
 * Judges a creek that is fitted and charted already.
 *
 * @param options.known one entry a relation, in the order of `fitted.relations`; default nothing known, which makes depth `quick`.
 */
export function judgeFitted(
  fitted: FittedCreek,
  chart: CreekChart,
  {
    known = [],
    onProgress,
  }: { known?: readonly (RelationKnown | undefined)[]; onProgress?: ChartOptions['onProgress'] } = {},
): JudgedCreek {
  const { creek, relations, options } = fitted;
  const judgements = relations.map((relation, i) => {
    onProgress?.({ done: i, total: relations.length, label: labelOf(relation) });
    const gauge = gaugeOf(chart, relation);
    return judgeRelation(
      { ...relation, shift: known[i]?.shift ?? null },
      {
        seed: relationSeed(options.seed, relation.aligned),
        timeZone: creek.timeZone,
        sureGood: { effective: sureGood(gauge?.effective), oneReading: sureGood(gauge?.oneReading) },
        given: known[i]?.given,
      },
    );
  });
  const judged = (run: string) =>
    bestFirst(
      judgements
        .filter((judgement) => judgement.run === run)
        .map((judgement) => ({ judgement, trust: trustOfJudgement(judgement) })),
    ).map(({ judgement }) => judgement);
  const trust: TrustFile = Object.freeze({
    kind: 'creek-trust',
    schema: 1,
    creek: chart.creek,
    runs: Object.freeze(
      chart.runs.map(({ id, name }) => Object.freeze({ id, name, gauges: Object.freeze(judged(id)) })),
    ),
    cautions: chart.cautions,
    provenance: chart.provenance,
  });
  return Object.freeze({ kind: 'judged-creek', chart: withTrust(chart, judgements), trust });
}

function labelOf({ run, record }: Relation): string {
  return `${run.name} by ${record.name}`;
}

function gaugeOf(chart: CreekChart, { run, record }: Relation): GaugeChart | undefined {
  return chart.runs.find(({ id }) => id === run.id)?.gauges.find(({ gauge }) => gauge.id === record.gauge);
}

/** The chart with the grades of the judgement, its gauges in that order. */
function withTrust(chart: CreekChart, judgements: readonly Judgement[]): CreekChart {
  return Object.freeze({
    ...chart,
    runs: Object.freeze(
      chart.runs.map((run) =>
        Object.freeze({
          ...run,
          gauges: Object.freeze(
            bestFirst(
              run.gauges.map((gauge): GaugeChart => {
                const judgement = judgements.find((j) => j.run === run.id && j.gauge === gauge.gauge.id);
                if (judgement === undefined) return gauge;
                const trust = trustOfJudgement(judgement);
                return Object.freeze({ ...gauge, trust, oneReadingLoses: oneReadingLoses(trust.skill) });
              }),
            ),
          ),
        }),
      ),
    ),
  });
}
