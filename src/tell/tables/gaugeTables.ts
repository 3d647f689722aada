import type {
  CreekGauges,
  LoggerGauge,
  LoggerReport,
  RunGauges,
  StaffRating,
  StaffReport,
} from '../../chart/gauges/types.js';
import type { Estimate } from '../../chart/types.js';
import type { GaugeRanking, RankedGauge } from '../../judge/gauges/types.js';
import { measured, number, table, text, truth } from '../table.js';

/** What a table of gauges is made from: a whole creek, or one run. */
export type Gauged = CreekGauges | RunGauges;

interface In {
  readonly in: RunGauges;
}

const KEY = { run: text('run', 'Id of the run.', (row: In) => row.in.id, { tidyOnly: true }) } as const;

function rowsOf<T extends object>(gauged: Gauged, of: (run: RunGauges) => readonly T[]): readonly (T & In)[] {
  const runs = 'kind' in gauged ? gauged.runs : [gauged];
  return runs.flatMap((run) => of(run).map((row) => ({ ...row, in: run })));
}

function timesOf(gauged: Gauged): { readonly timeZone?: string } {
  return 'kind' in gauged ? { timeZone: gauged.creek.timeZone } : {};
}

type Ranked = RankedGauge & { readonly list: string; readonly chosen: boolean };

function rankedRows({ warning, confirming, choice }: GaugeRanking): readonly Ranked[] {
  const listed = (list: string) => (gauge: RankedGauge) => ({ ...gauge, list, chosen: gauge.id === choice.id });
  return [...warning.map(listed('before going')), ...confirming.map(listed('afterwards'))];
}

const CANDIDATE = {
  name: text('gauge', 'Its name.', ({ name }: Ranked) => name),
  list: text('read', 'before going; afterwards: the creek leads it, so it only confirms.', ({ list }: Ranked) => list),
  rank: number('count', ['rank', 'Within its list, from 1.'], ({ rank }: Ranked) => rank, { tidyOnly: true }),
  candidate: text('id', 'Id of the candidate.', ({ id }: Ranked) => id, { tidyOnly: true }),
  kind: text('kind', 'single, derived or combined.', ({ kind }: Ranked) => kind, { tidyOnly: true }),
  chosen: truth('chosen', 'Whether it is the one to read.', ({ chosen }: Ranked) => chosen, { tidyOnly: true }),
  gauges: number('count', ['gauges', 'Official gauges to look at.'], (row: Ranked) => row.gauges, { tidyOnly: true }),
  skill: measured(
    'share',
    ['guesswork less', 'Skill on the floods that all share.'],
    (row: Ranked) => row.skill.againstFrequencies,
  ),
  rps: number('number', ['score', 'Ranked probability score; lower is better.'], (row: Ranked) => row.rps, {
    tidyOnly: true,
  }),
  gain: measured('share', ['gain', 'In skill over the best plain single gauge.'], ({ gain }: Ranked) => gain),
  best: number('odds', ['best', 'Probability of being the best of its list.'], ({ best }: Ranked) => best),
  creekLeads: number('odds', ['creek leads', 'Probability that its lag is below 0.'], (row: Ranked) => row.creekLeads, {
    tidyOnly: true,
  }),
  lagHours: number('hours', ['lag', 'Hours; positive: the gauge leads.'], ({ lagHours }: Ranked) => lagHours),
  storageHours: number(
    'hours',
    ['storage', 'Hours over which the creek smooths it.'],
    (row: Ranked) => row.storageHours,
    {
      tidyOnly: true,
    },
  ),
  undependable: number(
    'share',
    ['undependable', 'Share of the verdicts in floods whose weights are not dependable.'],
    (row: Ranked) => row.undependableShare,
    { tidyOnly: true },
  ),
  reason: text('why', 'What its rank rests on.', ({ reason }: Ranked) => reason, { tidyOnly: true }),
} as const;

/** Every candidate of every run: those to be read before going, best first, then those that only confirm. */
export function candidatesTable(gauged: Gauged) {
  const rows = rowsOf(gauged, ({ ranking }) => (ranking === null ? [] : rankedRows(ranking)));
  return table('candidates', 'Gauges, best first', rows)({ ...KEY, ...CANDIDATE });
}

