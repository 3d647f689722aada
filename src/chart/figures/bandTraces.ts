import { classPalette, UNSEEN } from '../palette.js';
import type { LevelChart } from '../types.js';
import { charPx, drawn, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, type GaugeScale } from './gaugeScale.js';
import { oddsAt } from './oddsAt.js';
import { plotlyText } from './plotlyText.js';

/** The rows of the odds table inside what was seen, with a row at each end of it: the bands go no farther. */
export function seenRows(level: LevelChart): {
  readonly values: readonly number[];
  readonly odds: readonly (readonly number[])[];
} {
  const { from, to } = level.seen;
  const inner = level.odds.gaugeValues.filter((value) => value > from && value < to);
  const values = [from, ...inner, to].filter((value, i, all) => i === 0 || value > all[i - 1]!);
  const rows = values.map((value) => oddsAt(level.odds, value));
  const kept = values.map((_, i) => i).filter((i) => rows[i] !== undefined);
  return { values: kept.map((i) => values[i]!), odds: kept.map((i) => rows[i]!) };
}

/** One stacked band a class, lowest class at the bottom, each in its colour and pattern. */
export function bandTraces(level: LevelChart): readonly PlotlyObject[] {
  const { values, odds } = seenRows(level);
  const looks = classPalette(level.odds.classes.length);
  return level.odds.classes.map((word, k) => ({
    type: 'scatter',
    mode: 'lines',
    name: plotlyText(word),
    x: values.map(drawn),
    y: odds.map((row) => drawn(row[k]!)),
    stackgroup: 'odds',
    line: { color: '#ffffff', width: 1 },
    fillcolor: looks[k]!.fill,
    fillpattern: {
      shape: looks[k]!.pattern.shape,
      size: looks[k]!.pattern.size,
      solidity: looks[k]!.pattern.solidity,
      fgcolor: looks[k]!.mark,
      bgcolor: looks[k]!.fill,
      fgopacity: 1,
    },
    hoverinfo: 'skip',
  }));
}

/** Hatching over the gauge values below the lowest and above the highest visit, from `low` to `high` of a y axis. */
export function unseenTraces(
  level: LevelChart,
  scale: GaugeScale,
  { yaxis, low, high }: { yaxis: string; low: number; high: number },
): readonly PlotlyObject[] {
  return unseenSides(level, scale).map(([from, to]) => ({
    type: 'scatter',
    mode: 'lines',
    x: [from, to, to, from, from].map(drawn),
    y: [low, low, high, high, low],
    yaxis,
    line: { width: 0 },
    fill: 'toself',
    fillcolor: UNSEEN.ground,
    fillpattern: { shape: '/', size: 8, solidity: 0.12, fgcolor: UNSEEN.line, bgcolor: UNSEEN.ground, fgopacity: 1 },
    hoverinfo: 'skip',
  }));
}

export function unseenSides(level: LevelChart, scale: GaugeScale): readonly (readonly [number, number])[] {
  return (
    [
      [scale.from, level.seen.from],
      [level.seen.to, scale.to],
    ] as const
  ).filter(([from, to]) => to > from);
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

/**
 * Labels inside the bands: each where its band is thickest and no other label stands. A band that never has room for its word
 * goes without; the rows of visits under it name every class.
 * @param options.px size of the plot area, so that a label's box is known without a canvas.
 */
export function bandLabels(
  level: LevelChart,
  scale: GaugeScale,
  { px, heightPx, fontPx }: { px: number; heightPx: number; fontPx: number },
): readonly PlotlyObject[] {
  const { values, odds } = seenRows(level);
  const looks = classPalette(level.odds.classes.length);
  const from = axisShare(level.seen.from, scale) * px;
  const to = axisShare(level.seen.to, scale) * px;
  const taken: Box[] = [];
  return level.odds.classes.flatMap((word, k) => {
    const text = plotlyText(word, { maxChars: 16 });
    const halfWidth = (charPx(fontPx) * Math.min(16, word.length)) / 2 + 5;
    const halfHeight = fontPx * 0.75 + 2;
    // The longest run of one label height inside the band, over the label's whole width, decides.
    const best = values
      .map((value, i) => {
        const x = axisShare(value, scale) * px;
        let floor = 0;
        let ceiling = heightPx;
        for (let j = 0; j < values.length; j++) {
          if (Math.abs(axisShare(values[j]!, scale) * px - x) > halfWidth) continue;
          const below = odds[j]!.slice(0, k).reduce((sum, p) => sum + p, 0);
          floor = Math.max(floor, below * heightPx);
          ceiling = Math.min(ceiling, (below + odds[j]![k]!) * heightPx);
        }
        return { i, x, y: (floor + ceiling) / 2, room: (ceiling - floor) / 2 - halfHeight };
      })
      .filter(({ x, y, room }) => {
        if (room < 0 || x - halfWidth < from + 2 || x + halfWidth > to - 2) return false;
        return taken.every(
          (box) =>
            x + halfWidth < box.left ||
            x - halfWidth > box.right ||
            y + halfHeight < box.low ||
            y - halfHeight > box.high,
        );
      })
      .reduce<{ i: number; x: number; y: number; room: number } | undefined>(
        (found, next) => (found === undefined || next.room > found.room + 0.5 ? next : found),
        undefined,
      );
    if (best === undefined) return [];
    taken.push({
      left: best.x - halfWidth,
      right: best.x + halfWidth,
      low: best.y - halfHeight,
      high: best.y + halfHeight,
    });
    return [
      {
        x: axisPlace(values[best.i]!, scale.kind),
        y: best.y / heightPx,
        xref: 'x',
        yref: 'y',
        text,
        showarrow: false,
        font: { size: fontPx, color: looks[k]!.ink },
        bgcolor: looks[k]!.fill,
        borderpad: 3,
      },
    ];
  });
}
