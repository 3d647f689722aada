/**
 * The good class or classes of an ordered list: the one called "good" where there is one, else the middle one (the two middle
 * ones of an even list).
 *
 * @returns indices of the lowest and highest good class.
 */
export function goodClasses(classes: readonly string[]): readonly [number, number] {
  const named = classes.findIndex((c) => c.trim().toLowerCase() === 'good');
  if (named >= 0) return [named, named];
  const last = classes.length - 1;
  return [Math.floor(last / 2), Math.ceil(last / 2)];
}
