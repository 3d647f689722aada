import { classPalette, PAPER, UNSEEN } from '../palette.js';
import type { LevelChart } from '../types.js';
import { charPx, drawn, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, type GaugeScale } from './gaugeScale.js';
import { boxTrace, classFill, labelPlacer, lineTrace, note, type Box } from './marks.js';
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
  const x = values.map(drawn);
  return level.odds.classes.map((word, k) => {
    const heights = odds.map((row) => drawn(row[k]!));
    const more = { name: plotlyText(word), stackgroup: 'odds', ...classFill(looks[k]!, 1) };
    return lineTrace(x, heights, { color: PAPER, width: 1 }, more);
  });
}

/** Hatching over the gauge values below the lowest and above the highest visit, from `low` to `high` of a y axis. */
export function unseenTraces(
  level: LevelChart,
  scale: GaugeScale,
  { yaxis, low, high }: { yaxis: string; low: number; high: number },
): readonly PlotlyObject[] {
  const { ground, line } = UNSEEN;
  const fillpattern = { shape: '/', size: 8, solidity: 0.12, fgcolor: line, bgcolor: ground, fgopacity: 1 };
  return unseenSides(level, scale).map(([from, to]) =>
    boxTrace([drawn(from), drawn(to)], [low, high], { yaxis, fillcolor: ground, fillpattern }),
  );
}

export function unseenSides(level: LevelChart, scale: GaugeScale): readonly (readonly [number, number])[] {
  const sides = [
    [scale.from, level.seen.from],
    [level.seen.to, scale.to],
  ] as const;
  return sides.filter(([from, to]) => to > from);
}

const MOST_CHARS = 16;

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
  const place = labelPlacer();
  return level.odds.classes.flatMap((word, k) => {
    const length = (charPx(fontPx) * Math.min(MOST_CHARS, word.length)) / 2 + 5;
    const thickness = fontPx * 0.62 + 1;
    const floors = odds.map((row) => row.slice(0, k).reduce((sum, p) => sum + p, 0) * heightPx);
    const band = { xs, floors, ceilings: odds.map((row, i) => floors[i]! + row[k]! * heightPx) };
    const lying = place(bandBoxes(band, { halfWidth: length, halfHeight: thickness }));
    const box = lying ?? place(bandBoxes(band, { halfWidth: thickness, halfHeight: length }));
    if (box === undefined) return [];
    const text = plotlyText(word, { maxChars: MOST_CHARS });
    return [
      note(text, {
        ...{ x: axisPlace(values[box.row]!, scale.kind), y: (box.low + box.high) / 2 / heightPx },
        font: { size: fontPx, color: looks[k]!.ink },
        textangle: lying === undefined ? -90 : 0,
        bgcolor: looks[k]!.fill,
        borderpad: 3,
      }),
    ];
  });
}

/** Where in a band a box fits, off its ends, most air above and below first; `row` of the table lies under its middle. */
function bandBoxes(
  { xs, floors, ceilings }: { xs: readonly number[]; floors: readonly number[]; ceilings: readonly number[] },
  { halfWidth, halfHeight }: { halfWidth: number; halfHeight: number },
): readonly (Box & { readonly row: number })[] {
  const boxes = xs.flatMap((x, row) => {
    if (x - halfWidth < xs[0]! + 2 || x + halfWidth > xs[xs.length - 1]! - 2) return [];
    // The neighbours just outside count too: rows may stand farther apart than the box is wide.
    const first = Math.max(0, xs.findIndex((other) => other > x - halfWidth) - 1);
    const last = xs.findIndex((other) => other >= x + halfWidth) + 1;
    const floor = Math.max(...floors.slice(first, last));
    const ceiling = Math.min(...ceilings.slice(first, last));
    const [air, middle] = [(ceiling - floor) / 2 - halfHeight, (floor + ceiling) / 2];
    const box = { left: x - halfWidth, right: x + halfWidth, low: middle - halfHeight, high: middle + halfHeight };
    return air > 0 ? [{ ...box, row, air }] : [];
  });
  return boxes.sort((one, other) => other.air - one.air);
}