/** The candidates of one ranking. */
export function rankingTable(ranking: GaugeRanking) {
  return table('candidates', 'Gauges, best first', rankedRows(ranking))(CANDIDATE);
}

/** Candidates that take no part. */
export function asideTable(gauged: Gauged) {
  const rows = rowsOf(gauged, ({ ranking }) => ranking?.aside ?? []);
  return table(
    'aside',
    'Gauges that stand aside',
    rows,
  )({
    ...KEY,
    candidate: text('id', 'Id of the candidate.', ({ id }) => id, { tidyOnly: true }),
    name: text('gauge', 'Its name.', ({ name }) => name),
    reason: text('why', 'Why it takes no part.', ({ reason }) => reason),
  });
}

/** How often one candidate scores better than another, over floods drawn anew. */
export function beatsTable(gauged: Gauged) {
  const rows = rowsOf(gauged, ({ ranking }) =>
    (ranking?.warning ?? []).flatMap((a, i) =>
      ranking!.warning.flatMap((b, j) => (i === j ? [] : [{ a, b, p: ranking!.beats[i]![j]! }])),
    ),
  );
  return table(
    'beats',
    'How often one scores better than another',
    rows,
  )({
    ...KEY,
    first: text('gauge', 'Id of one candidate.', ({ a }) => a.id),
    second: text('than', 'Id of the other.', ({ b }) => b.id),
    probability: number('odds', ['better', 'Probability that the first scores better.'], ({ p }) => p),
  });
}

interface Pair {
  readonly logger: LoggerReport;
  readonly by: LoggerGauge;
}

const LOGGER_KEY = {
  ...KEY,
  logger: text('logger', 'Id of the logger.', ({ logger }: Pair) => logger.id, { tidyOnly: true }),
  gauge: text('gauge', 'Id of the gauge.', ({ by }: Pair) => by.gauge, { tidyOnly: true }),
} as const;

function pairsOf({ loggers }: RunGauges): readonly Pair[] {
  return loggers.flatMap((logger) => logger.gauges.map((by) => ({ logger, by })));
}

/** Every logger by every gauge, one row a pair. */
export function loggersTable(gauged: Gauged) {
  return table(
    'loggers',
    'Loggers',
    rowsOf(gauged, pairsOf),
    timesOf(gauged),
  )({
    ...LOGGER_KEY,
    name: text('logger', 'Its name.', ({ logger }) => logger.name, { tidyOnly: true }),
    gaugeName: text('by', 'Name of the gauge.', ({ by }) => by.gaugeName),
    unit: text('unit', 'Unit of its levels.', ({ logger }) => logger.unit, { tidyOnly: true }),
    km: number('number', ['km from the put-in', 'Where it stood.'], ({ logger }) => logger.kmFromPutIn, {
      tidyOnly: true,
    }),
    from: number('day', ['from', 'First level.'], ({ logger }) => logger.fromMs, { tidyOnly: true }),
    to: number('day', ['to', 'Last level.'], ({ logger }) => logger.toMs, { tidyOnly: true }),
    status: text('status', 'converged, or why there is no fit.', ({ by }) => by.status, { tidyOnly: true }),
    lagHours: measured('hours', ['lag, h', 'Hours; positive: the gauge leads.'], ({ by }) => by.lag),
    storageHours: measured(
      'hours',
      ['storage, h', 'Hours over which the creek smooths the gauge.'],
      ({ by }) => by.storage,
    ),
    form: text('form', 'power or line.', ({ by }) => by.form, { tidyOnly: true }),
    explained: number('share', ['explained', 'Share of the variance of its levels.'], ({ by }) => by.explained),
    residualSd: number('number', ['within (sd)', 'Spread of its levels around the curve.'], ({ by }) => by.residualSd, {
      unit: ({ logger }) => logger.unit,
    }),
    floods: number('count', ['floods', 'Floods in its weeks.'], ({ by }) => by.floods),
    rows: number('count', ['rows', 'Hours compared.'], ({ by }) => by.rows, { tidyOnly: true }),
    effectiveRows: number('count', ['worth', 'Independent hours of as much weight.'], (r) => r.by.effectiveRows, {
      tidyOnly: true,
    }),
    doubt: text('doubt', "Why it has no say in the visits' lag; empty where it may.", ({ by }) => by.doubt, {
      tidyOnly: true,
    }),
    sentence: text('in words', 'The same in words.', ({ by }) => by.sentence, { tidyOnly: true }),
  });
}

