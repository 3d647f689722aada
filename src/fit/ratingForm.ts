import type { Aligned } from '../align/types.js';
import { formEvidence, type FormMode, type RatingForms } from './formEvidence.js';
import type { ProblemOptions } from './gridProblem.js';
import { placesOfBreaks } from './placesOfBreaks.js';
import type { RatingForm } from './types.js';

/** Why a numeric feature's form was taken: differences of ln evidence. */
export interface RatingEvidence {
  readonly readings: number;
  /** ln evidence of the power law (with the noise that was taken) over the straight line; NaN where too few readings left only the line. */
  readonly powerOverLine: number;
  /** ln evidence of growing noise over the better form with constant noise; NaN where it was not tried. */
  readonly growingOverConstant: number;
  /**
   * ln evidence of two power laws that meet at a break, averaged over the places tried, over the form with one; NaN where it was not tried.
   */
  readonly breakOverOne: number;
}

/** Readings of a numeric feature below which a curve is not even tried. */
export const MIN_READINGS_FOR_POWER = 8;

/** Readings below which a break is not looked for: two power laws have five numbers of their own. */
export const MIN_READINGS_FOR_BREAK = 24;

/**
 * Noise that grows, and a break, are taken when the data make them this much likelier (ln 20), as a limb term is: below that, the simpler
 * one.
 */
export const GROWING_LOG_BAYES_FACTOR = 3;

/**
 * Form of each numeric feature by evidence, one feature after the other, at the single reading nearest to lag 0: the power law with offset
 * or the straight line, whichever has more (a line is what is left where the data can't carry the offset); then the power law whose noise
 * grows with the height above the offset, where it is 20 times likelier than the better of those; then, from 24 readings on, two power laws
 * that meet at a break (banks that open, a bar that drowns), where they are 20 times likelier than the one before. Breaks are tried at four
 * places among the readings that share the prior; the likeliest place is held from then on.
 */
export function chooseRatingForms(
  aligned: Aligned,
  options: ProblemOptions,
  set: readonly number[],
): RatingForms & { readonly ratingEvidence: ReadonlyMap<number, RatingEvidence> } {
  const ratingForm = new Map<number, RatingForm>();
  const ratingBreak = new Map<number, number>();
  const ratingEvidence = new Map<number, RatingEvidence>();
  const open: { f: number; readings: number }[] = [];
  aligned.features.forEach((feature, f) => {
    if (feature.classes.length > 0) return;
    const readings = aligned.sightingFeature.reduce((count, other) => count + (other === f ? 1 : 0), 0);
    ratingForm.set(f, 'line');
    ratingEvidence.set(f, Object.freeze({ readings, powerOverLine: NaN, growingOverConstant: NaN, breakOverOne: NaN }));
    // A staff that never moved has nothing to bend, and noises that shrink to nothing compare by chance.
    if (readings >= MIN_READINGS_FOR_POWER && moves(aligned, f)) open.push({ f, readings });
  });
  if (open.length === 0) return { ratingForm, ratingBreak, ratingEvidence };
  const { lagsHours } = aligned;
  const g = set.reduce((a, b) =>
    Math.abs(lagsHours[b % lagsHours.length]) < Math.abs(lagsHours[a % lagsHours.length]) ? b : a,
  );
  let held = formEvidence(aligned, { ratingForm, ratingBreak }, { options, g });
  const tried = (f: number, form: RatingForm, from: FormMode, breakAt?: number): FormMode =>
    formEvidence(
      aligned,
      {
        ratingForm: new Map(ratingForm).set(f, form),
        ratingBreak: breakAt === undefined ? ratingBreak : new Map(ratingBreak).set(f, breakAt),
      },
      { options, g, from },
    );
  for (const { f, readings } of open) {
    const line = held;
    const power = tried(f, 'power', line);
    const growing = tried(f, 'growing', power);
    const simpler = line.evidence > power.evidence ? line : power;
    const growingOverConstant = growing.evidence - simpler.evidence;
    const grows = growingOverConstant > GROWING_LOG_BAYES_FACTOR;
    const one = grows ? growing : simpler;
    ratingForm.set(f, grows ? 'growing' : simpler === line ? 'line' : 'power');
    held = one;

    const places = readings >= MIN_READINGS_FOR_BREAK ? placesOfBreaks(aligned, { feature: f, g }) : [];
    const breaks = places.map((at) => ({ at, mode: tried(f, 'segments', power, at) }));
    const breakOverOne = lnMean(breaks.map(({ mode }) => mode.evidence)) - one.evidence;
    if (breakOverOne > GROWING_LOG_BAYES_FACTOR) {
      const best = breaks.reduce((a, b) => (b.mode.evidence > a.mode.evidence ? b : a));
      ratingForm.set(f, 'segments');
      ratingBreak.set(f, best.at);
      held = best.mode;
    }
    ratingEvidence.set(
      f,
      Object.freeze({
        readings,
        powerOverLine: (grows ? growing : power).evidence - line.evidence,
        growingOverConstant,
        breakOverOne: places.length === 0 ? NaN : breakOverOne,
      }),
    );
  }
  return { ratingForm, ratingBreak, ratingEvidence };
}

/** ln of the mean of what these are the ln of; -Infinity for none. */
function lnMean(values: readonly number[]): number {
  const top = Math.max(...values);
  if (!(top > -Infinity)) return -Infinity;
  return top + Math.log(values.reduce((sum, v) => sum + Math.exp(v - top), 0) / values.length);
}

/** Has a numeric feature read two different numbers? */
function moves({ sightingFeature, sightingValue }: Aligned, feature: number): boolean {
  const first = sightingFeature.indexOf(feature);
  return sightingFeature.some((f, j) => f === feature && sightingValue[j] !== sightingValue[first]);
}
