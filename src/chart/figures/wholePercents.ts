/**
 * Odds as whole percents that sum to 100 (largest remainders; a tie goes to the later, higher class: with water the higher
 * one is the one to be warned of).
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 * @param odds shares that sum to about 1.
 * @returns whole numbers of the same length that sum to 100; all 0 where the odds sum to 0 or are no numbers.
 * @example wholePercents([1 / 3, 1 / 3, 1 / 3]) // [33, 33, 34]
 */
export function wholePercents(odds: readonly number[]): number[] {
  const total = odds.reduce((sum, p) => sum + p, 0);
  if (!(total > 0)) return odds.map(() => 0);
  const exact = odds.map((p) => (100 * p) / total);
  const whole = exact.map(Math.floor);
  let missing = 100 - whole.reduce((sum, p) => sum + p, 0);
  const order = exact.map((_, k) => k).sort((a, b) => exact[b]! - whole[b]! - (exact[a]! - whole[a]!) || b - a);
  for (const k of order) {
    if (missing <= 0) break;
    whole[k]! += 1;
    missing -= 1;
  }
  return whole;
}
