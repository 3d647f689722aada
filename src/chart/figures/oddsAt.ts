/** The part of an odds table that is needed to look a value up. */
export interface OddsRows {
  readonly gaugeValues: readonly number[];
  readonly probability: readonly (readonly number[])[];
}

/**
 * Odds of each class at a gauge value, linear between the neighbouring rows of the table; they sum to 1 as the rows do.
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 * @returns undefined outside the table, for a value that is no number, and for a table without rows.
 * @example oddsAt({ gaugeValues: [1, 3], probability: [[1, 0], [0, 1]] }, 2) // [0.5, 0.5]
 */
export function oddsAt(table: OddsRows, value: number): number[] | undefined {
  const { gaugeValues, probability } = table;
  const last = gaugeValues.length - 1;
  if (!(value >= gaugeValues[0]! && value <= gaugeValues[last]!)) return undefined;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (gaugeValues[middle]! <= value) low = middle;
    else high = middle;
  }
  const span = gaugeValues[high]! - gaugeValues[low]!;
  const t = span > 0 ? (value - gaugeValues[low]!) / span : 0;
  return probability[low]!.map((p, k) => p + t * (probability[high]![k]! - p));
}
