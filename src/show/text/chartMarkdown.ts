import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, CreekTrust, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import { VERDICT } from '../../series/visits.js';
import { featureName } from './featureName.js';
import { edgeTexts, unitColumns, type UnitsChoice } from './inUnits.js';
import { gaugesBestFirst, isUsable } from './gaugesBestFirst.js';
import { gaugesMarkdown } from './gaugesMarkdown.js';
import { percentOf } from './gaugesTable.js';
import { judgementOf } from './judgementOf.js';
import { keeperNotes } from './keeperNotes.js';
import { headRows, md, tableRow } from './markdownText.js';
import { plainStrings } from './plainText.js';
import { quickNote, shortTrust } from './shortTrust.js';
import { staffRows } from './staffRows.js';
import { evidenceText, otherText, plural, provenanceLines, TOO_THIN } from './trustTexts.js';

/**
 * The chart as Markdown, for a club's page or a repository: the same content as the terminal table, the features' edges,
 * where they were ranked the gauges with their reasons, and the provenance besides. Texts from the folder are escaped, so that a name cannot become a link, an image or HTML.
 * @example writeFileSync('chart.md', chartMarkdown(chart))
 */
export function chartMarkdown(
  chart: CreekChart,
  {
    units = 'both',
    trust,
    gauges,
  }: { units?: UnitsChoice; trust?: CreekTrust | undefined; gauges?: CreekGauges | undefined } = {},
): string {
  const clean = plainStrings(chart);
  const style: Style = {
    units,
    timeZone: clean.creek.timeZone,
    trust: trust === undefined ? undefined : plainStrings(trust),
    gauges: gauges === undefined ? undefined : plainStrings(gauges),
  };
  const lines = [
    `# Level chart: ${md(clean.creek.name)}`,
    '',
    ...clean.cautions.map((caution) => `> **${md(caution)}**  `),
    '',
    'Classes stand highest water first. Between two classes stands their edge: the gauge value where both are equally',
    'likely, rounded to the safer side, with its 80 % interval in brackets. "Sure" means odds of at least 80 %. An edge',
    'marked `*` has no visit on one side: it is an assumption, not an observation.',
    '',
    ...clean.runs.flatMap((run) => runLines(run, style)),
    ...keeperLines(style),
    ...notUsedLines(clean),
    '## Made from',
    '',
    ...provenanceLines(clean).map((line) => `- ${md(line)}`),
  ];
  return `${lines.join('\n')}\n`;
}

interface Style {
  readonly units: UnitsChoice;
  readonly timeZone: string;
  readonly trust: CreekTrust | undefined;
  readonly gauges: CreekGauges | undefined;
}

function runLines(run: RunChart, style: Style): string[] {
  return [
    `## ${md(run.name)}`,
    '',
    `Classes: ${run.classes.map(md).join(' < ')}`,
    '',
    ...(run.verdictFrom === undefined
      ? []
      : [`Nobody gives verdicts here: the classes are translated from ${md(featureName(run, run.verdictFrom))}.`, '']),
    ...(run.gauges.length === 0 ? ['No gauge could be read for this run.', ''] : []),
    ...gaugesBestFirst(run).flatMap((gauge) => gaugeLines(run, gauge, style)),
    ...comparedLines(run, style),
    ...whichLines(run, style),
  ];
}

function gaugeLines(run: RunChart, gauge: GaugeChart, { timeZone, units, trust: creekTrust }: Style): string[] {
  const { trust, level } = gauge;
  const judgement = judgementOf(creekTrust, run.id, gauge.gauge.id);
  const none = trust.grade === 'no usable relation' || level === undefined;
  return [
    `### ${md(gauge.gauge.name)} (${gauge.gauge.parameter}): ${trust.grade}`,
    '',
    ...[...(judgement === undefined ? trust.reasons : []), evidenceText(gauge, timeZone)].map(
      (text) => `- ${md(text)}`,
    ),
    ...(none ? [] : [`- ${md(gauge.lag.sentence)}`]),
    '',
    ...(none
      ? ['No levels are given: this gauge does not tell the classes of this run apart.', '']
      : [...(isUsable(trust.grade) ? [] : [TOO_THIN, '']), ...levelLines(run, gauge, { level, units })]),
    ...(none || gauge.other === undefined ? [] : [md(otherText(gauge.other)), '']),
    ...(judgement === undefined
      ? []
      : [
          `#### How far to trust it: ${judgement.grade}`,
          '',
          ...shortTrust(judgement).map(({ label, sentences }) => `- **${label}:** ${sentences.map(md).join(' ')}`),
          '',
        ]),
  ];
}