/** Lag and storage as the logger has them, as the visits have them, and from both. */
export function loggerEstimatesTable(gauged: Gauged) {
  const rows = rowsOf(gauged, (run) =>
    pairsOf(run).flatMap((pair) => {
      const { lag, storage, withVisits } = pair.by;
      const found: readonly (readonly [string, string, Estimate | null | undefined])[] = [
        ['lag', 'logger', lag],
        ['lag', 'visits', withVisits?.lagAlone],
        ['lag', 'both', withVisits?.lagWith],
        ['storage', 'logger', storage],
        ['storage', 'visits', withVisits?.storageAlone],
        ['storage', 'both', withVisits?.storageWith],
      ];
      return found.flatMap(([what, from, estimate]) =>
        estimate === null || estimate === undefined ? [] : [{ ...pair, what, from, estimate }],
      );
    }),
  );
  return table(
    'logger estimates',
    'Lag and storage with and without the logger',
    rows,
  )({
    ...LOGGER_KEY,
    by: text('by', 'Name of the gauge.', ({ by }) => by.gaugeName),
    quantity: text('of', 'lag or storage.', ({ what }) => what),
    from: text('from', 'logger: its levels alone; visits: the visits alone; both.', ({ from }) => from),
    hours: measured('hours', ['hours', 'The estimate.'], ({ estimate }) => estimate, {
      i95: ({ estimate }) => estimate.i95,
    }),
  });
}

/** What the distance and the flow say of each lag. */
export function lagsTable(gauged: Gauged) {
  return table(
    'lags',
    'The lag in depth',
    rowsOf(gauged, ({ lags }) => lags),
  )({
    ...KEY,
    gauge: text('gauge', 'Id of the gauge.', ({ gauge }) => gauge, { tidyOnly: true }),
    gaugeName: text('gauge', 'Its name.', ({ gaugeName }) => gaugeName),
    lengthKm: number('number', ['km', 'Along the water.'], ({ travel }) => travel?.lengthKm ?? null),
    lies: text('lies', 'Seen from the run.', ({ travel }) => travel?.lies ?? null),
    tracer: measured('hours', ['tracer, h', 'Travel time of the water itself.'], ({ travel }) =>
      travel === null ? null : { value: null, i80: travel.tracerHours },
    ),
    wave: measured('hours', ['wave, h', 'Travel time of a flood wave.'], ({ travel }) =>
      travel === null ? null : { value: null, i80: travel.waveHours },
    ),
    lagGoes: truth('lag goes', 'Whether the lag found goes with that.', ({ travel }) => travel?.lagGoes ?? null),
    flowAt: number('gauge', ['at', 'Flow that the next lag is for.'], ({ flow }) => flow?.flowAt ?? null, {
      unit: ({ flow }) => flow?.unit ?? '',
    }),
    lagHours: measured('hours', ['lag, h', 'Lag at that flow.'], ({ flow }) => flow?.lag ?? null),
    exponent: measured(
      'number',
      ['exponent', 'Below 0: the lag shortens as the flow grows.'],
      ({ flow }) => flow?.exponent ?? null,
    ),
    logBayesFactor: number(
      'number',
      ['evidence', 'ln Bayes factor for a lag that depends on the flow.'],
      (r) => r.flow?.logBayesFactor ?? null,
    ),
    kept: truth('depends on flow', 'Whether that is kept.', ({ flow }) => flow?.kept ?? null),
  });
}

/** What each staff read on visits with a verdict, one row a class. */
export function staffClassesTable(gauged: Gauged) {
  const rows = rowsOf(gauged, ({ staffs }) =>
    staffs.flatMap((staff) => staff.classes.map((of) => ({ staff, of }))).filter(({ of }) => of.readings.length > 0),
  );
  const unit = ({ staff }: { readonly staff: StaffReport }) => staff.unit;
  return table(
    'staff classes',
    'What the staff read',
    rows,
  )({
    ...KEY,
    staff: text('staff', 'Id of the staff.', ({ staff }) => staff.feature, { tidyOnly: true }),
    class: text('run was', 'Class of the run.', ({ of }) => of.word),
    readings: number('count', ['readings', 'Visits with a verdict and a reading.'], ({ of }) => of.readings.length),
    unit: text('unit', 'Unit of the staff.', unit, { tidyOnly: true }),
    lowest: number('number', ['lowest', 'Lowest reading.'], ({ of }) => Math.min(...of.readings), { unit }),
    median: number('number', ['median', 'Median reading.'], ({ of }) => of.median, { unit }),
    highest: number('number', ['highest', 'Highest reading.'], ({ of }) => Math.max(...of.readings), { unit }),
  });
}

