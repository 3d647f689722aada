import { known } from '../../series/knownIds.js';
import { axisStyle, axisTitle, baseLayout, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { localStamp } from './localTime.js';
import { plotlyText } from './plotlyText.js';
import { LEGEND_CHARS, topLegend } from './topLegend.js';
import { classPalette, INK, INK_SOFT, PAPER } from '../palette.js';
import type { CreekInput } from '../../read/types.js';
import { VERDICT, type Visit } from '../../series/visits.js';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

const MARGIN = { l: 56, r: 12, t: 14, b: 34 };
const HEIGHT = 270;

/**
 * When a run was looked at and what was seen: verdicts by month of the year (the creek's own calendar), stacked by class,
 * and visits without a verdict on top.
 *
 * @param input the creek's folder as read; `options.run` is a run's id.
 * @returns undefined where the run has no visit. @throws RangeError for a run that creek.json does not have.
 */
export function coverageFigure({ creek, visits }: CreekInput, { run: id }: { run: string }): Figure | undefined {
  if (creek === undefined) return undefined;
  const run = known('run', id, { among: creek.runs });
  const mine = visits.filter((visit) => visit.run === id);
  if (mine.length === 0) return undefined;
  const looks = classPalette(run.classes.length);
  const kinds = [...run.classes.keys(), -1];
  const counts = kinds.map((k) =>
    MONTHS.map((_, m) => mine.filter((v) => verdictOf(v) === k && monthOf(v, creek.timeZone) === m).length),
  );
  const bases = kinds.map((_, i) =>
    MONTHS.map((_month, m) => counts.slice(0, i).reduce((sum, row) => sum + row[m]!, 0)),
  );
  const highest = Math.max(...MONTHS.map((_, m) => counts.reduce((sum, row) => sum + row[m]!, 0)));
  const names = kinds.map((k) => (k < 0 ? 'no verdict' : plotlyText(run.classes[k]!, { maxChars: LEGEND_CHARS })));
  const layout = (narrow: boolean): PlotlyObject => {
    const legend = topLegend(names, { px: plotPx(narrow, MARGIN) });
    return baseLayout({
      height: HEIGHT + legend.height,
      margin: { ...MARGIN, t: MARGIN.t + legend.height },
      barmode: 'overlay',
      ...legend.layout,
      xaxis: axisStyle({
        range: [-0.6, 11.6],
        tickvals: MONTHS.map((_, m) => m),
        ticktext: narrow ? MONTHS.map((month) => month[0]) : MONTHS,
        showgrid: false,
      }),
      yaxis: axisStyle({ range: [0, 1.05 * highest], title: axisTitle('visits', 6), nticks: 6 }),
    });
  };
  const bars = kinds.map((k, i) => ({
    type: 'bar',
    name: names[i]!,
    x: MONTHS.map((_, m) => m),
    y: counts[i]!,
    base: bases[i]!,
    width: 0.8,
    marker:
      k < 0
        ? { color: PAPER, line: { color: INK_SOFT, width: 1 } }
        : {
            color: looks[k]!.fill,
            pattern: { ...looks[k]!.pattern, fgcolor: looks[k]!.mark, bgcolor: looks[k]!.fill },
            line: { color: INK, width: 1 },
          },
    hovertemplate: '%{y}<extra></extra>',
  }));
  const total = (i: number) => counts[i]!.reduce((sum, n) => sum + n, 0);
  const named = kinds.map((k, i) => `${total(i)} ${k < 0 ? 'without a verdict' : run.classes[k]!}`);
  const empty = MONTHS.filter((_, m) => counts.every((row) => row[m] === 0));
  return {
    kind: 'figure',
    title: `Visits to ${run.name} by month`,
    alt: `${mine.length} visits: ${named.join(', ')}. ${empty.length === 0 ? 'No month without a visit' : `No visit in ${empty.join(', ')}`}.`,
    data: bars,
    layout: layout(false),
    narrow: layout(true),
  };
}

function verdictOf(visit: Visit): number {
  return visit.sightings.find(({ feature }) => feature === VERDICT)?.classIndex ?? -1;
}

function monthOf(visit: Visit, timeZone: string): number {
  return Number(localStamp(visit.timeMs, timeZone).slice(5, 7)) - 1;
}
