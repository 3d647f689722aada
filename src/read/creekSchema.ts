import { z } from 'zod';
import type { Creek } from '../series/creek.js';
import { DISCHARGE_UNITS, STAGE_UNITS } from '../series/units.js';
import { checkGauge, checkRun, checkWhole, type CreekProblem } from './checkCreek.js';
import { checkTripLog } from './checkTripLog.js';
import { didYouMean } from './nearestWord.js';

/** An object that takes no other keys; a stray one is named together with the known key it most resembles. */
function strict<S extends z.ZodRawShape>(shape: S) {
  return z.strictObject(shape, {
    error: (issue) => {
      if (issue.code !== 'unrecognized_keys') return undefined;
      return issue.keys.map((key) => didYouMean(key, Object.keys(shape)) ?? '').join('\n');
    },
  });
}

/**
 * A check over several fields of an object. It runs although single fields complain, as long as every field has its type: one pass shows
 * all.
 */
function checked<S extends z.ZodType>(
  schema: S,
  check: (value: z.output<S>, report: (problem: CreekProblem) => void) => void,
) {
  return schema.superRefine(
    (value, context) => check(value, (problem) => context.addIssue({ code: 'custom', ...problem })),
    {
      when: ({ issues }) =>
        issues.every(
          (issue) => !['invalid_type', 'invalid_value', 'invalid_union', 'invalid_key'].includes(issue.code!),
        ),
    },
  );
}

const id = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$/, 'letters, digits, . _ - (at most 64, a letter or digit first)')
  .describe('Short name used in visits.csv and in file names: letters, digits, . _ - (at most 64).');

const name = z.string().trim().min(1, 'at least one letter').max(200, 'at most 200 letters');

const classes = z
  .array(z.string().trim().min(1, 'a word').max(60, 'at most 60 letters'))
  .min(2, 'at least two classes, lowest first')
  .max(15, 'at most 15 classes');

const positive = z.number().positive('a number above 0');

const hoursRange = strict({
  min: z.number().min(-240, 'at least -240').max(240, 'at most 240').describe('Lower bound, hours.'),
  max: z.number().min(-240, 'at least -240').max(240, 'at most 240').describe('Upper bound, hours.'),
});

const zone = z
  .string()
  .min(1)
  .describe('IANA time zone, for example Europe/London; a fixed one such as UTC or Etc/GMT+5 works too.');

const feature = strict({
  id: id.describe("Short name used in visits.csv. 'verdict' is taken."),
  name: name.describe('The name people know.'),
  kmFromPutIn: z.number().min(0).max(1000).optional().describe('Distance downstream from the put-in, km.'),
  looks: z
    .record(z.string(), z.string().max(1000))
    .optional()
    .describe('What it looks like, per class; keys are class words.'),
  classes: classes.optional().describe('Ordered words for what is seen there, lowest first. Either these or a unit.'),
  unit: z
    .string()
    .trim()
    .min(1)
    .max(40)
    .optional()
    .describe('Unit of a feature that is read as a number, such as a painted staff in cm.'),
});

const verdictFrom = z
  .union([
    strict({
      feature: id.describe('Id of a feature of this run that has classes.'),
      classes: z
        .record(z.string(), z.string())
        .describe("Every class of the feature -> a class of the run, never descending along the feature's order."),
    }),
    strict({
      feature: id.describe('Id of a feature of this run that has a unit.'),
      edges: z
        .array(z.number())
        .min(1)
        .describe("Readings between neighbouring classes of the run, ascending, one fewer than the run's classes."),
    }),
  ])
  .describe("For a run that nobody gives verdicts: how a feature's sightings translate into the run's classes.");

const run = checked(
  strict({
    id: id.describe('Short name used in visits.csv.'),
    name: name.describe('The name people know.'),
    classes: classes.describe(
      'Classes of the verdict on the whole run, lowest first, for example too low, low, good, high, too high.',
    ),
    catchmentAreaKm2: positive.optional().describe('Catchment area above the run, km².'),
    features: z.array(feature).max(100).describe('Things on or beside the run that show the level.'),
    verdictFrom: verdictFrom.optional(),
  }),
  checkRun,
);

const path = z
  .string()
  .min(1)
  .max(300)
  .describe(
    'Path below the creek folder, with / between the parts, for example gauges/lower.rdb. It never leaves the folder.',
  );

const columns = strict({
  time: z.string().min(1).optional().describe('Column of the time. Or date and clock in its place.'),
  date: z
    .string()
    .min(1)
    .optional()
    .describe('Column of the date, where time is split in two; alone for daily values.'),
  clock: z.string().min(1).optional().describe('Column of the time of day, where time is split in two.'),
  value: z.string().min(1).describe('Column of the reading.'),
  quality: z.string().min(1).optional().describe('Column of the quality code.'),
}).describe('Column names as in the header row.');

