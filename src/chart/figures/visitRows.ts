import { figures, minute } from '../../series/format.js';
import { unitLabel, type GaugeUnit } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { classPalette, INK, INK_SOFT } from '../palette.js';
import type { GaugeChart, LevelChart, VisitMark } from '../types.js';
import { drawn, type PlotlyObject } from './figure.js';
import type { GaugeScale } from './gaugeScale.js';
import { boxTrace, classFill, markTrace } from './marks.js';
import { plotlyText } from './plotlyText.js';

/** What is needed to say a visit in words. */
export interface VisitWords {
  readonly classes: readonly string[];
  readonly timeZone: string;
  /** The run's features, for their names; one that is not among them goes by its id. */
  readonly features?: readonly { readonly id: string; readonly name: string }[];
}

/** Row of the visits that gave no verdict, below the lowest class. */
export const NO_VERDICT_ROW = -1;

/** The sure range of each class as a bar in the class's row. */
export function sureTraces(
  level: LevelChart,
  scale: GaugeScale,
  { yaxis }: { yaxis: string },
): readonly PlotlyObject[] {
  const looks = classPalette(level.odds.classes.length);
  return level.odds.classes.flatMap((word, k) => {
    const range = level.sureRanges.find((sure) => sure.class === word);
    if (range === undefined || range.empty) return [];
    // Where the rounded ends meet there are none, and the true ones are drawn: a narrow range must not look like an open one.
    const from = drawn(Math.max(scale.from, range.roundedFrom ?? range.from ?? level.seen.from));
    const to = drawn(Math.min(scale.to, range.roundedTo ?? range.to ?? level.seen.to));
    if (!(to > from)) return [];
    return [
      boxTrace([from, to], [k - 0.4, k + 0.4], { yaxis, line: { color: INK, width: 1 }, ...classFill(looks[k]!, 0.5) }),
    ];
  });
}

/** One mark a visit, in the row of its class and with its class's symbol. */
export function visitTraces(
  gauge: GaugeChart,
  scale: GaugeScale,
  { yaxis, ...words }: { yaxis: string } & VisitWords,
): readonly PlotlyObject[] {
  const { classes } = words;
  const looks = classPalette(classes.length);
  return [NO_VERDICT_ROW, ...classes.keys()].flatMap((row) => {
    const visits = gauge.visits.flatMap((visit) =>
      visit.classIndex === row && visit.reading !== null && (scale.kind === 'linear' || visit.reading > 0)
        ? [{ ...visit, value: visit.reading }]
        : [],
    );
    if (visits.length === 0) return [];
    const look = looks[row];
    const marker =
      look === undefined
        ? { symbol: 'x-thin', size: 7, color: INK_SOFT, line: { color: INK_SOFT, width: 1.5 } }
        : { symbol: look.symbol.plotly, size: 9, color: look.fill, line: { color: look.ink, width: 1.2 }, opacity: 1 };
    return [
      markTrace(
        visits.map(({ value }) => drawn(value)),
        visits.map((_, i) => drawn(row + spread(i))),
        {
          name: row < 0 ? 'no verdict' : plotlyText(classes[row]!),
          yaxis,
          marker,
          text: visits.map((visit) => visitHover(visit, { value: visit.value, unit: scale.unit, ...words })),
        },
      ),
    ];
  });
}

/** Steps a mark off its row's middle so that neighbours show: multiples of the golden ratio never line up. */
function spread(i: number): number {
  return ((i * 0.6180339887) % 1) * 0.5 - 0.25;
}

/** What a visit says when pointed at. */
export function visitHover(
  visit: VisitMark,
  { value, unit, classes, timeZone, features = [] }: { value: number; unit: GaugeUnit } & VisitWords,
): string {
  const verdict =
    visit.classIndex < 0 ? 'no verdict' : `<b>${plotlyText(classes[visit.classIndex] ?? '', { maxChars: 30 })}</b>`;
  const nameOf = (id: string) =>
    id === VERDICT ? 'the whole run' : (features.find((feature) => feature.id === id)?.name ?? id);
  const alike = visit.sightings.filter(({ feature }) => feature === VERDICT).length === 1;
  // A single verdict stands in the first line.
  const told = visit.sightings.filter(({ feature }) => !(alike && feature === VERDICT && visit.classIndex >= 0));
  const seen = told
    .slice(0, 4)
    .map(
      ({ feature, saw }) => `${plotlyText(nameOf(feature), { maxChars: 30 })}: ${plotlyText(saw, { maxChars: 24 })}`,
    );
  return [
    verdict,
    `${figures(value)} ${unitLabel(unit)}, ${visit.limb}`,
    `${minute(visit.timeMs, timeZone)}, ${plotlyText(visit.observer, { maxChars: 24 })}`,
    ...seen,
    ...(told.length > 4 ? [`and ${told.length - 4} more`] : []),
  ].join('<br>');
}
