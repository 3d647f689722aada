import type { CombinedReading, LoggerGauge, LoggerReport, RunGauges, StaffRating } from '../../chart/gauges/types.js';
import type { Estimate } from '../../chart/types.js';
import type { RankedGauge } from '../../judge/gauges/types.js';
import { otherSystemUnit, unitLabel, type GaugeUnit } from '../../series/units.js';
import { edgeTexts, intervalText, seenTexts, unitColumns, type UnitColumn, type UnitsChoice } from './inUnits.js';
import { nearestIndex } from '../../tell/tables/nearestIndex.js';
import { plainTable } from './plainTable.js';
import { tidyCellText } from './tidyText.js';
import { dayText, plural } from './trustTexts.js';

/** Skills and correlations: two decimals, no minus zero. */
export function hundredths(value: number): string {
  const text = value.toFixed(2);
  return text === '-0.00' ? '0.00' : text;
}

/** Hours in a table: whole from 10 h on, else one decimal at most, no minus zero. */
export function hoursText(hours: number): string {
  const text = String(Math.abs(hours) >= 10 ? Math.round(hours) : Math.round(hours * 10) / 10);
  return text === '-0' ? '0' : text;
}

function toHalfHours(hours: number): string {
  return hoursText(Math.round(2 * hours) / 2);
}

/** `2.6 h (2.1 to 3.1)`, `2 h` where the interval is no wider than the rounding, `-` where there is none. */
export function hoursEstimate(estimate: Estimate | null): string {
  if (estimate === null) return '-';
  const { median, i80 } = estimate;
  const known = i80[0] !== null && i80[1] !== null && hoursText(i80[0]) === hoursText(i80[1]);
  return `${hoursText(median)} h${known ? '' : ` (${intervalText(i80, hoursText)})`}`;
}

/** Candidates of one list as columns: rank and name, skill with its interval, the odds of being the best where there are others, the lag. */
export function rankedRows(
  rows: readonly RankedGauge[],
  { width, indent }: { width: number; indent: string },
): readonly string[] {
  const others = rows.length > 1;
  return plainTable(
    [
      { heading: 'Gauge' },
      { heading: 'skill', right: true },
      { heading: '80 %', right: true },
      ...(others ? [{ heading: 'best', right: true }] : []),
      { heading: 'lag', right: true },
    ],
    rows.map((row) => {
      const { skill, range, best, lag } = rankedCells(row);
      return [`${row.rank}. ${row.name}`, skill, range, ...(others ? [best] : []), lag];
    }),
    { width, indent },
  );
}

/** What stands beside a candidate, as texts. */
export function rankedCells({
  skill,
  best,
  lagHours,
  parts,
}: RankedGauge): Readonly<Record<'skill' | 'range' | 'best' | 'lag', string>> {
  return {
    skill: hundredths(skill.againstFrequencies.value ?? NaN),
    range: intervalText(skill.againstFrequencies.i80, hundredths),
    best: shareText(best),
    // A combined one is read at a lag of each of its gauges.
    lag: `${(parts.length > 0 ? parts.map((part) => part.lagHours) : [lagHours]).map(toHalfHours).join(' / ')} h`,
  };
}

/** A share of the draws as a whole percentage; draws can't tell none and all from nearly so. */
export function shareText(share: number): string {
  if (share < 0.005) return '<1 %';
  return share >= 0.995 ? '>99 %' : `${Math.round(100 * share)} %`;
}

/** What a reader of a short list is owed: the first few and the chosen one, in order, and how many are left out. */
export function shortList(
  rows: readonly RankedGauge[],
  { chosen, most }: { chosen: string | null; most: number },
): { readonly shown: readonly RankedGauge[]; readonly left: number } {
  const shown = rows.filter(({ id }, i) => i < most || id === chosen);
  return { shown, left: rows.length - shown.length };
}

/** The edges of a combined gauge, one line an edge: `low / good: 180 (165 to 200) ft³/s, 5.1 (4.6 to 5.7) m³/s`. */
export function combinedEdges(
  { edges, unit }: NonNullable<RunGauges['combined']>,
  units: UnitsChoice,
): readonly string[] {
  const columns = combinedColumns(unit, units);
  return edges.map((edge) => {
    const cells = columns.map((column) => {
      const { value, interval80 } = edgeTexts(edge, column);
      return `${value} (${interval80}) ${column.label}`;
    });
    return `${edge.between.join(' / ')}: ${cells.join(', ')}${edge.seenBothSides ? '' : ' *'}`;
  });
}

