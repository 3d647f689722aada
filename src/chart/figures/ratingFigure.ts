import type { RatingFit } from '../../fit/rating/fitRating.js';
import { predictRating } from '../../fit/rating/predictRating.js';
import { axisTicks } from './axisTicks.js';
import { curveAndResiduals, panelPx } from './curveAndResiduals.js';
import { axisTitle, drawn, NARROW_PX, WIDE_PX, type Figure } from './figure.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';

/** Points along the curve. */
const STEPS = 80;

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
  return {
    kind: 'figure',
    title: `Rating of ${name}`,
    alt: altOf(fit, { units, name, largest, offUnit }),
    ...curveAndResiduals(
      {
        x: stages,
        median: estimates,
        curveBand: { low: curve.map((p) => p.lower), high: curve.map((p) => p.upper) },
        oneBand: { low: gauging.map((p) => p.lower), high: gauging.map((p) => p.upper), name: 'one gauging' },
        seen: [low, high],
        points: { x: Array.from(stage), y: Array.from(discharge), off, text },
      },
      {
        offTitle: `off, ${plotlyText(offUnit)}`,
        axes: (narrow) => {
          const ticks = axisTicks({ from, to }, { kind: 'log', px: panelPx(narrow), across: false });
          return {
            xaxis: {
              range: [low - 0.03 * (high - low), low + 1.12 * (high - low)],
              title: axisTitle(`stage, ${plotlyText(units.stage)}`),
              nticks: Math.floor((narrow ? NARROW_PX : WIDE_PX) / 70),
            },
            yaxis: {
              type: 'log',
              range: [Math.log10(from), Math.log10(to)],
              tickvals: ticks.values,
              ticktext: ticks.texts,
              title: axisTitle(`discharge, ${plotlyText(units.discharge)}`, 6),
            },
          };
        },
      },
    ),
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
