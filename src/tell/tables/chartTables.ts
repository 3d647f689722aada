import type { CreekChart, GaugeChart, LevelChart, RunChart } from '../../chart/types.js';
import type { CreekInput } from '../../read/types.js';
import { monthOf } from '../../series/format.js';
import { VERDICT } from '../../series/visits.js';
import { levelOf } from '../levelOf.js';
import { measured, number, table, text, truth } from '../table.js';

interface Of {
  readonly run: RunChart;
  readonly gauge: GaugeChart;
}

type OfLevel = Of & { readonly level: LevelChart };

const KEY = {
  run: text('run', 'Id of the run.', ({ run }: Of) => run.id, { tidyOnly: true }),
  gauge: text('gauge', 'Id of the gauge.', ({ gauge }: Of) => gauge.gauge.id, { tidyOnly: true }),
} as const;

const LEVEL_KEY = {
  ...KEY,
  reading: text('reading', 'How it is read: one-reading or effective.', ({ level }: OfLevel) => level.way, {
    tidyOnly: true,
  }),
  grade: text('grade', 'How far to trust the gauge.', ({ gauge }: OfLevel) => gauge.trust.grade, { tidyOnly: true }),
} as const;

const unit = ({ gauge }: Of): string => gauge.gauge.unit;
const UNIT = { unit: text('unit', 'Unit of the gauge values.', unit, { tidyOnly: true }) } as const;

/** Edges of the verdict and of every feature with classes. */
export function edgesTable(chart: CreekChart) {
  const rows = levelsOf(chart).flatMap((of) => of.level.edges.map((edge) => ({ ...of, edge })));
  return table(
    'edges',
    'Edges between classes',
    rows,
  )({
    ...LEVEL_KEY,
    feature: text('feature', 'Id of the feature, or verdict.', ({ edge }) => edge.feature),
    lower: text('below it', 'Class below the edge.', ({ edge }) => edge.between[0]),
    upper: text('above it', 'Class above the edge.', ({ edge }) => edge.between[1]),
    ...UNIT,
    median: measured('gauge', ['edge', 'Half of the days lie below it, half at or above.'], ({ edge }) => edge, {
      unit,
      i95: ({ edge }) => edge.i95,
    }),
    rounded: number('gauge', ['rounded', 'Rounded to the safer side.'], ({ edge }) => edge.rounded, {
      unit,
      digits: ({ edge }) => edge.digits,
    }),
    seenBothSides: truth('seen on both sides', 'No: an assumption, not an observation.', (r) => r.edge.seenBothSides),
  });
}

/** Odds of each class over gauge values; those of one gauge value sum to 1. */
export function oddsTable(chart: CreekChart) {
  const rows = levelsOf(chart).flatMap((of) =>
    of.level.odds.gaugeValues.flatMap((value, v) =>
      of.level.odds.classes.map((word, k) => ({ ...of, value, word, p: of.level.odds.probability[v]![k]! })),
    ),
  );
  return table(
    'odds',
    'Odds of each class',
    rows,
  )({
    ...LEVEL_KEY,
    ...UNIT,
    gaugeValue: number('gauge', ['reading', 'Gauge value.'], ({ value }) => value, { unit }),
    class: text('class', 'Class of the run.', ({ word }) => word),
    odds: number('odds', ['odds', 'Odds of the class at this gauge value.'], ({ p }) => p),
    seen: truth(
      'seen',
      'Whether visits have met readings on both sides of this value.',
      ({ value, level }) => value >= level.seen.from && value <= level.seen.to,
    ),
  });
}

/** Gauge values where a class has odds of at least 80 %. */
export function sureRangesTable(chart: CreekChart) {
  const rows = levelsOf(chart).flatMap((of) => of.level.sureRanges.map((range) => ({ ...of, range })));
  return table(
    'sure ranges',
    'Where a class has odds of at least 80 %',
    rows,
  )({
    ...LEVEL_KEY,
    class: text('class', 'Class of the run.', ({ range }) => range.class),
    ...UNIT,
    empty: truth('nowhere', 'Yes: no gauge value makes the class sure.', ({ range }) => range.empty),
    from: number('gauge', ['from', 'Lower end, unrounded.'], ({ range }) => range.from, { tidyOnly: true }),
    to: number('gauge', ['to', 'Upper end, unrounded.'], ({ range }) => range.to, { tidyOnly: true }),
    roundedFrom: number('gauge', ['from', 'Lower end, rounded inward.'], ({ range }) => range.roundedFrom, { unit }),
    roundedTo: number('gauge', ['to', 'Upper end, rounded inward.'], ({ range }) => range.roundedTo, { unit }),
    bestOdds: number('odds', ['best odds', 'Best odds anywhere among the values seen.'], (r) => r.range.bestOdds),
  });
}

