import { confidenceFigure } from '../../chart/figures/confidenceFigure.js';
import type { Figure } from '../../chart/figures/figure.js';
import { gaugeScale } from '../../chart/figures/gaugeScale.js';
import { intervalFigure, type IntervalRow } from '../../chart/figures/intervalFigure.js';
import { leadCurveFigure } from '../../chart/figures/leadCurveFigure.js';
import { rangeFigure } from '../../chart/figures/rangeFigure.js';
import { rankingFigure } from '../../chart/figures/rankingFigure.js';
import { reliabilityFigure } from '../../chart/figures/reliabilityFigure.js';
import { ruleFrontierFigure } from '../../chart/figures/ruleFrontierFigure.js';
import { skillFigure, WAY_WORDS } from '../../chart/figures/skillFigure.js';
import { estimate } from '../../chart/types.js';
import type { CreekChart, GaugeChart } from '../../chart/types.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { LevelFit } from '../../fit/types.js';
import type { CreekTrust, Judgement } from '../../judge/judgement.js';
import type { TrustSummary } from '../../judge/types.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { isFrame, type Tabular } from './blocksOf.js';

/**
 * The figures that go with a result's tables: a chart's gauge ranges, the odds of a gauge, the edges of a fit, the scores of a judgement, a
 * ranking.
 */
export function figuresOf(thing: Tabular): readonly Figure[] {
  return drawn(thing).filter((figure) => figure !== undefined);
}

function drawn(thing: Tabular): readonly (Figure | undefined)[] {
  if (isFrame(thing)) return [];
  if ('kind' in thing)
    switch (thing.kind) {
      case 'creek-chart':
        return rangesOf(thing);
      case 'level-fit':
        return [edgesOf(thing)];
      case 'logger-fit':
        return [hoursOf(thing)];
      case 'judgement':
        return scoresOf(thing);
      case 'creek-trust':
        return skillsOf(thing);
      case 'judged-creek':
        return [...rangesOf(thing.chart), ...skillsOf(thing.trust)];
      case 'gauge-ranking':
        return [named(`Run ${thing.run}`, rankingFigure(thing))];
      case 'creek-gauges':
        return thing.runs.map(({ name, ranking }) =>
          ranking === null ? undefined : named(name, rankingFigure(ranking)),
        );
      default:
        return [];
    }
  if ('trust' in thing && 'hydrograph' in thing) return [oddsOf(thing)];
  if ('grade' in thing && 'checks' in thing) return [skillOfSummary(thing)];
  return [];
}

/** What each gauge reads at the classes of each run. */
function rangesOf(chart: CreekChart): readonly (Figure | undefined)[] {
  const ids = new Set(chart.runs.flatMap(({ gauges }) => gauges.map(({ gauge }) => gauge.id)));
  return [...ids].map((id) => rangeFigure(chart, { gauge: id }));
}

function oddsOf(gauge: GaugeChart): Figure | undefined {
  if (gauge.trust.grade === 'no usable relation') return undefined;
  return confidenceFigure(gauge, { scale: gaugeScale([gauge]) });
}

/** Edges of the verdict with their intervals, in the gauge's unit. */
function edgesOf({ features, draws, offset, unit, gaugeName, run }: LevelFit): Figure | undefined {
  const verdict = features.find(({ id }) => id === VERDICT);
  if (verdict === undefined || draws.count === 0) return undefined;
  const E = verdict.classes.length - 1;
  const rows = Array.from({ length: E }, (_, k): IntervalRow => {
    const values = Float64Array.from(
      { length: draws.count },
      (_draw, d) => offset + Math.exp(verdict.edges[d * E + k]!),
    );
    return { label: `${verdict.classes[k]!} / ${verdict.classes[k + 1]!}`, ...estimate(values) };
  });
  const digits = Math.max(0, 2 - Math.floor(Math.log10(Math.max(...rows.map(({ median }) => Math.abs(median))))));
  return intervalFigure(rows.reverse(), {
    title: `Edges of ${run} at ${gaugeName}`,
    axis: `edge, ${unitLabel(unit)}`,
    digits,
  });
}

function hoursOf({ status, lag, storage, gaugeName }: LoggerFit): Figure | undefined {
  if (status !== 'converged') return undefined;
  return intervalFigure(
    [
      { label: 'lag', ...lag },
      { label: 'storage', ...storage },
    ],
    {
      title: `Lag and storage of ${gaugeName} by the logger`,
      axis: 'hours',
      digits: 1,
      zero: { at: 0, label: 'none' },
    },
  );
}

function scoresOf({ scores, leadCurve, rules, unit, runName, gaugeName }: Judgement): readonly (Figure | undefined)[] {
  const name = `${runName} by ${gaugeName}`;
  return [
    scores === null ? undefined : named(name, skillFigure(scores)),
    scores === null ? undefined : named(name, reliabilityFigure(scores.reliability)),
    leadCurve === null || leadCurve.points.length < 2 ? undefined : named(name, leadCurveFigure(leadCurve)),
    rules === null ? undefined : named(name, ruleFrontierFigure(rules, { unit })),
  ];
}

/** The gauges of each run by the skill of their better way of reading. */
function skillsOf({ runs }: CreekTrust): readonly (Figure | undefined)[] {
  return runs.map(({ name, gauges }) =>
    intervalFigure(
      gauges.flatMap(({ gaugeName, way, scores }): readonly IntervalRow[] => {
        const skill = scores?.ways.find((one) => one.way === way)?.skill.againstFrequencies;
        return skill === undefined || skill.value === null
          ? []
          : [{ label: gaugeName, median: skill.value, i80: skill.i80 }];
      }),
      { title: `${name}: skill of each gauge`, ...SKILL },
    ),
  );
}

/** A verdict that has no more than its skill. */
function skillOfSummary({ skill, way }: TrustSummary): Figure | undefined {
  const { value = null, i80 } = skill?.againstFrequencies ?? {};
  const rows = value === null || way === null ? [] : [{ label: WAY_WORDS[way], median: value, i80: i80! }];
  return intervalFigure(rows, { title: 'Skill on floods left out', ...SKILL });
}

const SKILL = { axis: 'guesswork taken away, %', times: 100, zero: { at: 0, label: 'no better' } } as const;

/** Several of one kind can stand below each other: each says whose it is. */
function named(name: string, figure: Figure | undefined): Figure | undefined {
  return figure === undefined ? undefined : Object.freeze({ ...figure, title: `${name}: ${figure.title}` });
}
