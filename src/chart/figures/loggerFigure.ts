import type { LoggerPrediction } from '../../fit/logger/loggerLevel.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { unitLabel, type GaugeUnit } from '../../series/units.js';
import type { LoggerGauge } from '../gauges/types.js';
import { BANDS, INK } from '../palette.js';
import { bandBetween, curveLine } from './bandLines.js';
import { spanOf } from './curveAndResiduals.js';
import { axisStyle, axisTitle, baseLayout, type Figure, type PlotlyObject } from './figure.js';
import { localStamp, wallClock } from './localTime.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';

/** More points than this are thinned. */
const MOST_POINTS = 1500;

interface Drawn {
  readonly gaugeName: string;
  readonly sentence: string;
  /** Whose interval the band is. */
  readonly interval: string;
  readonly seen: { readonly timesMs: readonly number[]; readonly values: readonly (number | null)[] };
  readonly expected: {
    readonly timesMs: readonly number[];
    readonly values: readonly (number | null)[];
    readonly low: readonly (number | null)[];
    readonly high: readonly (number | null)[];
  };
}

/**
 * A logger's levels (solid) and what the routed gauge says they should have been (dashed), with the interval of one level. A gap stays a gap.
 *
 * @param one a fit from `fitLogger`, or one gauge of a logger as gauges.json holds it. @param options.logger its record, or its name and unit. @param options.levels with a
 *   fit: from `loggerLevel`, at ascending times. @param options.timeZone wall clock of the axis; default UTC.
 * @returns undefined without levels.
 */
export function loggerFigure(
  one: LoggerFit,
  options: { logger: GaugeRecord; levels: readonly LoggerPrediction[]; timeZone?: string },
): Figure | undefined;
export function loggerFigure(
  one: LoggerGauge,
  options: { logger: { readonly name: string; readonly unit: GaugeUnit }; timeZone?: string },
): Figure | undefined;
export function loggerFigure(
  one: LoggerFit | LoggerGauge,
  {
    logger,
    levels = [],
    timeZone = 'UTC',
  }: {
    logger: GaugeRecord | { readonly name: string; readonly unit: GaugeUnit };
    levels?: readonly LoggerPrediction[];
    timeZone?: string;
  },
): Figure | undefined {
  const found = 'kind' in one ? fromFit(one, { logger: logger as GaugeRecord, levels }) : fromReport(one);
  if (found === undefined) return undefined;
  const { gaugeName, sentence, seen, expected } = found;
  const x = wallClock(expected.timesMs, timeZone);
  const layout = (narrow: boolean): PlotlyObject =>
    baseLayout({
      height: narrow ? 293 : 333,
      margin: { l: 62, r: 14, t: 30, b: 60 },
      xaxis: axisStyle({
        type: 'date',
        range: [x[0], x[x.length - 1]],
        nticks: narrow ? 4 : 8,
        title: axisTitle(timeZone === 'UTC' ? 'UTC' : `local time, ${plotlyText(timeZone, { maxChars: 30 })}`),
      }),
      yaxis: axisStyle({ title: axisTitle(`level, ${unitLabel(logger.unit)}`, 6), nticks: 6 }),
      // The two lines run over each other: a name at each would hide the other.
      annotations: [
        {
          x: 0,
          y: 1.01,
          xref: 'paper',
          yref: 'paper',
          xanchor: 'left',
          yanchor: 'bottom',
          text: narrow
            ? 'full: logger, dashed: from the gauge'
            : 'full line: logger; dashed: expected from the gauge, with its interval',
          showarrow: false,
          font: { size: 12, color: INK },
        },
      ],
    });
  return {
    kind: 'figure',
    title: `${logger.name} and ${gaugeName}`,
    alt: altOf(found, { logger, timeZone, sentence }),
    data: [
      bandBetween(x, {
        low: expected.low,
        high: expected.high,
        fill: BANDS.light,
        name: plotlyText(`expected from ${gaugeName}`),
      }),
      curveLine(wallClock(seen.timesMs, timeZone), seen.values, { accent: true }),
      curveLine(x, expected.values, { dashed: true }),
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

function fromFit(
  fit: LoggerFit,
  { logger, levels }: { logger: GaugeRecord; levels: readonly LoggerPrediction[] },
): Drawn | undefined {
  if (levels.length === 0) return undefined;
  const every = Math.ceil(levels.length / MOST_POINTS);
  const shown = levels.filter((_, i) => i % every === 0);
  const step = Math.ceil(logger.values.length / MOST_POINTS);
  const thinned = (values: Float64Array): readonly number[] => Array.from(values).filter((_, i) => i % step === 0);
  return {
    gaugeName: fit.gaugeName,
    sentence: fit.statusSentence,
    interval: 'the interval of one level',
    seen: { timesMs: thinned(logger.timesMs), values: thinned(logger.values) },
    expected: {
      timesMs: shown.map((p) => p.timeMs),
      values: shown.map((p) => p.level),
      low: shown.map((p) => p.lower),
      high: shown.map((p) => p.upper),
    },
  };
}

function fromReport({ gaugeName, sentence, levels }: LoggerGauge): Drawn | undefined {
  if (levels === null || levels.timesMs.length === 0) return undefined;
  const { timesMs, seen, expected, low80, high80 } = levels;
  return {
    gaugeName,
    sentence,
    interval: 'the 80 % interval of one level',
    seen: { timesMs, values: seen },
    expected: { timesMs, values: expected, low: low80, high: high80 },
  };
}

function altOf(
  { gaugeName, interval, seen, expected }: Drawn,
  { logger, timeZone, sentence }: { logger: { name: string; unit: GaugeUnit }; timeZone: string; sentence: string },
): string {
  const [low, high] = spanOf(seen.values.flatMap((value) => value ?? []));
  const day = (timeMs: number) => localStamp(timeMs, timeZone).slice(0, 10);
  const range = low <= high ? ` from ${valueText(low)} to ${valueText(high)} ${unitLabel(logger.unit)}` : '';
  const { timesMs } = expected;
  return `Levels of ${logger.name}${range}, ${day(timesMs[0]!)} to ${day(timesMs[timesMs.length - 1]!)}, and the levels expected from ${gaugeName}, with ${interval}. ${sentence}`;
}
