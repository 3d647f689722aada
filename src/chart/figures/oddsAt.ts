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

/** An odds table with the ends of its intervals, and the readings that visits have met. */
export interface SeenTable extends OddsRows {
  readonly low80: readonly (readonly number[])[];
  readonly high80: readonly (readonly number[])[];
  readonly seen: { readonly from: number; readonly to: number };
}

/**
 * What a chart says of one reading: odds of each class with the lower and upper ends of their 80 % intervals, or on which side of all
 * visits it lies. Whoever asks a chart asks here: the page's calculator, the day's odds and the season are one.
 *
 * Stands alone (no imports, helpers handed in): the page carries its source.
 * @returns `side` -1 below and 1 above all visits, without odds; 0 with `rows` [odds, low, high]. A hair of slack: the lowest and highest
 * visit are seen.
 */
export function seenOdds(
  { gaugeValues, probability, low80, high80, seen }: SeenTable,
  value: number,
  helpers: { readonly oddsAt: typeof oddsAt },
): { readonly side: -1 | 0 | 1; readonly rows: readonly (readonly number[])[] } {
  const slack = 1e-9 * Math.max(Math.abs(seen.from), Math.abs(seen.to));
  const side = value < seen.from - slack ? -1 : value > seen.to + slack ? 1 : 0;
  if (side !== 0) return { side, rows: [] };
  const rows = [probability, low80, high80].map((one) => helpers.oddsAt({ gaugeValues, probability: one }, value)!);
  return { side, rows };
}
