import type { RatingFit } from '../../fit/rating/fitRating.js';
import { predictRating } from '../../fit/rating/predictRating.js';
import { INK_SOFT } from '../palette.js';
import { axisTicks } from './axisTicks.js';
import { bandBetween, curveLine, ringPoints } from './bandLines.js';
import {
  axisStyle,
  axisTitle,
  baseLayout,
  drawn,
  NARROW_PX,
  WIDE_PX,
  type Figure,
  type PlotlyObject,
} from './figure.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';

/** Points along the curve. */
const STEPS = 80;

/** Fills of the interval of the curve and of one gauging. */
const CURVE_BAND = 'rgba(82,96,107,0.38)';
const GAUGING_BAND = 'rgba(82,96,107,0.16)';

/**
 * A stage-discharge rating with its gaugings: the curve, the interval of the curve (dark) and of one more gauging (light), and below it what each gauging lies off, in per cent
 * (ln units) or in discharge. Beyond the gaugings the curve is dashed.
 *
 * @param fit from `fitRating`. @param options.stage, options.discharge the gaugings it was made from. @param options.units as people write them.
 * @returns undefined where the fit did not converge.
 * @throws RangeError for other lengths than the fit's.
 */
export function ratingFigure(
  fit: RatingFit,
  {
    stage,
    discharge,
    units,
    name = 'the staff',
  }: {
    stage: ArrayLike<number>;
    discharge: ArrayLike<number>;
    units: { readonly stage: string; readonly discharge: string };
    name?: string;
  },
): Figure | undefined {
  if (stage.length !== fit.observations || discharge.length !== fit.observations)
    throw new RangeError(
      `ratingFigure: the fit is of ${fit.observations} gaugings, got ${stage.length} and ${discharge.length}`,
    );
  if (fit.status !== 'converged') return undefined;
  const { lowestStage: low, highestStage: high } = fit;
  const stages = [...Array(STEPS + 1).keys()].map((i) => drawn(low + (1.1 * (high - low) * i) / STEPS));
  const curve = predictRating(fit, stages);
  const gauging = predictRating(fit, stages, { of: 'gauging' });
  const inside = stages.filter((h) => h <= high);
  const estimates = curve.map((p) => p.estimate);
  const percent = fit.errors === 'ln';
  const off = Array.from(fit.residuals, (r) => (percent ? 100 * Math.expm1(r) : r));
  const offUnit = percent ? '%' : units.discharge;
  const text = off.map(
    (r, i) =>
      `${valueText(stage[i]!)} ${plotlyText(units.stage)}: ${valueText(discharge[i]!)} ${plotlyText(units.discharge)}, off by ${valueText(r, { digits: 2 })} ${plotlyText(offUnit)}`,
  );
  const largest = Math.max(1e-9, ...off.map(Math.abs));
  const to = Math.max(...Array.from(discharge), ...estimates.filter(Number.isFinite)) * 1.1;
  const from = Math.min(...Array.from(discharge), ...estimates.filter((q) => q > 0)) / 1.2;
  const layout = (narrow: boolean): PlotlyObject => {
    const ticks = axisTicks({ from, to }, { kind: 'log', px: narrow ? 210 : 250, across: false });
    return baseLayout({
      height: narrow ? 400 : 440,
      margin: { l: 78, r: 14, t: 14, b: 50 },
      xaxis: axisStyle({
        range: [low - 0.03 * (high - low), low + 1.12 * (high - low)],
        title: axisTitle(`stage, ${plotlyText(units.stage)}`),
        nticks: Math.floor((narrow ? NARROW_PX : WIDE_PX) / 70),
        anchor: 'y2',
      }),
      yaxis: axisStyle({
        type: 'log',
        range: [Math.log10(from), Math.log10(to)],
        domain: [0.34, 1],
        tickvals: ticks.values,
        ticktext: ticks.texts,
        title: axisTitle(`discharge, ${plotlyText(units.discharge)}`, 6),
      }),
      yaxis2: axisStyle({
        range: [-1.15 * largest, 1.15 * largest],
        domain: [0, 0.26],
        nticks: 4,
        title: axisTitle(`off, ${plotlyText(offUnit)}`, 6),
      }),
      shapes: [
        { type: 'line', xref: 'paper', yref: 'y2', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: INK_SOFT, width: 1 } },
      ],
    });
  };
  return {
    kind: 'figure',
    title: `Rating of ${name}`,
    alt: altOf(fit, { units, name, largest, offUnit }),
    data: [
      bandBetween(stages, {
        low: gauging.map((p) => p.lower),
        high: gauging.map((p) => p.upper),
        fill: GAUGING_BAND,
        name: 'one gauging',
      }),
      bandBetween(stages, {
        low: curve.map((p) => p.lower),
        high: curve.map((p) => p.upper),
        fill: CURVE_BAND,
        name: 'the curve',
      }),
      curveLine(inside, estimates.slice(0, inside.length)),
      curveLine(stages.slice(inside.length - 1), estimates.slice(inside.length - 1), { dashed: true }),
      ringPoints(Array.from(stage), Array.from(discharge), { text }),
      ringPoints(Array.from(stage), off, { text, yaxis: 'y2' }),
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

function altOf(
  { segments, observations, level, lowestStage, highestStage, terms }: RatingFit,
  {
    units,
    name,
    largest,
    offUnit,
  }: { units: { stage: string; discharge: string }; name: string; largest: number; offUnit: string },
): string {
  const offset = terms.find((t) => t.term === 'h0' || t.term === 'h01');
  const zero =
    offset === undefined
      ? ''
      : ` Flow ceases at ${valueText(offset.estimate)} ${units.stage} (${Math.round(100 * level)} % between ${Number.isFinite(offset.lower) ? valueText(offset.lower) : 'any lower stage'} and ${valueText(offset.upper)}).`;
  return `Discharge against stage of ${name}: ${observations} gaugings from ${valueText(lowestStage)} to ${valueText(highestStage)} ${units.stage} around a curve of ${segments.length === 1 ? 'one piece' : `${segments.length} pieces`} with its ${Math.round(100 * level)} % interval and that of one gauging.${zero} The largest residual is ${valueText(largest, { digits: 2 })} ${offUnit}.`;
}
