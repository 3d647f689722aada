import type { Creek, DerivedGauge, Gauge } from '../series/creek.js';
import { convertUnit, unitLabel } from '../series/units.js';
import { figures, listed, plain } from '../series/format.js';
import type { GaugeParts } from './types.js';

/** A factor that somebody multiplies by, to four digits: far finer than any rating is known. */
const factorText = (factor: number): string => figures(factor, 4);

/**
 * How a derived gauge is made up, as one sentence that a person can compute by: no station shows its reading, so every output that names it
 * has to say this.
 *
 *     sum, difference   Q₁(t) ± Qⱼ(t − τⱼ), in the first gauge's unit
 *     area-scaled       Q₁(t − τ₁) · A / A₁
 *     mean              Π Qⱼ(t − τⱼ)^wⱼ
 *
 * @param creek a validated creek.json. @param options.gauge an id.
 * @param options.named whether the sentence names the gauge; default not: `this flow`.
 * @returns undefined for a gauge that a station shows, or that creek.json does not have.
 * @example derivedRecipe(creek, { gauge: 'branch' })
 * // 'No station shows this flow: take the flow of Lower Weir minus that of North Fork 2 hours earlier.'
 */
export function derivedRecipe(
  { gauges, derivedGauges = [] }: Pick<Creek, 'gauges' | 'derivedGauges'>,
  { gauge: id, named = false }: { gauge: string; named?: boolean },
): string | undefined {
  const derived = derivedGauges.find((one) => one.id === id);
  if (derived === undefined) return undefined;
  const sources = derived.of.map((of) => gauges.find((one) => one.id === of));
  if (!sources.every((source) => source !== undefined)) return undefined;
  const words = { 'area-scaled': scaledWords, mean: meanWords, sum: partWords, difference: partWords };
  const parts = words[derived.kind](derived, sources as readonly Gauge[]);
  return `No station shows ${named ? `the flow of ${derived.name}` : 'this flow'}: take ${parts}.`;
}

/** The same as numbers; undefined for a gauge that a station shows, or that creek.json does not have. */
export function derivedParts(
  { gauges, derivedGauges = [] }: Pick<Creek, 'gauges' | 'derivedGauges'>,
  { gauge: id }: { gauge: string },
): GaugeParts | undefined {
  const derived = derivedGauges.find((one) => one.id === id);
  const sources = derived?.of.map((of) => gauges.find((one) => one.id === of));
  if (derived === undefined || !sources!.every((source) => source !== undefined)) return undefined;
  const scale = derived.kind === 'area-scaled' ? derived.catchmentAreaKm2! / sources![0]!.catchmentAreaKm2! : 1;
  const of = (sources as readonly Gauge[]).map((source, i) => ({
    gauge: source.id,
    name: source.name,
    unit: source.unit,
    hoursEarlier: derived.travelHours?.[i] ?? 0,
    factor:
      derived.kind === 'mean'
        ? derived.weights![i]!
        : (i > 0 && derived.kind === 'difference' ? -scale : scale) * convertUnit(1, source.unit, sources![0]!.unit),
  }));
  if (derived.kind !== 'mean') return { combine: 'sum', of, scale: 1 };
  const units = of.map(({ unit, factor }) => convertUnit(1, unit, of[0]!.unit) ** factor);
  return { combine: 'product', of, scale: units.reduce((product, unit) => product * unit, 1) };
}

/** Weights sum to 1, so the mean comes out in the unit that all flows are taken in. */
function meanWords({ weights = [], travelHours }: DerivedGauge, sources: readonly Gauge[]): string {
  const one = sources.every(({ unit }) => unit === sources[0]!.unit) ? '' : ` in ${unitLabel(sources[0]!.unit)}`;
  const flows = sources.map((source, i) => `the flow of ${source.name}${earlier(travelHours?.[i])}`);
  const even = weights.every((weight) => Math.abs(weight - weights[0]!) < 1e-9);
  const root = sources.length === 2 ? 'square root' : sources.length === 3 ? 'third root' : `${sources.length}th root`;
  return even
    ? `the ${root} of the product of ${listed(flows)}${one}`
    : `the product of ${listed(flows.map((flow, i) => `${flow} to the power ${plain(weights[i]!, 2)}`))}${one}`;
}

function scaledWords(derived: DerivedGauge, [source]: readonly Gauge[]): string {
  const factor = derived.catchmentAreaKm2! / source!.catchmentAreaKm2!;
  return `the flow of ${source!.name}${earlier(derived.travelHours?.[0])} times ${factorText(factor)}, as their catchments compare`;
}

function partWords({ kind, travelHours }: DerivedGauge, sources: readonly Gauge[]): string {
  const first = sources[0]!;
  const sign = kind === 'sum' ? 'plus' : 'minus';
  const others = sources.slice(1).map((source, i) => {
    const factor = factorText(convertUnit(1, source.unit, first.unit));
    const unit =
      source.unit === first.unit ? '' : ` (its ${unitLabel(source.unit)} times ${factor} are ${unitLabel(first.unit)})`;
    return `${sign} that of ${source.name}${earlier(travelHours?.[i + 1])}${unit}`;
  });
  return [`the flow of ${first.name}`, ...others].join(' ');
}

/** When the part is read, against the hour that the reading is for; nothing for the same hour. */
function earlier(travelHours = 0): string {
  if (travelHours === 0) return '';
  const hours = Math.abs(travelHours);
  return ` ${plain(hours, 2)} ${hours === 1 ? 'hour' : 'hours'} ${travelHours > 0 ? 'earlier' : 'later'}`;
}
