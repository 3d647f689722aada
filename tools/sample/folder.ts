import { stringify } from 'csv-stringify/sync';
import type { Published } from './gaugeFiles.js';
import { publishGauges } from './gaugeFiles.js';
import { officeForecasts } from './forecasts.js';
import { clubLogger } from './clubLogger.js';
import { derivedGauge } from './derivedGauge.js';
import { CLASSES, CREEK_NAME, DERIVED_GAUGE, GAUGES, RUNS, STAFF, WAVE_SPEED_KM_H } from './place.js';
import { ZONE } from './clock.js';
import type { Truth } from './truth.js';
import { laterClasses, makeTruth } from './truth.js';
import type { SampleVisit } from './visits.js';
import { makeVisits } from './visits.js';
import type { World } from './world.js';
import { makeWorld } from './world.js';

/** The seed of the committed sample. */
export const SAMPLE_SEED = 7;

export interface Sample {
  readonly world: World;
  readonly visits: readonly SampleVisit[];
  readonly records: readonly Published[];
  readonly truth: Truth;
  /** Text of every generated file by its path in the folder. */
  readonly files: ReadonlyMap<string, string>;
}

function creekJson(logger: Readonly<Record<string, unknown>>): string {
  const runs = RUNS.map((run) => ({
    id: run.id,
    name: run.name,
    classes: CLASSES,
    catchmentAreaKm2: run.catchmentAreaKm2,
    features: [
      ...run.features.map(({ id, name, kmFromPutIn, classes, looks }) => ({ id, name, kmFromPutIn, classes, looks })),
      ...(run.id === 'lower'
        ? [{ id: STAFF.id, name: STAFF.name, kmFromPutIn: STAFF.kmFromPutIn, unit: STAFF.unit }]
        : []),
    ],
    ...(run.verdictFrom === undefined
      ? {}
      : {
          verdictFrom: {
            feature: run.verdictFrom,
            classes: Object.fromEntries(
              run.features.find((f) => f.id === run.verdictFrom)!.classes.map((word, k) => [word, CLASSES[k]!]),
            ),
          },
        }),
  }));
  const creek = {
    schema: 1,
    name: CREEK_NAME,
    timeZone: ZONE,
    waveSpeedKmH: WAVE_SPEED_KM_H,
    lagHours: { min: -12, max: 24 },
    storageHours: { min: -24, max: 24 },
    runs,
    gauges: GAUGES,
    derivedGauges: [DERIVED_GAUGE],
    loggers: [logger],
  };
  return JSON.stringify(creek, null, 2) + '\n';
}

/** A slip of the pen in one cell of who wrote first for the party: which row gets it (the first that fits, from `skip` on), and what is written there. */
interface Slip {
  readonly skip: number;
  readonly fits: (row: Record<string, string>) => boolean;
  readonly write: Readonly<Record<string, string>> | ((row: Record<string, string>) => Record<string, string>);
}

const SLIPS: readonly Slip[] = [
  { skip: 60, fits: (r) => r['saw'] === 'streaked', write: { saw: 'straeked' } },
  { skip: 130, fits: (r) => r['feature'] === 'root', write: { feature: 'rot' } },
  {
    skip: 250,
    fits: (r) => r['feature'] === 'pier' && r['give_or_take_min'] === '',
    write: (r) => ({ when: `${r['when']!.slice(0, 11)}25${r['when']!.slice(13)}` }),
  },
];

function visitsCsv(visits: readonly SampleVisit[]): string {
  const rows = visits.flatMap((visit) =>
    visit.rows.map((row): Record<string, string> => ({
      visit: visit.id,
      when: row.when,
      give_or_take_min: row.giveOrTakeMin === undefined ? '' : String(row.giveOrTakeMin),
      run: visit.run,
      feature: row.feature,
      saw: row.saw,
      observer: row.observer,
      note: row.note,
    })),
  );
  const second = visits.flatMap((visit) => visit.rows.map((row) => row.observer !== visit.observer));
  const byTheWriter = rows.filter((_, i) => !second[i]);
  for (const { skip, fits, write } of SLIPS) {
    const row = byTheWriter.find((r, i) => i >= skip && fits(r))!;
    Object.assign(row, typeof write === 'function' ? write(row) : write);
  }
  const columns = ['visit', 'when', 'give_or_take_min', 'run', 'feature', 'saw', 'observer', 'note'];
  return stringify(rows, { header: true, columns });
}

/** The whole sample folder as text, from one seed: the same seed gives the same bytes. */
export function makeSample(seed: number = SAMPLE_SEED): Sample {
  const world = makeWorld(seed);
  const visits = makeVisits(world, seed);
  const records = publishGauges(world, { seed, visits });
  const logger = clubLogger(world, { seed });
  const truth = makeTruth({ world, records: [...records, derivedGauge(records)], seed });
  const files = new Map<string, string>();
  files.set('creek.json', creekJson(logger.entry));
  files.set('visits.csv', visitsCsv(visits));
  for (const record of records) for (const { name, text } of record.files) files.set(name, text);
  files.set(logger.file.name, logger.file.text);
  files.set(
    GAUGES[1].forecast,
    officeForecasts(
      records.find(({ id }) => id === 'flashy')!,
      { seed },
    ),
  );
  files.set('truth.json', JSON.stringify(truth, null, 1) + '\n');
  for (const run of RUNS) files.set(run.id === 'lower' ? 'later.csv' : `later-${run.id}.csv`, laterClasses(world, run));
  return { world, visits, records, truth, files };
}
