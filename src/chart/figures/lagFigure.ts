import { figures, range } from '../../series/format.js';
import { ACCENT, BAR, INK, PAPER } from '../palette.js';
import type { Estimate, GaugeChart } from '../types.js';
import { axisStyle, axisTitle, drawn, figureOf, type Figure } from './figure.js';
import { markTrace, noteAbove, ruleUp, whiskers } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';

const MARGIN = { l: 56, r: 12, t: 34, b: 48 };
const HEIGHT = 250;

interface Posterior extends Estimate {
  readonly hours: readonly number[];
  readonly probability: readonly number[];
}

/**
 * Posterior of the lag over both signs, as bars with its median and intervals above them, and what each sign means on its side.
 * @returns undefined where there is no posterior (nothing was fitted).
 */
export function lagFigure({ gauge, lag }: GaugeChart): Figure | undefined {
  const { hours, probability, median, i80, i95, sentence } = lag;
  if (hours.length === 0) return undefined;
  const highest = Math.max(1e-9, ...probability);
  const within = shownHours(lag);
  const height = inPercent(1.14 * highest);
  const two = (value: number) => figures(value, 2);
  const data = [
    {
      type: 'bar',
      x: hours,
      y: probability.map(inPercent),
      width: barWidth(hours),
      marker: { color: BAR, line: { color: PAPER, width: 1 } },
      hovertemplate: '%{x} h: %{y:.1f} %<extra></extra>',
    },
    ...whiskers({ i80, i95 }, height, { within }),
    markTrace([drawn(median)], [height], {
      marker: { symbol: 'circle', size: 11, color: ACCENT, line: { color: INK, width: 1.5 } },
      text: [`median ${two(median)} h`],
    }),
  ];
  const alt =
    `Posterior of the lag between ${gauge.name} and the creek: ${sentence.replace(/\.$/, '')}. ` +
    `Median ${two(median)} h, 80 %: ${range(i80, two)} h, 95 %: ${range(i95, two)} h.`;
  return figureOf({ title: `Lag of ${gauge.name}`, alt }, data, (narrow) => {
    const size = narrow ? 12 : 13;
    // A side with no room stays silent.
    return {
      height: HEIGHT,
      margin: MARGIN,
      bargap: 0,
      xaxis: axisStyle({ range: within, title: axisTitle('lag, h'), nticks: narrow ? 6 : 12, tickformat: 'd' }),
      yaxis: percentAxis(
        { from: 0, to: 1.26 * highest },
        { px: HEIGHT - MARGIN.t - MARGIN.b, title: 'probability, %', up: true },
      ),
      shapes: [ruleUp(0)],
      annotations: [
        ...(within[0] < -2 ? [noteAbove('← creek leads', 0, { size })] : []),
        ...(within[1] > 2 ? [noteAbove('gauge leads →', 1, { size })] : []),
      ],
    };
  });
}

/** The stretch of hours that carries the posterior, with the intervals and zero, and a little air. */
function shownHours({ hours, probability, i95, median }: Posterior): readonly [number, number] {
  const highest = Math.max(0, ...probability);
  const carried = hours.filter((_, i) => probability[i]! > 0.002 * highest);
  const ends = [0, median, ...carried, ...i95].filter((end): end is number => end !== null && Number.isFinite(end));
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const air = Math.max(1, 0.04 * (high - low)) + barWidth(hours) / 2;
  return [low - air, high + air];
}

/** Every bar as wide as the closest pair of grid points allows: on an uneven grid a wide bar would look like more probability. */
function barWidth(hours: readonly number[]): number {
  const gaps = hours.slice(1).map((hour, i) => hour - hours[i]!);
  return gaps.length > 0 ? drawn(Math.min(...gaps)) : 1;
}
