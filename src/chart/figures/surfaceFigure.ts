import { figures, share, significant } from '../../series/format.js';
import { ACCENT, GREYS } from '../palette.js';
import type { GaugeChart } from '../types.js';
import { axisStyle, axisTitle, figureOf, type Figure } from './figure.js';
import { markTrace, note, ON_LINE, thinned } from './marks.js';

/** White paper to ink: one hue, so it reads the same in greyscale. */
const SHADES = GREYS.map((grey, i) => [i / (GREYS.length - 1), grey]);

/** Cells below this share of the likeliest are as white as paper; nobody sees their digits. */
const UNSEEN_SHARE = 0.002;

/**
 * Joint posterior of lag and storage: where both could hide behind each other, the dark ridge leans.
 * @returns undefined where there is no surface, or only one lag or one storage.
 */
export function surfaceFigure({ gauge, surface }: GaugeChart): Figure | undefined {
  const { lagsHours, storagesHours, probability } = surface;
  if (lagsHours.length < 2 || storagesHours.length < 2) return undefined;
  const cells = storagesHours.flatMap((storage, row) =>
    lagsHours.map((lag, l) => ({ lag, storage, row, p: probability[row]?.[l] ?? 0 })),
  );
  const sorted = [...cells].sort((a, b) => b.p - a.p);
  const best = sorted[0]!;
  const total = cells.reduce((sum, { p }) => sum + p, 0);
  let [covered, ninetyFive] = [0, 0];
  while (ninetyFive < sorted.length && covered < 0.95 * total) covered += sorted[ninetyFive++]!.p;
  const least = UNSEEN_SHARE * best.p;
  const carried = cells.filter(({ p }) => p > least);
  const shown = carried.length > 0 ? carried : cells;
  const air = carried.length > 0 ? { lags: 4, rows: 2 } : { lags: 0, rows: 0 };
  const ends = (of: (cell: (typeof cells)[number]) => number) =>
    [Math.min(...shown.map(of)), Math.max(...shown.map(of))] as const;
  const [lags, rows] = [ends(({ lag }) => lag), ends(({ row }) => row)];
  const data = [
    {
      type: 'heatmap',
      x: lagsHours,
      y: storagesHours.map(String),
      z: storagesHours.map((_, s) => lagsHours.map((_l, l) => shade(probability[s]?.[l] ?? 0, least))),
      colorscale: SHADES,
      zmin: 0,
      zmax: Math.max(1e-9, best.p),
      showscale: false,
      hovertemplate: 'lag %{x} h, storage %{y} h: %{z:.1%}<extra></extra>',
    },
    markTrace([best.lag], [String(best.storage)], {
      marker: { symbol: 'circle-open', size: 16, color: ACCENT, line: { color: ACCENT, width: 3 } },
    }),
  ];
  const marked = thinned(storagesHours, 12, Math.max(0, storagesHours.indexOf(0)));
  const alt =
    `Joint posterior of lag and storage. Likeliest: lag ${figures(best.lag)} h with storage ` +
    `${figures(best.storage)} h (${share(best.p)}). ${ninetyFive} of ${cells.length} pairs hold 95 % of the ` +
    'probability.';
  return figureOf({ title: `Lag and storage of ${gauge.name} together`, alt }, data, (narrow) => ({
    height: narrow ? 300 : 340,
    margin: { l: 56, r: 12, t: 14, b: 48 },
    // Storages stand at unequal steps: as words they get one row each, and every row can be read.
    yaxis: axisStyle({
      type: 'category',
      title: axisTitle('storage, h', 6),
      range: [Math.max(0, rows[0] - air.rows) - 0.5, Math.min(storagesHours.length - 1, rows[1] + air.rows) + 0.5],
      tickvals: marked.map(String),
      ticktext: marked.map((hours) => figures(hours)),
      showgrid: false,
    }),
    xaxis: axisStyle({
      range: [lags[0] - air.lags, lags[1] + air.lags],
      title: axisTitle('lag, h'),
      nticks: narrow ? 6 : 14,
      tickformat: 'd',
      showgrid: false,
    }),
    // The row's number: a word of digits would be taken for a number of its own.
    annotations: [note('likeliest', { x: best.lag, y: best.row, yshift: 22, ...ON_LINE })],
  }));
}

const shade = (p: number, least: number): number => (p > least ? significant(p, 3) : 0);
