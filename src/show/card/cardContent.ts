import type { CreekChart, GaugeChart, RunChart } from '../../chart/types.js';
import { isUsableGrade } from '../../judge/grade.js';
import { counted } from '../../series/format.js';
import { answerOf } from '../../tell/answersOf.js';
import { evidenceText, goodText, stepsOf } from '../../tell/answerTexts.js';
import { levelOf, recommendedGauge } from '../../tell/levelOf.js';
import { ASSUMED, LEVELS_CAPTION, levelRows, type LevelRow } from '../../tell/levelRows.js';
import { plainStrings } from '../text/plainText.js';

/** Everything that one printed card says: one run read from one gauge. All texts are plain and clean. */
export interface Card {
  readonly creek: string;
  readonly run: string;
  readonly gauge: string;
  readonly grade: string;
  /** Of 3. */
  readonly steps: number;
  readonly howToRead: string;
  /** The good range, where it is sure, and what else belongs to the instruction. */
  readonly remarks: readonly string[];
  readonly classes: number;
  readonly rows: readonly LevelRow[];
  /** How the rows are read. */
  readonly key: string;
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
  /** What it was made from: version, seed, fingerprints of the folder's files. */
  readonly made: string;
}

/**
 * The cards of a chart: one for each run and gauge that may be planned with, runs in their order, the gauge to read first.
 * @returns no card where no gauge is usable: a card in a pocket must not look like an answer.
 * @example cardsOf(chart).map((card) => card.howToRead)
 */
export function cardsOf(chart: CreekChart): readonly Card[] {
  const clean = plainStrings(chart);
  return clean.runs.flatMap((run) => {
    const read = recommendedGauge(run);
    return run.gauges
      .filter((gauge) => isUsableGrade(gauge.trust.grade) && levelOf(gauge) !== undefined)
      .sort((a, b) => Number(b === read) - Number(a === read))
      .map((gauge) => cardOf(clean, { run, gauge, read }));
  });
}

function cardOf(
  chart: CreekChart,
  { run, gauge, read }: { run: RunChart; gauge: GaugeChart; read: GaugeChart | undefined },
): Card {
  const answer = answerOf(run, { gauge });
  const reading = answer.reading!;
  const level = levelOf(gauge)!;
  return Object.freeze({
    creek: chart.creek.name,
    run: run.name,
    gauge: gauge.gauge.name,
    grade: answer.grade,
    steps: stepsOf(answer.grade),
    howToRead: reading.instruction,
    remarks: [
      `${goodText(reading)}.`,
      ...(reading.leadHours > 0
        ? [`For deciding ${counted(reading.leadHours, 'hour')} before being on the water.`]
        : []),
      ...(level.status === 'converged' ? [] : [level.statusSentence]),
    ],
    classes: run.classes.length,
    rows: levelRows(reading),
    key: [LEVELS_CAPTION, ...(reading.edges.every((edge) => edge.seenBothSides) ? [] : [ASSUMED])].join(' '),
    notes: [
      evidenceText(answer, chart.creek.timeZone),
      ...gauge.trust.reasons.slice(0, 3),
      ...neverSeen(run, gauge),
      'What floods, wood or works have changed since the last visit is not in here.',
      ...(read === undefined || gauge === read ? [] : [`The gauge to read for this run is ${read.gauge.name}.`]),
    ],
    cautions: chart.cautions,
    made: madeFrom(chart),
  });
}

function neverSeen({ classes }: RunChart, { trust }: GaugeChart): readonly string[] {
  const never = classes.filter((_, k) => trust.evidence.classCounts[k] === 0);
  return never.length === 0 ? [] : [`No visit was logged as ${never.join(', ')}.`];
}

function madeFrom({ provenance }: CreekChart): string {
  const files = provenance.files
    .filter(({ name }) => name === 'creek.json' || name === 'visits.csv')
    .map(({ name, sha256 }) => `${name} ${sha256.slice(0, 8)}`);
  return [`${provenance.tool} ${provenance.version}, seed ${provenance.seed}`, ...files].join('; ');
}
