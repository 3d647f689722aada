import { inUnit, odds } from '../series/format.js';
import type { GaugeUnit } from '../series/units.js';
import { width80 } from '../kernel/estimate.js';
import { roundedInOther, roundSafer, type Rounded } from '../judge/roundSafer.js';
import type { Edge, OddsTable, SureRange } from './types.js';

/** Odds from which a class counts as sure. */
export const SURE_ODDS = 0.8;

/**
 * The sure range of each class: the gauge values with odds of at least 80 %, within the values that visits have seen.
 *
 * Ends between two values of the table are interpolated (linear in ln(reading - offset), which is how the table is spaced). A range is the
 * stretch of sure values around the best odds. It never passes the lowest or highest value seen; at an end class the sentence says
 * that values beyond are not seen, and that the water there is at most (at least) that class.
 * Rounded inward, `from` up and `to` down, with the step of the neighbouring verdict edge (three digits at the end of what was seen); where
 * nothing is left between the rounded ends they are null.
 *
 * @param odds table of V gauge values × K classes.
 * @param options.seen lowest and highest gauge value of the visits.
 * @param options.edges the verdict's K - 1 edges.
 * @returns one range a class, lowest first; an empty one has null ends and says the best odds reached.
 */
export function sureRanges(
  odds: OddsTable,
  {
    seen,
    edges,
    unit,
    offset,
  }: {
    seen: { readonly from: number; readonly to: number };
    edges: readonly Edge[];
    unit: GaugeUnit;
    offset: number;
  },
): readonly SureRange[] {
  const K = odds.classes.length;
  const curve = withinSeen(odds, { seen, offset });
  return Object.freeze(
    odds.classes.map((word, k) => {
      const { best, from, to } = stretch(curve, k);
      const lowWidth = k > 0 && from > seen.from ? width80(edges[k - 1]) : NaN;
      const highWidth = k < K - 1 && to < seen.to ? width80(edges[k]) : NaN;
      const empty = !(from <= to);
      const ends = roundedEnds({ from, to }, { lowWidth, highWidth, unit, empty });
      const range = {
        class: word,
        empty,
        from: empty ? null : from,
        to: empty ? null : to,
        ...ends,
        bestOdds: best,
      };
      return Object.freeze({ ...range, says: sentence(range, { k, K, seen, unit }) });
    }),
  );
}

/** The table cut to what was seen, with interpolated rows at both ends: x ascending, odds per x. */
interface Curve {
  readonly x: readonly number[];
  readonly rows: readonly (readonly number[])[];
  readonly offset: number;
}

function withinSeen(odds: OddsTable, { seen, offset }: { seen: { from: number; to: number }; offset: number }): Curve {
  const all = odds.gaugeValues.map((g) => Math.log(g - offset));
  const low = Math.log(seen.from - offset);
  const high = Math.log(seen.to - offset);
  const x: number[] = [];
  const rows: (readonly number[])[] = [];
  const add = (at: number, row: readonly number[]) => {
    x.push(at);
    rows.push(row);
  };
  add(low, rowAt(all, odds.probability, low));
  for (let v = 0; v < all.length; v++) if (all[v] > low && all[v] < high) add(all[v], odds.probability[v]);
  if (high > low) add(high, rowAt(all, odds.probability, high));
  return { x, rows, offset };
}

function rowAt(x: readonly number[], rows: readonly (readonly number[])[], at: number): readonly number[] {
  let v = 1;
  while (v < x.length - 1 && x[v] < at) v++;
  const share = Math.min(1, Math.max(0, (at - x[v - 1]) / (x[v] - x[v - 1])));
  return rows[v].map((p, k) => (1 - share) * rows[v - 1][k] + share * p);
}

