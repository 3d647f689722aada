import { ACCENT, GREYS, INK, VEIL } from '../palette.js';
import type { GaugeChart } from '../types.js';
import { axisStyle, axisTitle, baseLayout, type Figure } from './figure.js';
import { valueText } from './valueText.js';

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
  let best = { lag: 0, storage: 0, p: -1 };
  let ninetyFive = 0;
  const cells: number[] = [];
  for (let s = 0; s < storagesHours.length; s++)
    for (let l = 0; l < lagsHours.length; l++) {
      const p = probability[s]?.[l] ?? 0;
      cells.push(p);
      if (p > best.p) best = { lag: lagsHours[l]!, storage: storagesHours[s]!, p };
    }
  const total = cells.reduce((sum, p) => sum + p, 0);
  let covered = 0;
  for (const p of [...cells].sort((a, b) => b - a)) {
    if (covered >= 0.95 * total) break;
    covered += p;
    ninetyFive++;
  }
  const least = UNSEEN_SHARE * best.p;
  const shown = shownCells(surface, least);
  const shade = (p: number): number => (p > least ? Number(p.toPrecision(3)) : 0);
  const layout = (narrow: boolean) =>
    baseLayout({
      height: narrow ? 300 : 340,
      margin: { l: 56, r: 12, t: 14, b: 48 },
      // Storages stand at unequal steps: as words they get one row each, and every row can be read.
      yaxis: axisStyle({
        type: 'category',
        title: axisTitle('storage, h', 6),
        range: shown.storages,
        tickvals: everyNth(storagesHours, 12).map(String),
        ticktext: everyNth(storagesHours, 12).map((hours) => valueText(hours)),
        showgrid: false,
      }),
      xaxis: axisStyle({
        range: shown.lags,
        title: axisTitle('lag, h'),
        nticks: narrow ? 6 : 14,
        tickformat: 'd',
        showgrid: false,
      }),
      annotations: [
        {
          x: best.lag,
          // The row's number: a word of digits would be taken for a number of its own.
          y: storagesHours.indexOf(best.storage),
          xref: 'x',
          yref: 'y',
          yshift: 22,
          text: 'likeliest',
          showarrow: false,
          font: { size: 12, color: INK },
          bgcolor: VEIL,
        },
      ],
    });
  return {
    kind: 'figure',
    title: `Lag and storage of ${gauge.name} together`,
    alt: `Joint posterior of lag and storage. Likeliest: lag ${valueText(best.lag)} h with storage ${valueText(best.storage)} h (${Math.round(100 * best.p)} %). ${ninetyFive} of ${cells.length} pairs hold 95 % of the probability.`,
    data: [
      {
        type: 'heatmap',
        x: lagsHours,
        y: storagesHours.map(String),
        z: storagesHours.map((_, s) => lagsHours.map((_l, l) => shade(probability[s]?.[l] ?? 0))),
        colorscale: SHADES,
        zmin: 0,
        zmax: Math.max(1e-9, best.p),
        showscale: false,
        hovertemplate: 'lag %{x} h, storage %{y} h: %{z:.1%}<extra></extra>',
      },
      {
        type: 'scatter',
        mode: 'markers',
        x: [best.lag],
        y: [String(best.storage)],
        marker: { symbol: 'circle-open', size: 16, color: ACCENT, line: { color: ACCENT, width: 3 } },
        hoverinfo: 'skip',
      },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

/** Axis ranges around the cells that carry anything: lags in hours, storages in rows of the category axis. */
function shownCells(
  { lagsHours, storagesHours, probability }: GaugeChart['surface'],
  least: number,
): { readonly lags: readonly [number, number]; readonly storages: readonly [number, number] } {
  let [lowLag, highLag, lowRow, highRow] = [Infinity, -Infinity, storagesHours.length - 1, 0];
  for (let s = 0; s < storagesHours.length; s++)
    for (let l = 0; l < lagsHours.length; l++) {
      if (!((probability[s]?.[l] ?? 0) > least)) continue;
      lowLag = Math.min(lowLag, lagsHours[l]!);
      highLag = Math.max(highLag, lagsHours[l]!);
      lowRow = Math.min(lowRow, s);
      highRow = Math.max(highRow, s);
    }
  if (!(lowLag <= highLag))
    return { lags: [lagsHours[0]!, lagsHours[lagsHours.length - 1]!], storages: [-0.5, storagesHours.length - 0.5] };
  return {
    lags: [lowLag - 4, highLag + 4],
    storages: [Math.max(0, lowRow - 2) - 0.5, Math.min(storagesHours.length - 1, highRow + 2) + 0.5],
  };
}

function everyNth(values: readonly number[], most: number): readonly number[] {
  const step = Math.ceil(values.length / most);
  const zero = Math.max(0, values.indexOf(0));
  return values.filter((_, i) => (i - zero) % step === 0);
}
