import { classPalette, PAPER, UNSEEN } from '../palette.js';
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
    line: { color: PAPER, width: 1 },
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

/**
 * Labels inside the bands: each lying where its band is thickest and no other label stands, else upright, which a steep band
 * has room for. A band without room goes without; the rows of visits under it name every class.
 * @param options.px size of the plot area, so that a label's box is known without a canvas.
 */
export function bandLabels(
  level: LevelChart,
  scale: GaugeScale,
  { px, heightPx, fontPx }: { px: number; heightPx: number; fontPx: number },
): readonly PlotlyObject[] {
  const { values, odds } = seenRows(level);
  const xs = values.map((value) => axisShare(value, scale) * px);
  const looks = classPalette(level.odds.classes.length);
  const taken: Box[] = [];
  return level.odds.classes.flatMap((word, k) => {
    const length = (charPx(fontPx) * Math.min(MOST_CHARS, word.length)) / 2 + 5;
    const thickness = fontPx * 0.62 + 1;
    const floors = odds.map((row) => row.slice(0, k).reduce((sum, p) => sum + p, 0) * heightPx);
    const band = { xs, floors, ceilings: odds.map((row, i) => floors[i]! + row[k]! * heightPx) };
    const lying = bestBox(band, { halfWidth: length, halfHeight: thickness, taken });
    const box = lying ?? bestBox(band, { halfWidth: thickness, halfHeight: length, taken });
    if (box === undefined) return [];
    taken.push(box);
    return [
      {
        x: axisPlace(values[box.row]!, scale.kind),
        y: (box.low + box.high) / 2 / heightPx,
        xref: 'x',
        yref: 'y',
        text: plotlyText(word, { maxChars: MOST_CHARS }),
        textangle: lying === undefined ? -90 : 0,
        showarrow: false,
        font: { size: fontPx, color: looks[k]!.ink },
        bgcolor: looks[k]!.fill,
        borderpad: 3,
      },
    ];
  });
}

const MOST_CHARS = 16;

/** A label's box in px from the plot's lower left corner, and the row of the table under its middle. */
interface Box {
  readonly row: number;
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

/** Where in a band a box has most air above and below, off the other boxes and off the ends; undefined where nowhere. */
function bestBox(
  { xs, floors, ceilings }: { xs: readonly number[]; floors: readonly number[]; ceilings: readonly number[] },
  { halfWidth, halfHeight, taken }: { halfWidth: number; halfHeight: number; taken: readonly Box[] },
): Box | undefined {
  let best: Box | undefined;
  let mostAir = 0;
  xs.forEach((x, row) => {
    if (x - halfWidth < xs[0]! + 2 || x + halfWidth > xs[xs.length - 1]! - 2) return;
    let floor = -Infinity;
    let ceiling = Infinity;
    // The neighbours just outside count too: rows may stand farther apart than the box is wide.
    const first = Math.max(0, xs.findIndex((other) => other > x - halfWidth) - 1);
    for (let j = first; j < xs.length; j++) {
      floor = Math.max(floor, floors[j]!);
      ceiling = Math.min(ceiling, ceilings[j]!);
      if (xs[j]! >= x + halfWidth) break;
    }
    const air = (ceiling - floor) / 2 - halfHeight;
    if (air <= mostAir) return;
    const middle = (floor + ceiling) / 2;
    const box = { row, left: x - halfWidth, right: x + halfWidth, low: middle - halfHeight, high: middle + halfHeight };
    const free = taken.every(
      (other) => box.right < other.left || box.left > other.right || box.high < other.low || box.low > other.high,
    );
    if (!free) return;
    best = box;
    mostAir = air;
  });
  return best;
}
