import type { LoggerPrediction } from '../../fit/logger/loggerLevel.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import { day, figures } from '../../series/format.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { unitLabel, type GaugeUnit } from '../../series/units.js';
import type { LoggerGauge } from '../gauges/types.js';
import { BANDS } from '../palette.js';
import { bandBetween, curveLine, spanOf } from './bandLines.js';
import { axisStyle, axisTitle, figureOf, type Figure } from './figure.js';
import { dateAxis } from './hydrographFigure.js';
import { wallClock } from './localTime.js';
import { noteAbove, thinned } from './marks.js';
import { plotlyText } from './plotlyText.js';

/** More points than this are thinned. */
const MOST_POINTS = 1500;
type Heights = readonly (number | null)[];

interface Drawn {
  readonly gaugeName: string;
  readonly sentence: string;
  /** Whose interval the band is. */
  readonly interval: string;
  readonly seen: { readonly timesMs: readonly number[]; readonly values: Heights };
  readonly expected: Drawn['seen'] & { readonly low: Heights; readonly high: Heights };
}

/**
 * A logger's levels (solid) and what the routed gauge says they should have been (dashed), with the interval of one level. A gap stays a
 * gap.
 *
 * @param one a fit from `fitLogger`, or one gauge of a logger as gauges.json holds it.
 * @param options.logger its record, or its name and unit. @param options.levels with a
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
  const { gaugeName, interval, sentence, seen, expected } = found;
  const x = wallClock(expected.timesMs, timeZone);
  const [from, to] = [expected.timesMs[0]!, expected.timesMs[expected.timesMs.length - 1]!];
  const [low, high] = spanOf(seen.values);
  const range = low <= high ? ` from ${figures(low)} to ${figures(high)} ${unitLabel(logger.unit)}` : '';
  const alt =
    `Levels of ${logger.name}${range}, ${day(from, timeZone)} to ${day(to, timeZone)}, and the levels ` +
    `expected from ${gaugeName}, with ${interval}. ${sentence}`;
  const name = plotlyText(`expected from ${gaugeName}`);
  const data = [
    bandBetween(x, { low: expected.low, high: expected.high, fill: BANDS.light, name }),
    curveLine(wallClock(seen.timesMs, timeZone), seen.values, { accent: true }),
    curveLine(x, expected.values, { dashed: true }),
  ];
  return figureOf({ title: `${logger.name} and ${gaugeName}`, alt }, data, (narrow) => ({
    height: narrow ? 293 : 333,
    margin: { l: 62, r: 14, t: 30, b: 60 },
    xaxis: dateAxis(timeZone, { range: [x[0], x[x.length - 1]], nticks: narrow ? 4 : 8 }),
    yaxis: axisStyle({ title: axisTitle(`level, ${unitLabel(logger.unit)}`, 6), nticks: 6 }),
    // The two lines run over each other: a name at each would hide the other.
    annotations: [
      noteAbove(
        narrow
          ? 'full: logger, dashed: from the gauge'
          : 'full line: logger; dashed: expected from the gauge, with its interval',
        0,
      ),
    ],
  }));
}

function fromFit(
  fit: LoggerFit,
  { logger, levels }: { logger: GaugeRecord; levels: readonly LoggerPrediction[] },
): Drawn | undefined {
  if (levels.length === 0) return undefined;
  const shown = thinned(levels, MOST_POINTS);
  const some = (values: Float64Array) => thinned(Array.from(values), MOST_POINTS);
  return {
    gaugeName: fit.gaugeName,
    sentence: fit.statusSentence,
    interval: 'the interval of one level',
    seen: { timesMs: some(logger.timesMs), values: some(logger.values) },
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
