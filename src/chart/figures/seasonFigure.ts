import { MONTHS, share } from '../../series/format.js';
import type { Season } from '../day/season.js';
import { classBars } from './classBars.js';
import { axisStyle, drawn, figureOf, plotPx, type Figure } from './figure.js';
import { shareAxis } from './percentAxis.js';
import { topLegend } from './topLegend.js';

const SHORT = MONTHS.map((month) => month.slice(0, 3));
const MARGIN = { l: 56, r: 12, t: 14, b: 34 };

/**
 * Share of days in each class by month of the year; what no visit has met stands on top, white.
 * @returns undefined where no day of the record is known.
 */
export function seasonFigure({ classes, good, months }: Season, { run }: { run: string }): Figure | undefined {
  if (months.every(({ days }) => days === 0)) return undefined;
  const rest = { word: 'not seen', heights: months.map(({ below, above }) => drawn(below + above)) };
  const { names, data } = classBars(classes, { heights: months.map((month) => month.share.map(drawn)), rest });
  const told = months.flatMap(({ days, share: shares }, m) =>
    days === 0
      ? []
      : [`${SHORT[m]!} ${good.map((word) => `${word} ${share(shares[classes.indexOf(word)]!)}`).join(', ')}`],
  );
  const said = { title: `${run} through the year`, alt: `Share of days by month. ${told.join('; ')}.` };
  return figureOf(said, data, (narrow) => {
    const legend = topLegend(names, { px: plotPx(narrow, MARGIN) });
    return {
      height: 270 + legend.height,
      margin: { ...MARGIN, t: MARGIN.t + legend.height },
      barmode: 'overlay',
      ...legend.layout,
      xaxis: axisStyle({
        range: [-0.6, 11.6],
        tickvals: SHORT.map((_, m) => m),
        ticktext: narrow ? SHORT.map((month) => month[0]) : SHORT,
        showgrid: false,
      }),
      yaxis: shareAxis('days, %', { range: [0, 1.02] }),
    };
  });
}