/** What visits have met of a mean, and that nothing is known beyond, in the units asked for. */
export function meanSeen(combined: CombinedReading, units: UnitsChoice = 'both'): string {
  const [first, second] = combinedColumns(combined.unit, units).map((column) => {
    const { from, to } = seenTexts(combined, column);
    return `${from} to ${to} ${column.label}`;
  });
  return `Visits have met means from ${first}${second === undefined ? '' : ` (${second})`}: not seen above and below.`;
}

/** The units of a combined gauge, as `unitColumns` has those of a single one. */
export function combinedColumns(unit: GaugeUnit, units: UnitsChoice): readonly UnitColumn[] {
  return unitColumns({ unit, otherUnit: otherSystemUnit(unit) }, units);
}

/**
 * A logger in a line or two: lag and storage by the gauge that explains it best, and what the visits say without and with it. Where all gauges are in doubt, what there is to
 * doubt; where none could be fitted, why.
 */
export function loggerLine(logger: LoggerReport): string {
  const { name, gauges, fromMs } = logger;
  const by = bestExplainedFirst(logger).find(({ status }) => status === 'converged');
  if (by !== undefined) return `${name}: ${by.doubt === null ? fitWords(by) : by.sentence}`;
  if (fromMs === null) return `${name}: none of its levels could be read.`;
  return `${name}: ${gauges[0]?.sentence ?? 'there is no gauge to hold it against.'}`;
}

/** A logger's gauges: those without a doubt, then those in doubt, then those without a fit; of each the one first that explains most of its levels. */
export function bestExplainedFirst({ gauges }: LoggerReport): readonly LoggerGauge[] {
  const place = ({ status, doubt }: LoggerGauge): number => (status !== 'converged' ? 2 : doubt === null ? 0 : 1);
  return [...gauges].sort((a, b) => place(a) - place(b) || (b.explained ?? 0) - (a.explained ?? 0));
}

function fitWords({ gaugeName, lag, storage, explained, floods, withVisits }: LoggerGauge): string {
  const share = explained === null ? '' : `; it explains ${Math.round(100 * explained)} % of the levels`;
  const few = floods < 3 ? `, over ${plural(floods, 'flood')} only` : '';
  const visits = withVisits === null ? '' : ` ${withVisits.sentence}`;
  return `${gaugeName}, lag ${hoursEstimate(lag)} with a storage of ${hoursEstimate(storage)}${share}${few}.${visits}`;
}

/** Where the two power laws of a staff's rating meet, and the upper one's exponent with its 80 % interval; nothing where there is one curve. */
export function breakWords(
  { upper, unit }: Pick<StaffRating, 'upper' | 'unit'>,
  show: (value: number) => string = tidyCellText,
): string | undefined {
  if (upper === null) return undefined;
  const { from, exponent } = upper;
  return `They meet at ${show(from)} ${unitLabel(unit)}; above it the exponent is ${hundredths(exponent.median)} (${intervalText(exponent.i80, hundredths)}).`;
}

/** Correlation at the lag nearest to the peak, which lies between the lags that were tried; null where there is none. */
export function peakCorrelation({
  lagsHours,
  correlation,
  peakLagHours,
}: NonNullable<LoggerGauge['ccf']>): number | null {
  return correlation[nearestIndex(lagsHours, peakLagHours)] ?? null;
}

/** First and last day of a logger; empty where it has none. */
export function loggerDates({ fromMs, toMs }: LoggerReport, timeZone: string): string {
  return fromMs === null ? '' : `${dayText(fromMs, timeZone)} to ${dayText(toMs, timeZone)}`;
}

/** Lags that do not go with the distance: a sentence each. */
export function travelDoubts({ lags }: RunGauges): readonly string[] {
  return lags.flatMap(({ gaugeName, travel }) =>
    travel?.lagGoes === false ? [`${gaugeName}: ${travel.sentence}`] : [],
  );
}
