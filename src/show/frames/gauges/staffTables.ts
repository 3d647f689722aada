import type { CreekGauges, RunGauges, StaffRating, StaffReport } from '../../../chart/gauges/types.js';
import type { TidyTable } from '../tidyTable.js';
import { runsTable, type RunKey } from './gaugeRows.js';

export interface StaffReadingRow {
  readonly staff: string;
  readonly class: string;
  /** From 0, lowest class first. */
  readonly classIndex: number;
  readonly reading: number;
  readonly unit: string;
}

/** What each staff read on visits with a verdict, one row a reading. */
export function staffReadingsTable(gauges: CreekGauges): TidyTable<RunKey & StaffReadingRow> {
  return runsTable<StaffReadingRow>(
    'staff readings',
    { staff: 'text', class: 'text', classIndex: 'number', reading: 'number', unit: 'text' },
    {
      gauges,
      rows: ({ staffs }) =>
        staffs.flatMap(({ feature, unit, classes }) =>
          classes.flatMap(({ word, readings }, classIndex) =>
            readings.map((reading) => ({ staff: feature, class: word, classIndex, reading, unit })),
          ),
        ),
    },
  );
}

export interface StaffRatingRow {
  readonly staff: string;
  readonly gauge: string;
  /** `power` or `line`. */
  readonly form: string;
  /** Gauge value at which two power laws meet; null for one curve. */
  readonly breakAt: number | null;
  /** Exponent above the break; null for one curve. */
  readonly upperExponent: number | null;
  /** The staff's reading at no flow, in `unit`; null for a line. */
  readonly offset: number | null;
  readonly low80: number | null;
  readonly high80: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
  /** 95 % sure: it lies below this. */
  readonly below95: number | null;
  readonly unit: string;
  readonly points: number;
}

/** The form and the offset of each staff's rating, one row a staff and gauge. */
export function staffRatingsTable(gauges: CreekGauges): TidyTable<RunKey & StaffRatingRow> {
  return runsTable<StaffRatingRow>(
    'staff ratings',
    {
      staff: 'text',
      gauge: 'text',
      form: 'text',
      breakAt: 'number',
      upperExponent: 'number',
      offset: 'number',
      low80: 'number',
      high80: 'number',
      low95: 'number',
      high95: 'number',
      below95: 'number',
      unit: 'text',
      points: 'number',
    },
    {
      gauges,
      rows: (run) =>
        ratingsOf(run).map(({ staff, rating: { gauge, form, upper, offset, points } }) => ({
          staff: staff.feature,
          gauge,
          form,
          breakAt: upper?.from ?? null,
          upperExponent: upper?.exponent.median ?? null,
          offset: offset?.median ?? null,
          low80: offset?.i80[0] ?? null,
          high80: offset?.i80[1] ?? null,
          low95: offset?.i95[0] ?? null,
          high95: offset?.i95[1] ?? null,
          below95: offset?.below95 ?? null,
          unit: staff.unit,
          points: points.length,
        })),
    },
  );
}

export interface StaffCurveRow {
  readonly staff: string;
  readonly gauge: string;
  readonly gaugeValue: number;
  readonly gaugeUnit: string;
  /** The staff's reading there, in `unit`. */
  readonly median: number;
  readonly low80: number | null;
  readonly high80: number | null;
  readonly readingLow80: number | null;
  readonly readingHigh80: number | null;
  readonly unit: string;
  /** Whether a visit has read the staff at gauge values on both sides of this one. */
  readonly seen: boolean;
}

/** Each staff's rating as a curve: median, 80 % band of the curve and that of one reading, one row a gauge value. */
export function staffCurveTable(gauges: CreekGauges): TidyTable<RunKey & StaffCurveRow> {
  return runsTable<StaffCurveRow>(
    'staff curve',
    {
      staff: 'text',
      gauge: 'text',
      gaugeValue: 'number',
      gaugeUnit: 'text',
      median: 'number',
      low80: 'number',
      high80: 'number',
      readingLow80: 'number',
      readingHigh80: 'number',
      unit: 'text',
      seen: 'truth',
    },
    {
      gauges,
      rows: (run) =>
        ratingsOf(run).flatMap(({ staff, rating }) => {
          const met = rating.points.map((point) => point.gaugeValue);
          const [from, to] = [Math.min(...met), Math.max(...met)];
          return rating.gaugeValues.map((gaugeValue, v) => ({
            staff: staff.feature,
            gauge: rating.gauge,
            gaugeValue,
            gaugeUnit: rating.unit,
            median: rating.median[v]!,
            low80: rating.curve80[v]![0],
            high80: rating.curve80[v]![1],
            readingLow80: rating.reading80[v]![0],
            readingHigh80: rating.reading80[v]![1],
            unit: staff.unit,
            seen: gaugeValue >= from && gaugeValue <= to,
          }));
        }),
    },
  );
}

export interface StaffPointRow {
  readonly staff: string;
  readonly gauge: string;
  readonly visit: string;
  /** Effective reading of the gauge. */
  readonly gaugeValue: number;
  readonly gaugeUnit: string;
  readonly reading: number;
  readonly expected: number;
  readonly unit: string;
}

/** The visits behind each staff's rating: what the staff read, and what was expected at the gauge's effective reading. */
export function staffPointsTable(gauges: CreekGauges): TidyTable<RunKey & StaffPointRow> {
  return runsTable<StaffPointRow>(
    'staff points',
    {
      staff: 'text',
      gauge: 'text',
      visit: 'text',
      gaugeValue: 'number',
      gaugeUnit: 'text',
      reading: 'number',
      expected: 'number',
      unit: 'text',
    },
    {
      gauges,
      rows: (run) =>
        ratingsOf(run).flatMap(({ staff, rating }) =>
          rating.points.map(({ visit, gaugeValue, staff: reading, expected }) => ({
            staff: staff.feature,
            gauge: rating.gauge,
            visit,
            gaugeValue,
            gaugeUnit: rating.unit,
            reading,
            expected,
            unit: staff.unit,
          })),
        ),
    },
  );
}

function ratingsOf({ staffs }: RunGauges): readonly { readonly staff: StaffReport; readonly rating: StaffRating }[] {
  return staffs.flatMap((staff) => staff.gauges.map((rating) => ({ staff, rating })));
}