/** How a text table is written: of gauges in format delimited, and of spreadsheets of visits. */
const layoutFields = {
  missing: z.array(z.string()).optional().describe('Cell texts that mean "no value", besides the empty cell.'),
  delimiter: z.string().length(1, 'one character').optional().describe('Character between cells; default a comma.'),
  decimalMark: z.enum(['.', ',']).optional().describe('Default a point.'),
  encoding: z.enum(['utf-8', 'latin1']).optional().describe('Default utf-8.'),
  skipLines: z.int().min(0).max(10_000).optional().describe('Lines before the header row; default 0.'),
  datePattern: z
    .string()
    .optional()
    .describe('`iso` (default), or yyyy (or yy) MM dd HH mm ss with separators, for example dd/MM/yyyy HH:mm:ss.'),
};

/** Fields of a gauge; a logger has the same and says where it stood. */
const gaugeFields = {
  id: id.describe('Short name of the gauge.'),
  name: name.describe('The name people know.'),
  parameter: z.enum(['discharge', 'stage']).describe('What the gauge reads.'),
  unit: z
    .enum([...DISCHARGE_UNITS, ...STAGE_UNITS])
    .describe(
      "Unit of the readings in the files. Readings are never scaled in silence: it must be the file's own unit.",
    ),
  files: z.array(path).min(1, 'at least one file').max(100).describe('The files as downloaded.'),
  format: z.enum(['rdb', 'waterml2', 'waterml1', 'delimited']).describe('Format of the files.'),
  zeroFlowStage: z.number().optional().describe("Stage at which flow ceases, in the gauge's unit. Stage gauges only."),
  catchmentAreaKm2: positive.optional().describe('Catchment area above the gauge, km².'),
  distanceKm: z.number().min(0).optional().describe('Distance from the run, km.'),
  timeZone: zone
    .optional()
    .describe(
      "IANA zone of times without an offset in the files; default: the creek's. A fixed zone such as UTC or Etc/GMT+5 works.",
    ),
  series: strict({
    site: z.string().min(1).optional().describe('Site number.'),
    parameterCode: z.string().min(1).optional().describe('Parameter code.'),
    statisticCode: z.string().min(1).optional().describe('Statistic code.'),
    column: z.string().min(1).optional().describe('Column name or series key.'),
  })
    .optional()
    .describe('Which series of a file that holds several.'),
  maxGapHours: positive
    .max(240)
    .optional()
    .describe(
      'Widest gap bridged, hours. Default: 3 × the usual step, at least 2, at most 6; for daily values 3 × the step.',
    ),
  approval: strict({
    approved: z.array(z.string().min(1)).optional().describe('Codes of readings that are final.'),
    provisional: z.array(z.string().min(1)).optional().describe('Codes of readings that may still be changed.'),
  })
    .optional()
    .describe('What the quality codes say of approval, where the format does not say it itself.'),
  datumChanges: z
    .array(z.string().min(1).max(40))
    .max(100)
    .optional()
    .describe("Times (or dates) at which the gauge's datum or place changed. Nothing is interpolated across one."),
  refuse: z.array(z.string().min(1)).optional().describe('Quality codes whose readings are not used.'),
  columns: columns.optional(),
  ...layoutFields,
  stopAt: z
    .string()
    .min(1)
    .optional()
    .describe('Rows from one that begins with this text on are not data. Format delimited only.'),
};

const reach = strict({
  lies: z.enum(['upstream', 'downstream']).describe('Where the gauge lies, seen from the run along the water.'),
  lengthKm: positive
    .max(5000, 'at most 5000')
    .describe('Length along the water between the gauge and the put-in of the lowest run, km.'),
  slope: positive.max(1, 'at most 1').optional().describe('Mean slope of the channel in between, m/m.'),
  meanFlow: positive
    .optional()
    .describe("Mean discharge of a year at the gauge, in the gauge's unit. Discharge gauges only."),
}).describe(
  'How the gauge lies to the run along the water, for a look at travel times; leave it out where its water ' +
    'never passes the run. One is enough: to the put-in of the lowest run.',
);

const fetching = strict({
  address: z
    .string()
    .min(1)
    .max(2000)
    .describe(
      'Address with {from} and {to}; https, or http on this machine. {env:NAME} stands for a variable of the environment.',
    ),
  times: z
    .enum(['time', 'day', 'seconds'])
    .optional()
    .describe(
      'How {from} and {to} are written: time (2031-05-04T10:00:00Z, default), day (2031-05-04), seconds since 1970.',
    ),
  header: strict({
    name: z
      .string()
      .regex(/^[\w-]+$/, 'the name of a header')
      .describe('Its name.'),
    value: z.string().max(1000).describe('Its value.'),
  })
    .optional()
    .describe('One header to send, for example a key: {env:NAME} keeps it out of the folder.'),
  file: path.describe('One of files: what was fetched is kept there, and replaced by the next fetch.'),
}).describe('A service that answers with readings in the format of the files. Nothing is fetched unless asked.');