interface Rated {
  readonly staff: StaffReport;
  readonly rating: StaffRating;
}

const STAFF_KEY = {
  ...KEY,
  staff: text('staff', 'Id of the staff.', ({ staff }: Rated) => staff.feature, { tidyOnly: true }),
  gauge: text('gauge', 'Id of the gauge.', ({ rating }: Rated) => rating.gauge, { tidyOnly: true }),
} as const;

const STAFF_UNITS = {
  gaugeUnit: text('gauge unit', 'Unit of the gauge values.', ({ rating }: Rated) => rating.unit, { tidyOnly: true }),
  unit: text('unit', 'Unit of the staff.', ({ staff }: Rated) => staff.unit, { tidyOnly: true }),
} as const;

function ratingsOf({ staffs }: RunGauges): readonly Rated[] {
  return staffs.flatMap((staff) => staff.gauges.map((rating) => ({ staff, rating })));
}

/** The form and the offset of each staff's rating. */
export function staffRatingsTable(gauged: Gauged) {
  return table(
    'staff ratings',
    'Ratings of staffs',
    rowsOf(gauged, ratingsOf),
  )({
    ...STAFF_KEY,
    gaugeName: text('by', 'Name of the gauge.', ({ rating }) => rating.gaugeName),
    form: text('form', 'power or line.', ({ rating }) => rating.form),
    breakAt: number(
      'gauge',
      ['break', 'Gauge value at which two power laws meet.'],
      ({ rating }) => rating.upper?.from ?? null,
      {
        unit: ({ rating }) => rating.unit,
      },
    ),
    upperExponent: measured(
      'number',
      ['exponent above', 'Above the break.'],
      ({ rating }) => rating.upper?.exponent ?? null,
    ),
    offset: measured('number', ['at no flow', 'What the staff reads at no flow.'], ({ rating }) => rating.offset, {
      unit: ({ staff }) => staff.unit,
    }),
    below95: number(
      'number',
      ['below, 95 %', '95 % sure: it lies below this.'],
      ({ rating }) => rating.offset?.below95 ?? null,
      {
        unit: ({ staff }) => staff.unit,
      },
    ),
    ...STAFF_UNITS,
    points: number('count', ['visits', 'Visits behind it.'], ({ rating }) => rating.points.length),
  });
}

/** Each staff's rating as a curve, one row a gauge value. */
export function staffCurveTable(gauged: Gauged) {
  const rows = rowsOf(gauged, (run) =>
    ratingsOf(run).flatMap((rated) => rated.rating.gaugeValues.map((value, v) => ({ ...rated, value, v }))),
  );
  return table(
    'staff curve',
    'Rating curve',
    rows,
  )({
    ...STAFF_KEY,
    gaugeValue: number('gauge', ['gauge', 'Effective reading.'], ({ value }) => value, {
      unit: ({ rating }) => rating.unit,
    }),
    reading: measured(
      'number',
      ['staff', 'What the staff reads there, with the 80 % band of the curve.'],
      ({ rating, v }) => ({ value: rating.median[v]!, i80: rating.curve80[v]! }),
      { unit: ({ staff }) => staff.unit },
    ),
    one: measured(
      'number',
      ['one reading', '80 % band of a single reading.'],
      ({ rating, v }) => ({ value: null, i80: rating.reading80[v]! }),
      { unit: ({ staff }) => staff.unit },
    ),
    ...STAFF_UNITS,
    seen: truth('seen', 'Whether visits have read the staff on both sides of this value.', ({ rating, value }) => {
      const met = rating.points.map(({ gaugeValue }) => gaugeValue);
      return value >= Math.min(...met) && value <= Math.max(...met);
    }),
  });
}
