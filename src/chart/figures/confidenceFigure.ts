import { figures, shareRange } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { classPalette, INK, PAPER } from '../palette.js';
import type { GaugeChart, LevelChart } from '../types.js';
import { bandBetween } from './bandLines.js';
import { charPx, drawn, figureOf, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, gaugeAxes, type GaugeScale } from './gaugeScale.js';
import { classFill, lineTrace, note, OTHER_UNIT } from './marks.js';
import { shareAxis } from './percentAxis.js';
import { plotlyText } from './plotlyText.js';

const MARGIN = { l: 62, r: 14, t: 44, b: 50 };

/**
 * How sure the odds themselves are: for every edge the odds of being above it, over the gauge value, with their 80 % band
 * from the draws. Only between the lowest and the highest visit.
 *
 * @param gauge the gauge's chart.
 * @returns undefined where it has no levels.
 */
export function confidenceFigure(gauge: GaugeChart, { scale }: { scale: GaugeScale }): Figure | undefined {
  const { level } = gauge;
  if (level === undefined) return undefined;
  const { classes, gaugeValues, atLeast } = level.odds;
  const looks = classPalette(classes.length);
  const inside = gaugeValues.map((_, v) => v).filter((v) => within(level, gaugeValues[v]!));
  const xs = inside.map((v) => drawn(gaugeValues[v]!));
  const shares = (values: readonly number[]) => inside.map((v) => drawn(values[v]!));
  const bands = atLeast.map(({ low80, high80 }, k) =>
    bandBetween(xs, {
      low: shares(low80),
      high: shares(high80),
      fill: looks[k + 1]!.fill,
      ...classFill(looks[k + 1]!, 0.5),
    }),
  );
  const lines = atLeast.map(({ median }, k) =>
    lineTrace(
      xs,
      shares(median),
      { color: INK, width: 1.5 },
      {
        name: `${plotlyText(classes[k + 1]!)} or more`,
        hoverinfo: 'all',
        hovertemplate: '%{x}: %{y:.0%}<extra></extra>',
      },
    ),
  );
  const said = {
    title: `How sure the odds of ${gauge.gauge.name} are`,
    alt: confidenceAlt(level, unitLabel(scale.unit)),
  };
  return figureOf(said, [...bands, ...lines, OTHER_UNIT], (narrow) => {
    const px = plotPx(narrow, MARGIN);
    return {
      height: 360,
      margin: MARGIN,
      ...gaugeAxes(scale, { px, name: gauge.gauge.name, way: level.way, narrow }),
      yaxis: shareAxis('odds of being above, %', { range: [-0.03, 1.03] }),
      annotations: atLeast.flatMap((_, k) => edgeLabel(level.odds, { k, inside, scale, px, narrow })),
    };
  });
}

/** The class of curve k, no nearer to an end of the plot than its half width: a label over the ticks hides a number. */
function edgeLabel(
  { classes, gaugeValues, atLeast }: LevelChart['odds'],
  {
    k,
    inside,
    scale,
    px,
    narrow,
  }: { k: number; inside: readonly number[]; scale: GaugeScale; px: number; narrow: boolean },
): readonly PlotlyObject[] {
  const { median } = atLeast[k]!;
  // Neighbours take turns at two heights: they never stand beside each other.
  const at = inside.find((v) => median[v]! >= (k % 2 === 0 ? 0.28 : 0.72));
  if (at === undefined) return [];
  const word = plotlyText(classes[k + 1]!, { maxChars: 14 });
  const more = narrow ? ' +' : ' or more';
  const half = (charPx(13) * (word.length + more.length)) / 2 + 2;
  const place = axisShare(gaugeValues[at]!, scale) * px;
  const xshift = Math.round(Math.min(px - half, Math.max(half, place)) - place);
  const text = k + 2 < classes.length ? word + more : word;
  const x = axisPlace(gaugeValues[at]!, scale.kind);
  return [note(text, { size: 13, x, y: median[at]!, xshift, bgcolor: PAPER, borderpad: 2 })];
}

const within = (level: LevelChart, value: number) => value >= level.seen.from && value <= level.seen.to;

/** The widest band of each edge, in words. */
function confidenceAlt(level: LevelChart, unit: string): string {
  const { classes, gaugeValues, atLeast } = level.odds;
  const seen = gaugeValues.map((_, v) => v).filter((v) => within(level, gaugeValues[v]!));
  const widest = atLeast.flatMap(({ low80, high80 }, k) => {
    const [at] = [...seen].sort((a, b) => high80[b]! - low80[b]! - (high80[a]! - low80[a]!));
    if (at === undefined) return [];
    const name = `${classes[k + 1]!}${k + 2 < classes.length ? ' or more' : ''}`;
    return [`${name}: widest at ${figures(gaugeValues[at]!)} ${unit}, ${shareRange([low80[at]!, high80[at]!])}`];
  });
  return `Odds of being above each edge with their 80 % bands. ${widest.join('; ')}.`;
}
