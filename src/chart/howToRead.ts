import { meanWindowHours } from '../align/effectiveSeries.js';
import type { LevelFit } from '../fit/types.js';
import { estimate } from '../kernel/estimate.js';
import { counted, hoursInWords, parameterWord, plain } from '../series/format.js';
import type { Parameter } from '../series/units.js';
import type { LevelChart } from './types.js';

/** Below this many hours a lag or storage is not worth a word: gauges are read by the quarter or half hour. */
const NEGLIGIBLE_HOURS = 0.25;

/**
 * How to read the gauge for a chart, as one plain sentence from its lag L, storage k and lead H.
 *
 * - k = 0: the reading itself, L hours before being there.
 * - k > 0: the average of the reading and its mean over the last 4k hours.
 * - k < 0: e = Q + |k|·dQ/dt. With the change over one hour for the slope: the reading plus |k| times that change.
 *
 * Where the fit kept a limb term γ (hours; the creek's state is x + γ·dx/dt), a second sentence says what a rise of a tenth in an hour is
 * worth: a factor 1.1^γ on the reading.
 *
 * The fit takes exactly this arithmetic (`effectiveSeries`); hours are those of the grid and not rounded.
 *
 * @param reading lag (positive: the gauge leads) and storage, hours.
 * @param options.parameter discharge reads "flow", stage reads "height".
 * @param options.leadHours the lead the chart was made for; default 0. With a lead, a lag equal to it is the decision's own time.
 * @param options.limbHours γ where the limb term was kept, else leave it out.
 * @returns one sentence that ends in a full stop; one more each for a limb term and a lead.
 * @throws RangeError when lag or storage is not finite.
 * @example howToRead({ lagHours: 0, storageHours: 12 }, { parameter: 'discharge' }) // 'Take the average of the flow at the time you are
 * there and its mean over the last 48 hours.'
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
  const { parameter, leadHours, limbKept, draws, reading } = fit;
  return howToRead(reading, {
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
    const window = counted(meanWindowHours(storageHours), 'hour');
    return when === ''
      ? `the average of the ${word} at the time you are there and its mean over the last ${window}`
      : `the average of the ${word} ${when} and its mean over the ${window} up to then`;
  }
  if (storageHours < -NEGLIGIBLE_HOURS) {
    const times = plain(-storageHours, 1);
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
  return (
    ` For each tenth that it rises in an hour count it as ${percent} % ${rising}, for each tenth that it ` +
    `falls as ${percent} % ${falling}.`
  );
}

/** When the reading is taken, relative to being at the creek; empty for the same moment. */
function momentInWords(lagHours: number): string {
  if (lagHours > NEGLIGIBLE_HOURS) return `${counted(lagHours, 'hour')} before you arrive`;
  if (lagHours < -NEGLIGIBLE_HOURS) return `${counted(-lagHours, 'hour')} after you were there`;
  return '';
}

/**
 * Power of the ratio to the reading one hour earlier that an instruction asks for; a rise that is worth no word in it asks for no number
 * either.
 */
export function limbAsked({ limb }: Pick<LevelChart, 'limb'>): number {
  const hours = limb.hours?.median ?? 0;
  return limbInWords(hours) === '' ? 0 : hours;
}
