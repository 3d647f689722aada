import { quantile } from '../../kernel/quantile.js';
import { figures, range } from '../../series/format.js';
import { classPalette, INK } from '../palette.js';
import type { StaffReport } from '../gauges/types.js';
import { axisStyle, axisTitle, charPx, drawn, figureOf, FONT_PX, labelMargin, plotPx, wordAxis } from './figure.js';
import type { Figure } from './figure.js';
import { markTrace } from './marks.js';
import { plotlyText } from './plotlyText.js';

const ROW_PX = 34;
/** Characters of a unit on an axis: people write their own. */
const MOST_UNIT = 10;

/**
 * A staff against words: what a numeric feature read on the visits of each class, a row a class, highest water on top, with a bar at each
 * median. Needs no gauge at all, and shows where the words of different people part.
 *
 * @param staff as gauges.json holds it. @returns undefined where no visit has both.
 */
export function staffFigure({ name, unit, classes }: StaffReport): Figure | undefined {
  const rows = classes.map((one, k) => ({ ...one, k })).filter(({ readings }) => readings.length > 0);
  const values = rows.flatMap(({ readings }) => readings);
  if (values.length === 0) return undefined;
  const looks = classPalette(classes.length);
  const [from, to] = [Math.min(...values), Math.max(...values)];
  const pad = 0.06 * (to - from || Math.abs(to) || 1);
  const said = rows.map(({ word, readings }) => {
    const [low, high] = [Math.min(...readings), Math.max(...readings)];
    return `${word} ${low === high ? figures(low) : range([low, high], (end) => figures(end))} ${unit} (${readings.length})`;
  });
  const alt = `What ${name} read on visits of each class, with their number: ${said.join('; ')}.`;
  const data = rows.map(({ word, readings, k }) => {
    const { symbol, fill, ink } = looks[k]!;
    // Readings of one class side by side: every third a little higher or lower, so that equal ones show.
    const heights = readings.map((_, i) => k + 0.14 * ((i % 3) - 1));
    const marker = { symbol: symbol.plotly, size: 10, color: fill, line: { color: ink, width: 1 } };
    const text = readings.map((value) => `${plotlyText(word)}: ${figures(value)}`);
    return markTrace(readings.map(drawn), heights, { marker, text });
  });
  return figureOf({ title: `${name} against words`, alt }, data, (narrow) => {
    const words = classes.map(({ word }) => plotlyText(word, { maxChars: narrow ? 12 : 24 }));
    const margin = { l: labelMargin(words), r: 14, t: 12, b: 52 };
    const inUnit = `, ${plotlyText(unit, { maxChars: MOST_UNIT })}`;
    // The title stands in the middle of the plot: it may be as much longer as there is margin on the right.
    const room = Math.floor((plotPx(narrow, margin) + margin.r) / charPx(FONT_PX)) - inUnit.length - 2;
    return {
      height: ROW_PX * classes.length + 84,
      margin,
      xaxis: axisStyle({
        range: [drawn(from - pad), drawn(to + pad)],
        title: axisTitle(`${plotlyText(name, { maxChars: Math.max(8, room) })}${inUnit}`),
        nticks: narrow ? 6 : 12,
      }),
      yaxis: wordAxis(words, [...classes.keys()], { range: [-0.6, classes.length - 0.4], showgrid: true }),
      shapes: rows.flatMap(({ k, readings }) => (readings.length > 1 ? [medianBar(readings, k)] : [])),
    };
  });
}

function medianBar(readings: readonly number[], k: number) {
  const at = drawn(quantile(Float64Array.from(readings), 0.5));
  const line = { color: INK, width: 3 };
  return { type: 'line', xref: 'x', yref: 'y', x0: at, x1: at, y0: k - 0.36, y1: k + 0.36, line, layer: 'below' };
}
