import type { CreekInput } from '../../read/types.js';
import { monthOf, MONTHS } from '../../series/format.js';
import { known } from '../../series/knownIds.js';
import { VERDICT, type Visit } from '../../series/visits.js';
import { classBars } from './classBars.js';
import { axisStyle, axisTitle, figureOf, plotPx, type Figure } from './figure.js';
import { topLegend } from './topLegend.js';

const SHORT = MONTHS.map((month) => month.slice(0, 3));
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
  const kinds = [...run.classes.keys(), -1];
  const seen = mine.map((visit) => ({ kind: verdictOf(visit), month: monthOf(visit.timeMs, creek.timeZone) - 1 }));
  const counts = kinds.map((k) => SHORT.map((_, m) => seen.filter((v) => v.kind === k && v.month === m).length));
  const all = SHORT.map((_, m) => counts.reduce((sum, row) => sum + row[m]!, 0));
  const { names, data } = classBars(run.classes, {
    heights: SHORT.map((_, m) => run.classes.map((_word, k) => counts[k]![m]!)),
    rest: { word: 'no verdict', heights: counts[run.classes.length]! },
  });
  const total = (i: number) => counts[i]!.reduce((sum, n) => sum + n, 0);
  const named = kinds.map((k, i) => `${total(i)} ${k < 0 ? 'without a verdict' : run.classes[k]!}`);
  const empty = SHORT.filter((_, m) => all[m] === 0);
  const alt =
    `${mine.length} visits: ${named.join(', ')}. ` +
    `${empty.length === 0 ? 'No month without a visit' : `No visit in ${empty.join(', ')}`}.`;
  return figureOf({ title: `Visits to ${run.name} by month`, alt }, data, (narrow) => {
    const legend = topLegend(names, { px: plotPx(narrow, MARGIN) });
    return {
      height: HEIGHT + legend.height,
      margin: { ...MARGIN, t: MARGIN.t + legend.height },
      barmode: 'overlay',
      ...legend.layout,
      xaxis: axisStyle({
        range: [-0.6, 11.6],
        tickvals: SHORT.map((_, m) => m),
        ticktext: narrow ? SHORT.map((month) => month[0]) : SHORT,
        showgrid: false,
      }),
      yaxis: axisStyle({ range: [0, 1.05 * Math.max(...all)], title: axisTitle('visits', 6), nticks: 6 }),
    };
  });
}

function verdictOf(visit: Visit): number {
  return visit.sightings.find(({ feature }) => feature === VERDICT)?.classIndex ?? -1;
}
