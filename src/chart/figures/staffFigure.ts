import { quantile } from '../../kernel/quantile.js';
import { VERDICT } from '../../series/visits.js';
import { classPalette, INK } from '../palette.js';
import type { StaffReport } from '../gauges/types.js';
import type { VisitMark } from '../types.js';
import {
  axisStyle,
  axisTitle,
  baseLayout,
  charPx,
  drawn,
  FONT_PX,
  plotPx,
  type Figure,
  type PlotlyObject,
} from './figure.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';

const ROW_PX = 34;
/** Characters of a unit on an axis: people write their own. */
const MOST_UNIT = 10;

interface Reading {
  readonly value: number;
  /** Place of the class, lowest first. */
  readonly row: number;
  readonly observer?: string;
}

/**
 * A staff against words: what a numeric feature read on the visits of each class, a row a class, highest water on top, with a bar at each median. Needs no gauge at all, and
 * shows where the words of different people part.
 *
 * @param source visits with the sightings of both, or a staff as gauges.json holds it (against the verdict; nothing else to say then). @param options.staff id, name and unit
 *   of the numeric feature. @param options.classes words of the rows, lowest first. @param options.feature id of the feature with the words; default the verdict.
 * @returns undefined where no visit has both.
 */
export function staffFigure(
  source: readonly VisitMark[],
  options: {
    staff: { readonly id: string; readonly name: string; readonly unit?: string };
    classes: readonly string[];
    feature?: string;
  },
): Figure | undefined;
export function staffFigure(source: StaffReport): Figure | undefined;
export function staffFigure(
  source: readonly VisitMark[] | StaffReport,
  options?: {
    staff: { readonly id: string; readonly name: string; readonly unit?: string };
    classes: readonly string[];
    feature?: string;
  },
): Figure | undefined {
  if ('classes' in source)
    return readingsFigure(
      source.classes.flatMap(({ readings }, row) => readings.map((value) => ({ value, row }))),
      { staff: source, classes: source.classes.map(({ word }) => word) },
    );
  const { staff, classes, feature = VERDICT } = options!;
  const readings = source.flatMap((visit) => {
    const row = feature === VERDICT ? visit.classIndex : classIndexOf(visit, feature, classes);
    return visit.sightings.flatMap((s): readonly Reading[] => {
      const value = Number(s.saw);
      return s.feature === staff.id && row >= 0 && s.saw !== '' && Number.isFinite(value)
        ? [{ value, row, observer: visit.observer }]
        : [];
    });
  });
  return readingsFigure(readings, { staff, classes });
}

function readingsFigure(
  points: readonly Reading[],
  { staff, classes }: { staff: { readonly name: string; readonly unit?: string }; classes: readonly string[] },
): Figure | undefined {
  if (points.length === 0) return undefined;
  const looks = classPalette(classes.length);
  const values = points.map((p) => p.value);
  const [from, to] = [Math.min(...values), Math.max(...values)];
  const pad = 0.06 * (to - from || Math.abs(to) || 1);
  const unit = staff.unit === undefined ? '' : `, ${plotlyText(staff.unit, { maxChars: MOST_UNIT })}`;
  const medians = classes.flatMap((_, k) => {
    const own = points.filter((p) => p.row === k).map((p) => p.value);
    return own.length > 1 ? [{ k, median: quantile(Float64Array.from(own), 0.5) }] : [];
  });
  const layout = (narrow: boolean): PlotlyObject => {
    const words = classes.map((word) => plotlyText(word, { maxChars: narrow ? 12 : 24 }));
    const margin = { l: Math.ceil(charPx(12) * Math.max(...words.map((w) => w.length))) + 18, r: 14, t: 12, b: 52 };
    // The title stands in the middle of the plot: it may be as much longer as there is margin on the right.
    const room =
      Math.floor((plotPx(narrow, margin) + margin.r) / charPx(FONT_PX)) - Math.min(MOST_UNIT, unit.length) - 2;
    return baseLayout({
      height: ROW_PX * classes.length + 84,
      margin,
      xaxis: axisStyle({
        range: [drawn(from - pad), drawn(to + pad)],
        title: axisTitle(`${plotlyText(staff.name, { maxChars: Math.max(8, room) })}${unit}`),
        nticks: narrow ? 6 : 12,
      }),
      yaxis: axisStyle({
        range: [-0.6, classes.length - 0.4],
        tickvals: classes.map((_, k) => k),
        ticktext: words,
        ticks: '',
      }),
      shapes: medians.map(({ k, median }) => ({
        type: 'line',
        xref: 'x',
        yref: 'y',
        x0: drawn(median),
        x1: drawn(median),
        y0: k - 0.36,
        y1: k + 0.36,
        line: { color: INK, width: 3 },
        layer: 'below',
      })),
    });
  };
  return {
    kind: 'figure',
    title: `${staff.name} against words`,
    alt: altOf(points, { staff, classes }),
    data: classes.flatMap((word, k) => {
      const own = points.filter((p) => p.row === k);
      if (own.length === 0) return [];
      return [
        {
          type: 'scatter',
          mode: 'markers',
          x: own.map((p) => drawn(p.value)),
          // Readings of one class side by side: every third a little higher or lower, so that equal ones show.
          y: own.map((_, i) => k + 0.14 * ((i % 3) - 1)),
          text: own.map(({ value, observer }) =>
            [
              `${plotlyText(word)}: ${valueText(value)}`,
              ...(observer === undefined ? [] : [plotlyText(observer)]),
            ].join(', '),
          ),
          hovertemplate: '%{text}<extra></extra>',
          marker: { symbol: looks[k]!.symbol.plotly, size: 10, color: looks[k]!.fill, line: { color: INK, width: 1 } },
        },
      ];
    }),
    layout: layout(false),
    narrow: layout(true),
  };
}

function classIndexOf({ sightings }: VisitMark, feature: string, classes: readonly string[]): number {
  return classes.indexOf(sightings.find((s) => s.feature === feature)?.saw ?? '');
}

function altOf(
  points: readonly { readonly value: number; readonly row: number }[],
  { staff, classes }: { staff: { readonly name: string; readonly unit?: string }; classes: readonly string[] },
): string {
  const unit = staff.unit === undefined ? '' : ` ${staff.unit}`;
  const rows = classes.flatMap((word, k) => {
    const own = points.filter((p) => p.row === k).map((p) => p.value);
    if (own.length === 0) return [];
    const [low, high] = [Math.min(...own), Math.max(...own)];
    const range = low === high ? valueText(low) : `${valueText(low)} to ${valueText(high)}`;
    return [`${word} ${range}${unit} (${own.length})`];
  });
  return `What ${staff.name} read on visits of each class, with their number: ${rows.join('; ')}.`;
}
