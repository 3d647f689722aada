import { biasFigure } from '../chart/figures/biasFigure.js';
import type { Figure } from '../chart/figures/figure.js';
import { gaugeScale, type GaugeScale } from '../chart/figures/gaugeScale.js';
import { hydrographFigure } from '../chart/figures/hydrographFigure.js';
import { lagFigure } from '../chart/figures/lagFigure.js';
import { leadCurveFigure } from '../chart/figures/leadCurveFigure.js';
import { loggerFigure } from '../chart/figures/loggerFigure.js';
import { nextLookFigure } from '../chart/figures/nextLookFigure.js';
import { rankingFigure } from '../chart/figures/rankingFigure.js';
import { reliabilityFigure } from '../chart/figures/reliabilityFigure.js';
import { outlookFigure } from '../chart/figures/outlookFigure.js';
import { outlookSkillFigure } from '../chart/figures/outlookSkillFigure.js';
import { residualsFigure } from '../chart/figures/residualsFigure.js';
import { ruleFrontierFigure } from '../chart/figures/ruleFrontierFigure.js';
import { seasonFigure } from '../chart/figures/seasonFigure.js';
import { staffFigure } from '../chart/figures/staffFigure.js';
import { staffRatingFigure } from '../chart/figures/staffRatingFigure.js';
import type { RunGauges } from '../chart/gauges/types.js';
import type { CreekChart, GaugeChart, RunChart } from '../chart/types.js';
import { isUsableGrade } from '../judge/grade.js';
import type { CreekTrust, Judgement } from '../judge/judgement.js';
import { answerDocument, provenanceItems, type CreekTold } from './answerDocument.js';
import { minute } from '../series/format.js';
import { answerOf } from './answersOf.js';
import { seasonWords } from './answerWords.js';
import { fold, heading, list, rows, says, type Block, type Document, type Subject } from './document.js';
import { gaugeBlocks } from './gaugesDocument.js';
import { keeperDocument } from './keeperDocument.js';
import { judgementOf, levelOf, recommendedGauge } from './levelOf.js';
import { aheadBlocks, outlookSkillTable } from './nowDocument.js';
import { changesBlocks } from './changesDocument.js';
import { saidBlocks, saidSentence } from './saidWords.js';
import { table, text } from './table.js';
import { judgementBlocks, quickNote } from './trustDocument.js';
import { comparedTable } from './tables/trustTables.js';

/** What stands behind the answers on a page, in the order a reader asks for it, with the figures that a terminal cannot show. */
export function pageDocuments(told: CreekTold): readonly Document[] {
  const { chart, trust, gauges, changes } = told;
  const made = (subject: Subject, title: string, body: readonly Block[]): readonly Document[] =>
    body.length === 0 ? [] : [{ kind: 'document', subject, title, cautions: chart.cautions, body }];
  return [
    ...made('trust', 'How far to trust it', trust === undefined ? [] : trustBlocks(chart, trust)),
    ...made(
      'gauges',
      'Which gauge to read',
      chart.runs.flatMap((run, r) =>
        part(run, [
          ...otherGauges(run, trust),
          ...rankedBlocks(chart, { run, gauges: gauges?.runs.find(({ id }) => id === run.id), id: `r${r}` }),
        ]),
      ),
    ),
    ...made(
      'season',
      'Through the year, and the next days',
      chart.runs.flatMap((run, r) => dayBlocks(chart, run, `r${r}`)),
    ),
    ...made('keeper', 'For whoever keeps the log', trust === undefined ? [] : keeperBlocks(chart, trust)),
    ...made('answer', 'Every edge, the records and their visits', [
      ...answerDocument(told)
        .body.filter(({ kind }) => kind === 'fold')
        .slice(0, chart.runs.length),
      ...chart.runs.flatMap((run, r) => part(run, [...recordBlocks(chart, run, `r${r}`), ...looksBlocks(run)])),
    ]),
    ...made('changes', 'What changed since the chart before', changes === undefined ? [] : changesBlocks(changes)),
    ...made('source', 'Where this comes from', list(provenanceItems(chart))),
  ];
}

/** A run's part of a document; nothing where there is nothing to say. */
function part({ name }: RunChart, body: readonly Block[]): readonly Block[] {
  return body.length === 0 ? [] : [heading(3, name), ...body];
}

