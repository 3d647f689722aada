import type { LevelFit } from '../fit/types.js';
import { estimate } from '../kernel/estimate.js';
import type { Parameter } from '../series/units.js';
import { centralReading } from './centralReading.js';
import { hoursInWords, parameterWord, plain, roundedHours } from './numbers.js';

/** Below this many hours a lag or storage is not worth a word: gauges are read by the quarter or half hour. */
const NEGLIGIBLE_HOURS = 0.25;

/**
 * How to read the gauge for a chart, as one plain sentence from its lag L, storage k and lead H.
 *
 * - k = 0: the reading itself, L hours before being there.
 * - k > 0: e is the exponentially weighted mean of the record with time constant k. People can take a plain mean: over the
 *   last 2k hours. Why 2k: for water that changes steadily, Q(t - a) = Q(t) - a·Q', any mean whose weights sum to 1 equals
 *   Q(t) - A·Q' with A the weights' mean age. The exponential weights e^(-a/k)/k have mean age k; equal weights over
 *   W hours have mean age W/2. Equal ages give W = 2k.
 * - k < 0: e = Q + |k|·dQ/dt. With the change over one hour for the slope: the reading plus |k| times that change.
 *
 * Where the fit kept a limb term γ (hours; the creek's state is x + γ·dx/dt), a second sentence says what a rise of a tenth in an hour is worth:
 * a factor 1.1^γ on the reading.
 *
 * Hours are rounded for speech (whole from 10 on, else halves); the unrounded ones are in the chart's `reading`.
 *
 * @param reading lag (positive: the gauge leads) and storage, hours.
 * @param options.parameter discharge reads "flow", stage reads "height".
 * @param options.leadHours the lead the chart was made for; default 0. With a lead, a lag equal to it is the decision's own time.
 * @param options.limbHours γ where the limb term was kept, else leave it out.
 * @returns one sentence that ends in a full stop; one more each for a limb term and a lead.
 * @throws RangeError when lag or storage is not finite.
 * @example howToRead({ lagHours: 0, storageHours: 12 }, { parameter: 'discharge' }) // 'Take the mean flow of the last 24 hours.'
 */
export function howToRead(
  { lagHours, storageHours }: { readonly lagHours: number; readonly storageHours: number },
  { parameter, leadHours = 0, limbHours = 0 }: { parameter: Parameter; leadHours?: number; limbHours?: number },
): string {
  if (!Number.isFinite(lagHours) || !Number.isFinite(storageHours))
    throw new RangeError(`howToRead: lag and storage must be finite hours, got ${lagHours} and ${storageHours}`);
  const more = limbInWords(limbHours) + (leadHours > 0 ? ` Made for deciding ${hoursInWords(leadHours)} ahead.` : '');
  return `Take ${readingInWords({ lagHours, storageHours }, { parameter })}.${more}`;
}

/** How to read the gauge for the chart of a fit with draws. */
export function howToReadFit(fit: LevelFit): string {
  const { parameter, leadHours, limbKept, draws } = fit;
  return howToRead(centralReading(fit), {
    parameter,
    leadHours,
    ...(limbKept && { limbHours: estimate(draws.limb).median }),
  });
}

/** What to read, without the verb: `the mean flow of the last 24 hours`. */
export function readingInWords(
  { lagHours, storageHours }: { readonly lagHours: number; readonly storageHours: number },
  { parameter }: { parameter: Parameter },
): string {
  const word = parameterWord(parameter);
  const when = momentInWords(lagHours);
  if (storageHours > NEGLIGIBLE_HOURS) {
    const window = hoursInWords(2 * storageHours);
    return when === ''
      ? `the mean ${word} of the last ${window}`
      : `the mean ${word} of the ${window} that end ${when}`;
  }
  if (storageHours < -NEGLIGIBLE_HOURS) {
    const times = plain(roundedHours(-storageHours), 1);
    const factor = times === '1' ? 'its change' : `${times} times its change`;
    return when === ''
      ? `the ${word} plus ${factor} in the last hour (minus, when it falls)`
      : `the ${word} ${when} plus ${factor} in the hour before that (minus, when it falls)`;
  }
  return `the ${word} ${when === '' ? 'at the time you are there' : when}`;
}

/** What a rise of a tenth in an hour is worth; nothing where it is under half a percent. */
export function limbInWords(limbHours: number): string {
  const percent = Math.round((1.1 ** Math.abs(limbHours) - 1) * 100);
  if (!(percent >= 1)) return '';
  const [rising, falling] = limbHours > 0 ? ['more', 'less'] : ['less', 'more'];
  return ` For each tenth that it rises in an hour count it as ${percent} % ${rising}, for each tenth that it falls as ${percent} % ${falling}.`;
}

/** When the reading is taken, relative to being at the creek; empty for the same moment. */
function momentInWords(lagHours: number): string {
  if (lagHours > NEGLIGIBLE_HOURS) return `${hoursInWords(lagHours)} before you arrive`;
  if (lagHours < -NEGLIGIBLE_HOURS) return `${hoursInWords(-lagHours)} after you were there`;
  return '';
}
