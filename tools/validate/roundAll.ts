/** Every number of plain data rounded to four significant digits: enough to compare, few enough to read in a diff. */
export function roundAll(value: unknown): unknown {
  if (typeof value === 'number') return Number.isFinite(value) ? Number(value.toPrecision(4)) : null;
  if (Array.isArray(value)) return value.map(roundAll);
  if (typeof value === 'object' && value !== null)
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, roundAll(inner)]));
  return value;
}