function drawn(id: string, caption: string, figure: Figure | undefined | null): readonly Block[] {
  return figure === undefined || figure === null ? [] : [{ kind: 'figure', id, figure, caption }];
}

/** The axis that a gauge has in all of its figures. */
export function scaleOf(chart: CreekChart, id: string): GaugeScale {
  return gaugeScale(chart.runs.flatMap((run) => run.gauges).filter(({ gauge }) => gauge.id === id));
}

function trustBlocks(chart: CreekChart, trust: CreekTrust): readonly Block[] {
  return [
    ...says(quickNote(trust), 'note'),
    ...chart.runs.flatMap((run, r) => {
      const judged = trust.runs.find(({ id }) => id === run.id)?.gauges ?? [];
      const read = recommendedGauge(run)?.gauge.id;
      return part(run, [
        ...rows(comparedTable(judged)),
        ...judged.flatMap((by, g) =>
          fold(`r${r}g${g}`, `${by.gaugeName}: ${by.grade}`, [
            ...(by.gauge === read ? trustFigures(by, `r${r}g${g}`) : []),
            ...judgementBlocks(by, trust.creek.timeZone).slice(1),
          ]),
        ),
      ]);
    }),
  ];
}

function trustFigures({ scores, rules, leadCurve, unit }: Judgement, id: string): readonly Block[] {
  return [
    ...drawn(
      `${id}-odds`,
      'Stated odds against how often the class was seen, with 80 % bars: on the diagonal they are right.',
      scores && reliabilityFigure(scores.reliability),
    ),
    ...drawn(
      `${id}-rule`,
      'Each mark is a range to go by that no other beats: few good days missed, few days found too high. ' +
        'Diamond: the chosen one, on floods it was not chosen by.',
      rules && ruleFrontierFigure(rules, { unit }),
    ),
    ...drawn(
      `${id}-lead`,
      'What deciding earlier costs, with 80 % intervals.',
      leadCurve && leadCurveFigure(leadCurve),
    ),
  ];
}

/** Every other gauge that may be planned with, with a card and a calculator of its own: for the day the first one is down. */
function otherGauges(run: RunChart, trust: CreekTrust | undefined): readonly Block[] {
  const read = recommendedGauge(run);
  return run.gauges
    .filter((gauge) => gauge !== read && isUsableGrade(gauge.trust.grade) && levelOf(gauge) !== undefined)
    .flatMap((gauge) =>
      fold(`${run.id}-${gauge.gauge.id}`, `Levels by ${gauge.gauge.name}: ${gauge.trust.grade}`, [
        { kind: 'card', answer: answerOf(run, { gauge, trust }), units: [gauge.gauge.unit, gauge.gauge.otherUnit] },
      ]),
    );
}

function rankedBlocks(
  chart: CreekChart,
  { run, gauges, id }: { run: RunChart; gauges: RunGauges | undefined; id: string },
): readonly Block[] {
  if (gauges === undefined) return [];
  const { timeZone } = chart.creek;
  const { ranking, loggers, staffs } = gauges;
  const best = (logger: (typeof loggers)[number]) => logger.gauges.slice(0, 1);
  return [
    ...drawn(
      `${id}-ranking`,
      'Guesswork taken away on floods left out, with 80 % intervals.',
      ranking && rankingFigure(ranking),
    ),
    ...gaugeBlocks(gauges, timeZone).map((block) =>
      block.kind === 'heading' ? { ...block, level: 4 as const } : block,
    ),
    ...loggers.flatMap((logger, l) =>
      best(logger).flatMap((one) =>
        drawn(`${id}-logger${l}`, `${logger.name} against ${one.gaugeName}.`, loggerFigure(one, { logger, timeZone })),
      ),
    ),
    ...staffs.flatMap((staff, s) => [
      ...drawn(`${id}-staff${s}`, `${staff.name}: its readings in each class of the run.`, staffFigure(staff)),
      ...staff.gauges
        .filter(({ gauge }) => gauge === recommendedGauge(run)?.gauge.id)
        .flatMap((rating) =>
          drawn(
            `${id}-rating${s}`,
            `${staff.name} by ${rating.gaugeName}.`,
            staffRatingFigure(rating, { ...staff, scale: scaleOf(chart, rating.gauge) }),
          ),
        ),
    ]),
  ];
}