/** The gauges of a run beside each other; one alone needs no table. */
function comparedLines(run: RunChart, { trust }: Style): string[] {
  const gauges = trust?.runs.find(({ id }) => id === run.id)?.gauges ?? [];
  if (gauges.length < 2) return [];
  return [
    ...headRows(['Gauge', 'Grade', 'Skill', 'Right class', 'Creek higher than said', 'Visits', 'Floods'], { right: 2 }),
    ...gauges.map(({ gaugeName, grade, way, scores, evidence }) =>
      tableRow([
        md(gaugeName),
        grade,
        percentOf(scores?.ways.find((score) => score.way === way)?.skill.againstFrequencies),
        percentOf(scores?.confusion.right),
        percentOf(scores?.confusion.seenHigher),
        String(evidence.visits),
        String(evidence.floods),
      ]),
    ),
    '',
  ];
}

/** Which gauge to read, and what loggers, lags and staffs tell. */
function whichLines(run: RunChart, { gauges, units, timeZone }: Style): readonly string[] {
  const own = gauges?.runs.find(({ id }) => id === run.id);
  return own === undefined ? [] : gaugesMarkdown(own, { units, timeZone });
}

/** What is for the keeper of the log, not for who wants to paddle. */
function keeperLines({ trust }: Style): string[] {
  if (trust === undefined) return [];
  const notes = keeperNotes(trust);
  const quick = quickNote(trust);
  return [
    ...(quick === undefined ? [] : [md(quick), '']),
    ...(notes.length === 0 ? [] : ['## For whoever keeps the log', '']),
    ...notes.flatMap(({ runName, gaugeName, parts }) => [
      `### ${md(runName)} by ${md(gaugeName)}`,
      '',
      ...parts.flatMap(({ label, notes: [first = '', ...rest] }) => [
        `- **${label}:** ${md(first)}`,
        ...rest.map((note) => `  - ${md(note)}`),
      ]),
      '',
    ]),
  ];
}

function levelLines(
  run: RunChart,
  gauge: GaugeChart,
  { level, units }: { level: LevelChart; units: UnitsChoice },
): string[] {
  const staff = staffRows(run, gauge, { level, units });
  const name = level.way === 'effective' ? 'By the effective reading' : 'By one reading';
  return [
    `#### ${name}`,
    '',
    `**How to read it:** ${md(level.howToRead)}`,
    '',
    ...(level.status === 'converged' ? [] : [md(level.statusSentence), '']),
    tableRow(['', ...staff.units]),
    tableRow(['---', ...staff.units.map(() => '---')]),
    ...staff.rows.map((row) => {
      const label = row.kind === 'class' ? `**${md(row.label)}**` : `*${md(row.label)}*`;
      const star = row.seenBothSides ? '' : ' \\*';
      return tableRow([
        label,
        ...row.cells.map(({ value, rest }) => (value === '' ? md(rest) : `**${value}** ${md(rest)}${star}`)),
      ]);
    }),
    '',
    ...featureLines(run, gauge, { level, units }),
  ];
}

/** Edges of the reference features: at which gauge value each of their classes begins. */
function featureLines(
  run: RunChart,
  gauge: GaugeChart,
  { level, units }: { level: LevelChart; units: UnitsChoice },
): string[] {
  const edges = level.edges.filter((edge) => edge.feature !== VERDICT);
  if (edges.length === 0) return [];
  const columns = unitColumns(gauge.gauge, units);
  return [
    tableRow(['Feature', 'Edge', ...columns.map(({ label }) => label)]),
    tableRow(['---', '---', ...columns.map(() => '---')]),
    ...edges.map((edge) => {
      const cells = columns.map((column) => {
        const { value, interval80 } = edgeTexts(edge, column);
        return `${value} (${interval80})${edge.seenBothSides ? '' : ' \\*'}`;
      });
      return tableRow([
        md(featureName(run, edge.feature)),
        `${md(edge.between[0])} / ${md(edge.between[1])}`,
        ...cells,
      ]);
    }),
    '',
  ];
}

function notUsedLines({ notUsed }: CreekChart): string[] {
  if (notUsed.length === 0) return [];
  return [
    '## Not used',
    '',
    ...notUsed.map(({ code, rows }) => `- ${plural(rows, 'row')}: ${md(code)}`),
    '',
    'Each row with its reason stands in not-used.csv.',
    '',
  ];
}