/** Who sees more or less water than the others. */
export function observersTable(chart: CreekChart) {
  const rows = levelsOf(chart).flatMap((of) => of.level.observers.map((who) => ({ ...of, who })));
  return table(
    'observers',
    'Observers',
    rows,
  )({
    ...LEVEL_KEY,
    observer: text('observer', 'Name as in the log.', ({ who }) => who.observer),
    sightings: number('count', ['sightings', 'Sightings by this observer.'], ({ who }) => who.sightings),
    bias: measured(
      'ln',
      ['sees', 'In ln units of the reading; above 0: sees more water than the others.'],
      (r) => r.who,
      {
        i95: ({ who }) => who.i95,
      },
    ),
  });
}

/** The visits with the readings that the chart matched them with. */
export function visitsTable(chart: CreekChart) {
  const rows = gaugesOf(chart).flatMap((of) => of.gauge.visits.map((mark) => ({ ...of, mark })));
  return table(
    'visits',
    'Visits',
    rows,
    chart.creek,
  )({
    ...KEY,
    visit: text('visit', 'Id of the visit.', ({ mark }) => mark.visit),
    time: number('time', ['when', 'Time of the verdict.'], ({ mark }) => mark.timeMs),
    ...UNIT,
    reading: number('gauge', ['reading', "By the chart's instruction."], ({ mark }) => mark.reading, { unit }),
    onRecord: number('gauge', ['on the record', 'The record itself at the lag of the chart.'], (r) => r.mark.onRecord, {
      unit,
      tidyOnly: true,
    }),
    class: text('class', 'Verdict.', ({ run, mark }) => run.classes[mark.classIndex] ?? null),
    classIndex: number(
      'count',
      ['class index', 'From 0, lowest class first.'],
      ({ mark }) => (mark.classIndex < 0 ? null : mark.classIndex),
      { tidyOnly: true },
    ),
    observer: text('observer', 'Who gave the verdict.', ({ mark }) => mark.observer),
    flood: number('count', ['flood', 'Visits of one flood share its number.'], ({ mark }) => mark.flood),
    limb: text('limb', 'Rising, steady or falling water.', ({ mark }) => mark.limb),
  });
}

/** Joint probability of lag and storage; that of one run and gauge sums to 1. */
export function gridTable(chart: CreekChart) {
  const rows = gaugesOf(chart).flatMap((of) => {
    const { storagesHours, lagsHours, probability } = of.gauge.surface;
    return storagesHours.flatMap((storage, s) =>
      lagsHours.map((lag, l) => ({ ...of, storage, lag, p: probability[s]![l]! })),
    );
  });
  return table(
    'grid',
    'Lag and storage',
    rows,
  )({
    ...KEY,
    lagHours: number('hours', ['lag', 'Hours; positive: the gauge leads.'], ({ lag }) => lag),
    storageHours: number('hours', ['storage', 'Hours over which the creek smooths the gauge.'], (r) => r.storage),
    probability: number('odds', ['probability', 'Posterior probability of both.'], ({ p }) => p),
  });
}

/** Every usable row of visits.csv, before any gauge enters. */
export function sightingsTable({ creek, visits }: CreekInput) {
  const timeZone = creek?.timeZone ?? 'UTC';
  const classesOf = (runId: string, feature: string): readonly string[] => {
    const run = creek?.runs.find(({ id }) => id === runId);
    return (feature === VERDICT ? run?.classes : run?.features.find(({ id }) => id === feature)?.classes) ?? [];
  };
  const rows = visits.flatMap((visit) => visit.sightings.map((sighting) => ({ visit, ...sighting })));
  return table('sightings', 'Sightings', rows, { timeZone })({
    row: number('count', ['row', 'Line of visits.csv.'], (r) => r.row),
    visit: text('visit', 'Id of the visit.', ({ visit }) => visit.id),
    run: text('run', 'Id of the run.', ({ visit }) => visit.run),
    time: number('time', ['when', 'Time of the sighting.'], ({ timeMs }) => timeMs),
    month: number('count', ['month', "1 to 12, by the creek's own clock."], (r) => monthOf(r.timeMs, timeZone)),
    giveOrTakeMin: number(
      'count',
      ['give or take, min', 'Minutes by which the time may be off.'],
      (r) => r.giveOrTakeMin,
    ),
    feature: text('feature', 'Id of the feature, or verdict.', (r) => r.feature),
    class: text('saw', 'Class word.', (r) => classesOf(r.visit.run, r.feature)[r.classIndex] ?? null),
    classIndex: number(
      'count',
      ['class index', 'From 0, lowest first.'],
      (r) => (r.classIndex < 0 ? null : r.classIndex),
      {
        tidyOnly: true,
      },
    ),
    value: number('number', ['read', "Number, in the feature's unit."], ({ value }) =>
      Number.isFinite(value) ? value : null,
    ),
    observer: text('observer', 'Name as in the log.', (r) => r.observer),
  });
}

function gaugesOf(chart: CreekChart): readonly Of[] {
  return chart.runs.flatMap((run) => run.gauges.map((gauge) => ({ run, gauge })));
}

/** A gauge without a usable relation has no levels to show, whatever was fitted. */
function levelsOf(chart: CreekChart): readonly OfLevel[] {
  return gaugesOf(chart).flatMap(({ run, gauge }) => {
    const level = levelOf(gauge);
    return level === undefined ? [] : [{ run, gauge, level }];
  });
}