/** Best odds of class k and the stretch of sure values around them; NaN ends where none is sure. */
function stretch({ x, rows, offset }: Curve, k: number): { best: number; from: number; to: number } {
  let at = 0;
  for (let v = 1; v < x.length; v++) if (rows[v][k] > rows[at][k]) at = v;
  const best = rows[at][k];
  if (!(best >= SURE_ODDS)) return { best, from: NaN, to: NaN };
  let first = at;
  while (first > 0 && rows[first - 1][k] >= SURE_ODDS) first--;
  let last = at;
  while (last < x.length - 1 && rows[last + 1][k] >= SURE_ODDS) last++;
  const crossing = (sure: number, unsure: number) => {
    const share = (rows[sure][k] - SURE_ODDS) / (rows[sure][k] - rows[unsure][k]);
    return x[sure] + share * (x[unsure] - x[sure]);
  };
  return {
    best,
    from: offset + Math.exp(first > 0 ? crossing(first, first - 1) : x[0]),
    to: offset + Math.exp(last < x.length - 1 ? crossing(last, last + 1) : x[x.length - 1]),
  };
}

function roundedEnds(
  { from, to }: { from: number; to: number },
  { lowWidth, highWidth, unit, empty }: { lowWidth: number; highWidth: number; unit: GaugeUnit; empty: boolean },
): Pick<SureRange, 'roundedFrom' | 'roundedTo' | 'roundedFromOther' | 'roundedToOther' | 'digits' | 'digitsOther'> {
  const nothing = {
    roundedFrom: null,
    roundedTo: null,
    roundedFromOther: null,
    roundedToOther: null,
    digits: 0,
    digitsOther: 0,
  };
  const ends = empty ? null : bothEnds(from, to, { lowWidth, highWidth });
  if (ends === null) return nothing;
  const [low, high] = [ends.low, ends.high].map(({ value }) => roundedInOther(value, unit));
  return {
    roundedFrom: ends.low.value,
    roundedTo: ends.high.value,
    roundedFromOther: low.value,
    roundedToOther: high.value,
    digits: ends.digits,
    digitsOther: Math.max(low.digits, high.digits),
  };
}

function bothEnds(
  from: number,
  to: number,
  { lowWidth, highWidth }: { lowWidth: number; highWidth: number },
): { low: Rounded; high: Rounded; digits: number } | null {
  const low = roundSafer(from, { width: lowWidth, side: 'up' });
  const high = roundSafer(to, { width: highWidth, side: 'down' });
  return low.value < high.value ? { low, high, digits: Math.max(low.digits, high.digits) } : null;
}

function sentence(
  range: Omit<SureRange, 'says' | 'digitsOther' | 'roundedFromOther' | 'roundedToOther'>,
  { k, K, seen, unit }: { k: number; K: number; seen: { from: number; to: number }; unit: GaugeUnit },
): string {
  const word = range.class;
  if (range.empty)
    return `No reading makes "${word}" sure: its best odds are ${bestInWords(range.bestOdds)}, ${odds(SURE_ODDS)} are asked for.`;
  if (range.roundedFrom === null || range.roundedTo === null)
    return `"${word}" is sure (${odds(SURE_ODDS)} or more) only over a stretch narrower than the edges are known.`;
  const from = inUnit(range.roundedFrom, unit, range.digits);
  const to = inUnit(range.roundedTo, unit, range.digits);
  const lowest = range.from !== null && range.from <= seen.from;
  const highest = range.to !== null && range.to >= seen.to;
  if (lowest && highest) return `"${word}" is sure at every reading seen, ${from} to ${to}.`;
  if (lowest)
    return (
      `"${word}" is sure from ${from}, the lowest seen, to ${to}; lower readings are not seen and are at most ` +
      `"${word}"${k === 0 ? '' : ', maybe less'}.`
    );
  if (highest)
    return (
      `"${word}" is sure from ${from} to ${to}, the highest seen; higher readings are not seen and are at least ` +
      `"${word}"${k === K - 1 ? '' : ', maybe more'}.`
    );
  return `"${word}" is sure from ${from} to ${to}.`;
}

/** Odds that miss the mark by a hair must not be written as the mark. */
function bestInWords(best: number): string {
  return odds(best) === odds(SURE_ODDS) ? `just under ${odds(SURE_ODDS)}` : odds(best);
}