function keeperBlocks(chart: CreekChart, trust: CreekTrust): readonly Block[] {
  const figures = chart.runs.flatMap((run, r) => {
    const gauge = recommendedGauge(run);
    const by = gauge && judgementOf(trust, run.id, gauge.gauge.id);
    return gauge === undefined || by === undefined ? [] : part(run, keeperFigures(chart, { gauge, by, id: `r${r}` }));
  });
  return [...keeperDocument(trust).body, ...says(saidSentence(chart)), ...saidBlocks(chart), ...figures];
}

function keeperFigures(
  chart: CreekChart,
  { gauge, by, id }: { gauge: GaugeChart; by: Judgement; id: string },
): readonly Block[] {
  const { nextLook, observers, shift } = by;
  const scale = scaleOf(chart, by.gauge);
  return [
    ...drawn(
      `${id}-look`,
      'Where one more visit would narrow the edges of good most.',
      nextLook && nextLookFigure(gauge, { nextLook, scale }),
    ),
    ...drawn(
      `${id}-bias`,
      'Who sees more or less water than the others, with 80 % and 95 % intervals.',
      biasFigure(observers),
    ),
    ...drawn(
      `${id}-shift`,
      'How far the creek stood from what the gauge said, over the years.',
      residualsFigure(shift, { timeZone: chart.creek.timeZone }),
    ),
  ];
}

/** How the run goes through the year, and how it may go on from the last reading. */
function dayBlocks(chart: CreekChart, run: RunChart, id: string): readonly Block[] {
  const gauge = recommendedGauge(run);
  if (gauge === undefined || levelOf(gauge) === undefined) return [];
  const { season, ahead } = gauge;
  const { kind } = scaleOf(chart, gauge.gauge.id);
  const { timeZone } = chart.creek;
  return part(run, [
    ...says(seasonWords(season ?? null)),
    ...drawn(
      `${id}-season`,
      'Share of days in each class by month, by the whole record of the gauge. White: readings that no visit has met.',
      season && seasonFigure(season, { run: run.name }),
    ),
    ...(ahead === undefined
      ? []
      : [
          ...drawn(
            `${id}-ahead`,

            `How past moments like the last reading (${minute(ahead.outlook.fromMs, timeZone)} at the creek) went on: ` +
              'median and the middle 80 %. Broken lines: the edges.',
            outlookFigure(ahead.outlook, gauge, { kind, timeZone }),
          ),
          ...aheadBlocks(ahead.outlook, { skill: ahead.skill, timeZone }),
          ...drawn(
            `${id}-ahead-skill`,

            'What an outlook takes away of the guesswork that is left by the season alone (line, 80 % band) and by ' +
              'the class staying as it is (broken line).',
            ahead.skill && outlookSkillFigure(ahead.skill),
          ),
          ...(ahead.skill === null ? [] : rows(outlookSkillTable(ahead.skill))),
        ]),
  ]);
}

function recordBlocks(chart: CreekChart, run: RunChart, id: string): readonly Block[] {
  const gauge = recommendedGauge(run);
  if (gauge === undefined) return [];
  const words = { classes: run.classes, timeZone: chart.creek.timeZone, features: run.features };
  return [
    ...drawn(
      `${id}-record`,
      `The record of ${gauge.gauge.name}, each visit at the reading it is matched with.`,
      hydrographFigure(gauge, { scale: scaleOf(chart, gauge.gauge.id), ...words }),
    ),
    ...drawn(
      `${id}-lag`,
      'Lag: hours from the gauge reading to the same water at the creek, over both signs. A plan uses only readings from before the trip.',
      lagFigure(gauge),
    ),
  ];
}

/** What each feature looks like in each class, as creek.json tells it. */
function looksBlocks(run: RunChart): readonly Block[] {
  const looks = run.features.flatMap(({ name, classes, looks: told = {} }) =>
    classes.flatMap((word) => (told[word] === undefined ? [] : [{ name, word, look: told[word] }])),
  );
  return rows(
    table(
      'looks',
      'What the features look like',
      looks,
    )({
      feature: text('feature', 'Its name.', ({ name }) => name),
      class: text('class', 'The word for it.', ({ word }) => word),
      looks: text('looks', 'What is seen then.', ({ look }) => look),
    }),
  );
}
