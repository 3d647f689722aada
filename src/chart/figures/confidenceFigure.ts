import { axisStyle, axisTitle, baseLayout, charPx, drawn, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, gaugeAxes, gaugeTitle, type GaugeScale } from './gaugeScale.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';
import { classPalette, INK, PAPER } from '../palette.js';
import type { GaugeChart, LevelChart } from '../types.js';
import { unitLabel } from '../../series/units.js';

const MARGIN = { l: 62, r: 14, t: 44, b: 50 };

/**
 * How sure the odds themselves are: for every edge the odds of being above it, over the gauge value, with their 80 % band
 * from the draws. Only between the lowest and the highest visit.
 *
 * @returns undefined where the gauge has no level chart.
 */
export function confidenceFigure(gauge: GaugeChart, { scale }: { scale: GaugeScale }): Figure | undefined {
  const { level } = gauge;
  if (level === undefined) return undefined;
  const { classes, gaugeValues } = level.odds;
  const looks = classPalette(classes.length);
  const inside = gaugeValues.map((_, v) => v).filter((v) => within(level, gaugeValues[v]!));
  const xs = inside.map((v) => drawn(gaugeValues[v]!));
  const bands = level.odds.atLeast.map(({ low80, high80 }, k) => ({
    type: 'scatter',
    mode: 'lines',
    x: [...xs, ...[...xs].reverse()],
    y: [...inside.map((v) => drawn(low80[v]!)), ...inside.map((v) => drawn(high80[v]!)).reverse()],
    line: { width: 0 },
    fill: 'toself',
    fillcolor: looks[k + 1]!.fill,
    fillpattern: { ...looks[k + 1]!.pattern, fgcolor: looks[k + 1]!.mark, bgcolor: looks[k + 1]!.fill, fgopacity: 0.5 },
    hoverinfo: 'skip',
  }));
  const lines = level.odds.atLeast.map(({ median }, k) => ({
    type: 'scatter',
    mode: 'lines',
    name: `${plotlyText(classes[k + 1]!)} or more`,
    x: xs,
    y: inside.map((v) => drawn(median[v]!)),
    line: { color: INK, width: 1.5 },
    hovertemplate: '%{x}: %{y:.0%}<extra></extra>',
  }));
  const layout = (narrow: boolean): PlotlyObject => {
    const px = plotPx(narrow, MARGIN);
    return baseLayout({
      height: 360,
      margin: MARGIN,
      ...gaugeAxes(scale, {
        px,
        title: gaugeTitle(gauge.gauge.name, { way: level.way, unit: scale.unit, narrow }),
        bottom: 'y',
        top: 'y',
      }),
      yaxis: axisStyle({
        range: [-0.03, 1.03],
        tickvals: [0, 0.2, 0.4, 0.6, 0.8, 1],
        ticktext: ['0', '20', '40', '60', '80', '100'],
        title: axisTitle('odds of being above, %', 6),
      }),
      annotations: level.odds.atLeast.flatMap(({ median }, k) => {
        // Neighbouring labels take turns at two heights: they never stand beside each other.
        const height = k % 2 === 0 ? 0.28 : 0.72;
        const at = inside.find((v) => median[v]! >= height);
        if (at === undefined) return [];
        const word = classes[k + 1]!;
        const more = narrow ? ' +' : ' or more';
        const half = (charPx(13) * (Math.min(14, word.length) + more.length)) / 2 + 2;
        const place = axisShare(gaugeValues[at]!, scale) * px;
        return [
          {
            x: axisPlace(gaugeValues[at]!, scale.kind),
            y: median[at]!,
            xref: 'x',
            yref: 'y',
            // Kept inside the plot: a label over the ticks hides a number.
            xshift: Math.round(Math.min(px - half, Math.max(half, place)) - place),
            text: `${plotlyText(word, { maxChars: 14 })}${k + 2 < classes.length ? more : ''}`,
            showarrow: false,
            font: { size: 13, color: INK },
            bgcolor: PAPER,
            borderpad: 2,
          },
        ];
      }),
    });
  };
  return {
    kind: 'figure',
    title: `How sure the odds of ${gauge.gauge.name} are`,
    alt: confidenceAlt(level, unitLabel(scale.unit)),
    data: [
      ...bands,
      ...lines,
      { type: 'scatter', mode: 'markers', x: [1], y: [-9], xaxis: 'x2', hoverinfo: 'skip', marker: { opacity: 0 } },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

const within = (level: LevelChart, value: number) => value >= level.seen.from && value <= level.seen.to;

/** The widest band of each edge, in words. */
function confidenceAlt(level: LevelChart, unit: string): string {
  const { classes, gaugeValues, atLeast } = level.odds;
  const widest = atLeast.map(({ low80, high80 }, k) => {
    const at = gaugeValues.reduce(
      (best, value, v) =>
        within(level, value) && (best < 0 || high80[v]! - low80[v]! > high80[best]! - low80[best]!) ? v : best,
      -1,
    );
    if (at < 0) return '';
    const percent = (p: number) => Math.round(100 * p);
    return `${classes[k + 1]!}${k + 2 < classes.length ? ' or more' : ''}: widest at ${valueText(gaugeValues[at]!)} ${unit}, ${percent(low80[at]!)} to ${percent(high80[at]!)} %`;
  });
  return `Odds of being above each edge with their 80 % bands. ${widest.filter((text) => text !== '').join('; ')}.`;
}
