import type { Aligned } from '../align/types.js';
import { grossDensity, readingRange } from '../fit/readingRange.js';
import { figures } from '../series/format.js';

/** What may have gone wrong with a visit, and how often that is taken to happen before looking. */
export interface Explanation {
  readonly kind: 'clock' | 'feature' | 'unit' | 'digits' | 'misread' | 'gauge' | 'another-day';
  readonly sentence: string;
  /** Share of visits; assumed, see docs/judging.md. */
  readonly prior: number;
  /** Hours by which it took place later than written down (`clock`). */
  readonly hours?: number;
  /** Line in visits.csv (`feature`, `unit`, `digits`, `misread`). */
  readonly row?: number;
}

export const ELSEWHERE_PRIOR = 0.02;

const clock = (hours: number, prior: number, sentence: string): Explanation => ({
  kind: 'clock',
  hours,
  prior,
  sentence,
});

/** Slips of the clock and the calendar. */
export const TIME_SLIPS: readonly Explanation[] = [
  clock(12, 0.005, 'Took place 12 hours later than written: morning for evening.'),
  clock(-12, 0.005, 'Took place 12 hours earlier than written: evening for morning.'),
  clock(24, 0.005, 'Took place a day later than written.'),
  clock(-24, 0.005, 'Took place a day earlier than written.'),
  clock(1, 0.0025, 'Took place an hour later than written: clock change, or another zone.'),
  clock(-1, 0.0025, 'Took place an hour earlier than written: clock change, or another zone.'),
];

const FEATURE_PRIOR = 0.01;
const UNIT_PRIOR = 0.01;
const DIGITS_PRIOR = 0.01;
const MISREAD_PRIOR = 0.005;
/** A decimal mark lost or moved, a sign. */
const DIGITS: readonly number[] = [0.1, 10, 0.01, 100, -1];

/** Length of each unit in metres, exact. */
const LENGTHS: Readonly<Record<string, number>> = { cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 };

/** One sighting of a visit read another way. */
export interface SightingSlip {
  readonly slip: Explanation;
  /** Its place among the sightings of `changed`. */
  readonly sighting: number;
  /** The visits with that sighting changed. */
  readonly changed: Aligned;
  /** ln of the stretch of the number: a density in the unit written is this much higher. */
  readonly lnScale: number;
}

/**
 * Other readings of a visit's sightings: a word that another class feature knows too, written into the wrong column; a number in another
 * unit of length, a factor of ten or a sign away, or any other. The prior of each kind is shared among its ways, so that more features
 * make no visit more suspect.
 */
export function sightingSlips(aligned: Aligned, visit: number): readonly SightingSlip[] {
  const features: Omit<SightingSlip, 'lnScale'>[] = [];
  const units: SightingSlip[] = [];
  const digits: SightingSlip[] = [];
  const misread: SightingSlip[] = [];
  for (let j = aligned.sightingStart[visit]; j < aligned.sightingStart[visit + 1]; j++) {
    const own = aligned.features[aligned.sightingFeature[j]];
    const row = aligned.sightingRow[j];
    if (aligned.sightingClass[j] >= 0) {
      const word = own.classes[aligned.sightingClass[j]];
      misread.push({
        slip: {
          kind: 'misread',
          row,
          prior: MISREAD_PRIOR,
          sentence: `Line ${row}: "${word}" is another word than was meant.`,
        },
        sighting: j,
        changed: { ...aligned, sightingClass: aligned.sightingClass.with(j, -1) },
        lnScale: -Math.log(own.classes.length),
      });
      aligned.features.forEach((other, f) => {
        const at = other.classes.indexOf(word);
        if (f === aligned.sightingFeature[j] || at < 0) return;
        features.push({
          slip: {
            kind: 'feature',
            row,
            prior: FEATURE_PRIOR,
            sentence: `Line ${row}: "${word}" was seen at ${other.name}, not at ${own.name}.`,
          },
          sighting: j,
          changed: {
            ...aligned,
            sightingFeature: aligned.sightingFeature.with(j, f),
            sightingClass: aligned.sightingClass.with(j, at),
          },
        });
      });
      continue;
    }
    const saw = aligned.sightingValue[j];
    const number = (kind: Explanation['kind'], prior: number, sentence: string, by: number): SightingSlip => ({
      slip: { kind, row, prior, sentence: `Line ${row}: ${sentence}` },
      sighting: j,
      changed: { ...aligned, sightingValue: aligned.sightingValue.with(j, saw * by) },
      lnScale: Math.log(Math.abs(by)),
    });
    for (const by of DIGITS) {
      const meant = figures(saw * by);
      if (saw !== 0) digits.push(number('digits', DIGITS_PRIOR, `${saw} should read ${meant}.`, by));
    }
    const ofFeature = aligned.sightingValue.filter((_, i) => aligned.sightingFeature[i] === aligned.sightingFeature[j]);
    misread.push({
      ...number('misread', MISREAD_PRIOR, `${saw} was misread, or is another number altogether.`, NaN),
      lnScale: Math.log(grossDensity(readingRange(ofFeature).range)),
    });
    const unit = own.unit ?? '';
    if (!(unit in LENGTHS)) continue;
    for (const [meant, length] of Object.entries(LENGTHS)) {
      if (meant === unit) continue;
      units.push(number('unit', UNIT_PRIOR, `${saw} is in ${meant}, not in ${unit}.`, length / LENGTHS[unit]));
    }
  }
  const shared = (list: readonly SightingSlip[]) =>
    list.map((one) => ({ ...one, slip: { ...one.slip, prior: one.slip.prior / list.length } }));
  return [
    ...shared(features.map((one) => ({ ...one, lnScale: 0 }))),
    ...shared(units),
    ...shared(digits),
    ...shared(misread),
  ];
}