const forecast = path.describe(
  'Official forecasts, the present one and past ones: a table with columns issued, time, value. Only `now` reads it.',
);

const gauge = checked(
  strict({ ...gaugeFields, fetch: fetching.optional(), forecast: forecast.optional(), reach: reach.optional() }),
  checkGauge,
);

const logger = checked(
  strict({
    ...gaugeFields,
    id: id.describe('Short name of the logger.'),
    parameter: z.literal('stage').describe('A logger at the creek reads levels.'),
    run: id.describe('Id of the run that it stood at.'),
    kmFromPutIn: z.number().min(0).max(1000).optional().describe('Where it stood, km downstream from the put-in.'),
  }),
  checkGauge,
);

const derivedGauge = strict({
  id: id.describe('Short name of the derived gauge.'),
  name: name.describe('The name people know.'),
  kind: z
    .enum(['sum', 'difference', 'area-scaled'])
    .describe('All added; or the first minus the rest; or one, scaled by catchment area.'),
  of: z.array(id).min(1).describe('Ids of discharge gauges.'),
  travelHours: z
    .array(z.number().min(-240).max(240))
    .optional()
    .describe('Travel time from each gauge of `of` to the first, hours; default 0.'),
  catchmentAreaKm2: positive.optional().describe('Area scaled to, km². area-scaled only.'),
});

const cell = z.string().min(1).max(200);

const tripLog = checked(
  strict({
    file: path,
    columns: strict({
      time: cell.optional().describe('Column of date and time of day. Or date and clock in its place.'),
      date: cell.optional().describe('Column of the date.'),
      clock: cell.optional().describe('Column of the time of day, or of a word for a part of the day.'),
      giveOrTakeMin: cell.optional().describe('Column of the uncertainty of the time, minutes.'),
      visit: cell.optional().describe("Column of the visit's name."),
      run: cell.optional().describe('Column of the run. Or run beside columns.'),
      feature: cell.optional().describe('Column of the feature, where a row is a sighting.'),
      saw: cell.optional().describe('Column of what was seen there.'),
      observer: cell.optional().describe('Column of the person.'),
      note: cell.optional().describe('Column of remarks.'),
    }).describe('Column names as in the header row.'),
    features: z
      .record(cell, id)
      .optional()
      .describe("Where a row is a visit: column name -> feature id, or 'verdict' for the whole run."),
    run: id.optional().describe('Run of all rows, where no column says it.'),
    ...layoutFields,
  }),
  checkTripLog,
);

const spellings = z.record(z.string().trim().min(1).max(60), z.array(z.string().min(1).max(60)));

/**
 * creek.json: what the creek, its runs, features and gauges are. Shapes are checked by the schema, everything that needs two places of the
 * file at once (unique ids, names that must exist, orders) by the checks of checkCreek.ts, and all problems are reported together.
 */
export const creekSchema = checked(
  strict({
    $schema: z.string().optional().describe('Address of this schema, for editors.'),
    schema: z.literal(1).describe('Version of this file format.'),
    name: name.describe('The name of the creek.'),
    timeZone: zone.describe('IANA zone of the times in visits.csv that carry no offset, for example Europe/London.'),
    runs: z.array(run).min(1, 'at least one run').max(50).describe('Stretches that are paddled in one go.'),
    gauges: z.array(gauge).min(1, 'at least one gauge').max(50).describe('Official gauges nearby.'),
    derivedGauges: z.array(derivedGauge).max(50).optional().describe('Gauges computed from others.'),
    loggers: z.array(logger).max(50).optional().describe("A club's own level loggers, for some weeks at the creek."),
    tripLogs: z
      .array(tripLog)
      .max(50)
      .optional()
      .describe('Spreadsheets of visits beside visits.csv, read as they are.'),
    people: spellings.optional().describe('Name of a person -> other spellings of it in the logs.'),
    words: spellings.optional().describe('A class, or the id of a run or feature -> other words for it in the logs.'),
    partsOfDay: z
      .record(z.string().max(60), z.string().regex(/^\d\d:\d\d-\d\d:\d\d$/, 'a window such as 08:00-12:00'))
      .optional()
      .describe(
        'Word for a part of the day -> its window, such as 17:00-21:00; the empty word stands for no time of day.',
      ),
    lagHours: hoursRange
      .optional()
      .describe('Bounds of the lag searched, hours; positive: the gauge leads. Default -24 to 48.'),
    storageHours: hoursRange.optional().describe('Bounds of the storage searched, hours. Default -24 to 48.'),
    waveSpeedKmH: positive
      .max(100)
      .optional()
      .describe('Speed at which a rise travels along the run, km/h. Default 6 (common practice).'),
  }),
  checkWhole,
)
  .transform((written): Creek => {
    const creek = { ...written };
    delete creek.$schema;
    return creek;
  })
  .describe('A creek folder: the ungauged water, its runs and features, and the official gauges nearby.');
