import type { Feature } from '../series/creek.js';
import { figures } from '../series/format.js';
import type { Issue } from '../series/issue.js';
import type { Visit } from '../series/visits.js';

/** Factors by which a reading is off when a decimal mark is lost or moved, or a sign. */
const SLIPS: readonly number[] = [0.1, 10, 0.01, 100, -1];
/** Readings of a feature farther outside the quartiles than this many times their distance stand out (Tukey's outer fences). */
const FENCE = 3;
/** With fewer readings nothing stands out. */
const LEAST = 8;

/**
 * Readings of a staff that stand out from its others and would not, were a decimal mark or sign another: a note for each. They are used,
 * and the fit lets them say little.
 */
export function readingSlips(file: string, visits: readonly Visit[], features: readonly Feature[]): readonly Issue[] {
  return features.flatMap(({ id, unit = '' }) => {
    const seen = visits.flatMap(({ sightings }) => sightings).filter((s) => s.feature === id && s.value === s.value);
    const sorted = seen.map(({ value }) => value).sort((a, b) => a - b);
    const [q1, q3] = [0.25, 0.75].map((p) => sorted[Math.floor(p * (sorted.length - 1))]!);
    const reach = FENCE * (q3! - q1!);
    const usual = (v: number): boolean => v >= q1! - reach && v <= q3! + reach && (v >= 0 || q1! < 0);
    if (seen.length < LEAST) return [];
    return seen.flatMap(({ row, value }): Issue[] => {
      const meant = SLIPS.map((by) => value * by).find(usual);
      if (usual(value) || meant === undefined) return [];
      return [
        {
          code: 'reading-slip',
          severity: 'note',
          file,
          row,
          found: `${figures(value)} ${unit}`,
          expected: `about ${figures(q1!)} to ${figures(q3!)} ${unit}, as half of the readings of ${id}`,
          hint: `${figures(meant)} would fit: is the decimal mark or the sign right? A reading so far off says next to nothing in the fit.`,
        },
      ];
    });
  });
}
