import { day, figures } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { classPalette, INK_SOFT } from '../palette.js';
import type { GaugeChart } from '../types.js';
import { spanOf } from './bandLines.js';
import { axisStyle, axisTitle, drawn, figureOf, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { valueAxis, type GaugeScale } from './gaugeScale.js';
import { wallClock } from './localTime.js';
import { lineTrace, markTrace } from './marks.js';
import { plotlyText } from './plotlyText.js';
import { LEGEND_CHARS, topLegend } from './topLegend.js';
import { visitHover, type VisitWords } from './visitRows.js';

const HOUR_MS = 3_600_000;
const MARGIN = { l: 64, r: 12, t: 14, b: 52 };

/**
 * The gauge's record with the visits on it, each at the reading it is matched with: lag hours before the visit, so the mark
 * stands on the line. Times are the creek's wall clock. A gap of the record stays a gap.
 *
 * @param gauge the gauge's chart. `options.classes`: the run's verdict classes, lowest first; `options.features`: its features, for their
 * names.
 * @returns undefined where the record has no drawable reading.
 */
export function hydrographFigure(
  gauge: GaugeChart,
  { scale: { kind, unit }, ...words }: { scale: GaugeScale } & VisitWords,
): Figure | undefined {
  const { classes, timeZone } = words;
  const { timesMs, values } = gauge.hydrograph;
  const shown = values.map((value) => (value === null || (kind === 'log' && !(value > 0)) ? null : drawn(value)));
  const [low, high] = spanOf(shown);
  if (!(low <= high)) return undefined;
  const air = Math.max(0.02, 0.06 * (high - low));
  const ends = kind === 'log' ? { from: low / 1.15, to: high * 1.15 } : { from: low - air, to: high + air };
  const line = lineTrace(
    wallClock(timesMs, timeZone),
    shown,
    { color: INK_SOFT, width: 1.2 },
    { name: 'record', showlegend: false, connectgaps: false },
  );
  const marks = gauge.visits.filter(({ onRecord }) => onRecord !== null).length;
  const alt =
    `Record of ${gauge.gauge.name} from ${day(timesMs[0]!, timeZone)} to ` +
    `${day(timesMs[timesMs.length - 1]!, timeZone)}, between ${figures(low)} and ${figures(high)} ` +
    `${unitLabel(unit)}, with ${marks} visits on it.`;
  const said = { title: `Record of ${gauge.gauge.name} with the visits`, alt };
  return figureOf(said, [line, ...visitMarks(gauge, { kind, unit, ...words })], (narrow) => {
    const legend = topLegend(classes, { px: plotPx(narrow, MARGIN) });
    const margin = { ...MARGIN, t: MARGIN.t + legend.height };
    const px = narrow ? 210 : 250;
    return {
      height: px + margin.t + margin.b,
      // A mouse may drag across to see one flood; on a phone the same movement must scroll the page.
      dragmode: narrow ? false : 'zoom',
      margin,
      ...legend.layout,
      xaxis: dateAxis(timeZone, { nticks: narrow ? 4 : 9, showgrid: false, fixedrange: narrow }),
      yaxis: axisStyle({
        ...valueAxis(ends, { kind, px, across: false }),
        title: axisTitle(`${gauge.gauge.parameter}, ${unitLabel(unit)}`, 6),
      }),
    };
  });
}

/** An axis of the creek's wall clock. */
export function dateAxis(timeZone: string, axis: PlotlyObject): PlotlyObject {
  const title = timeZone === 'UTC' ? 'UTC' : `local time, ${plotlyText(timeZone, { maxChars: 30 })}`;
  return axisStyle({ type: 'date', title: axisTitle(title), ...axis });
}

function visitMarks(
  gauge: GaugeChart,
  { kind, ...words }: Pick<GaugeScale, 'kind' | 'unit'> & VisitWords,
): readonly PlotlyObject[] {
  const { classes, timeZone } = words;
  const lagMs = (gauge.level?.reading.lagHours ?? 0) * HOUR_MS;
  const looks = classPalette(classes.length);
  return classes.flatMap((word, k) => {
    const visits = gauge.visits.flatMap((visit) =>
      visit.classIndex === k && visit.onRecord !== null && (kind === 'linear' || visit.onRecord > 0)
        ? [{ ...visit, value: visit.onRecord }]
        : [],
    );
    if (visits.length === 0) return [];
    const { symbol, fill, ink } = looks[k]!;
    return [
      markTrace(
        wallClock(
          visits.map((visit) => visit.timeMs - lagMs),
          timeZone,
        ),
        visits.map(({ value }) => drawn(value)),
        {
          name: plotlyText(word, { maxChars: LEGEND_CHARS }),
          marker: { symbol: symbol.plotly, size: 10, color: fill, line: { color: ink, width: 1.2 } },
          text: visits.map((visit) => visitHover(visit, { value: visit.value, ...words })),
        },
      ),
    ];
  });
}
