import { fixed } from '../../series/format.js';
import { CAUTIONS } from '../../series/cautions.js';
import { wrapText } from '../text/wrapText.js';

/** The files of a new creek folder, by name relative to it. They read without a problem as they are. */
export function creekTemplate({ name, timeZone }: { name: string; timeZone: string }): ReadonlyMap<string, string> {
  const creek = {
    schema: 1,
    name,
    timeZone,
    runs: [
      {
        id: 'main',
        name: 'Main run',
        classes: ['too low', 'low', 'good', 'high', 'too high'],
        features: [
          {
            id: 'ledge',
            name: 'Ledge below the put-in',
            kmFromPutIn: 0.2,
            classes: ['bare', 'wet', 'covered'],
            looks: { bare: 'dry rock from bank to bank', wet: 'water over half of it', covered: 'no rock to be seen' },
          },
          { id: 'staff', name: 'Painted staff at the take-out', kmFromPutIn: 5, unit: 'cm' },
        ],
      },
    ],
    gauges: [
      {
        id: 'river',
        name: 'Larger river downstream',
        parameter: 'discharge',
        unit: 'm3/s',
        files: ['gauges/river.csv'],
        format: 'delimited',
        columns: { time: 'time', value: 'value' },
        timeZone: 'UTC',
      },
    ],
  };
  return new Map([
    ['creek.json', `${JSON.stringify(creek, null, 2)}\n`],
    ['visits.csv', VISITS],
    ['README.txt', README],
    ['gauges/river.csv', exampleReadings()],
    ['gauges/README.txt', GAUGES_README],
  ]);
}

const VISITS = `visit,when,give_or_take_min,run,feature,saw,observer,note
v1,2031-05-03T10:30,,main,ledge,covered,Ana,example: delete this row
v1,2031-05-03T12:15,,main,verdict,good,Ana,example: delete this row
v1,2031-05-03T12:20,,main,staff,64,Ana,example: delete this row
v2,2031-05-04T15:00,180,main,verdict,low,Bo,example: delete this row
`;

/** Three days, hourly, of one rise and its recession; invented. */
function exampleReadings(): string {
  const rows = Array.from({ length: 72 }, (_, hour) => {
    const time = new Date(Date.UTC(2031, 4, 2, hour)).toISOString().slice(0, 16);
    const sinceRain = Math.max(0, hour - 20);
    const flow = 4 + 18 * (sinceRain / 8) * Math.exp(1 - sinceRain / 8);
    return `${time}Z,${fixed(flow, 2)}`;
  });
  return `time,value\n${rows.join('\n')}\n`;
}

const README = `A CREEK FOLDER FOR SIGHTSTAGE
=============================
creek.json cannot hold comments, so they stand here. Everything in this folder is an example: replace it with your own,
and delete the example rows of visits.csv and the example file in gauges/.

   sightstage check .      lists every problem at once, with file, row and what to do
   sightstage chart .      makes the level chart

creek.json: what the creek is
-----------------------------
schema        always 1
name          the creek's name, as it shall stand on the chart
timeZone      where the creek is, as an IANA name: Europe/Vienna, America/Denver, Pacific/Auckland.
              Times in visits.csv without an offset are local times there.
runs          one entry a stretch that is paddled in one go
  id          a short word, used in the column "run" of visits.csv
  name        for people
  classes     your words for the level of the whole run, LOWEST FIRST; at least two
  features    the things that show the level: a ledge, a rock, a painted staff
    id, name  as above; the id is used in the column "feature"
    kmFromPutIn   where it stands along the run (optional)
    classes   its own words, LOWEST FIRST ...
    unit      ... or, in their place, the unit of its number (cm on a painted staff)
    looks     what each class looks like, for people who come new (optional)
  verdictFrom   for a run that nobody gives verdicts: how one feature's sightings translate into its classes (optional),
              { "feature": "ledge", "classes": { "bare": "too low", "wet": "low", "covered": "good" } }, or for a feature
              with numbers the readings between the run's classes, { "feature": "staff", "edges": [20, 35, 60, 90] }
gauges        one entry an official gauge
  id, name    as above
  parameter   discharge or stage
  unit        ft3/s, m3/s or L/s for discharge; ft, m or cm for stage
  files       its files in gauges/, one or more, as downloaded
  format      rdb, waterml2, waterml1, or delimited (any table of text)
  columns     for delimited: the header names of the time and the value
  delimiter   for delimited: what stands between the cells, "," (the default), ";" or "\\t" for tabs (optional)
  decimalMark   for delimited: "." (the default), or "," where the file writes 2,41 (optional)
  datePattern   for delimited: how the file writes its times, such as "dd.MM.yyyy HH:mm" (optional)
  timeZone    the zone of times without an offset in these files (often UTC or a fixed zone); default: the creek's
  distanceKm  how far away it is (optional)
  reach       { "lies": "downstream", "lengthKm": 17 }: which way and how far along the water it lies from the put-in
              of the lowest run (optional); leave it out where its water never passes the run
derivedGauges   discharges made from those of the gauges (optional), one entry each
  id, name    as above
  kind        sum of the gauges in "of"; difference, the first minus the rest: what a branch without a gauge brings;
              or area-scaled, one gauge scaled to this entry's catchmentAreaKm2
  of          the ids of its gauges; for a difference the gauge below the confluence FIRST
  travelHours   hours that the water takes from each of them to the first (optional)
loggers       your own level loggers, hung into the creek for some weeks (optional), one entry each
              fields as of a gauge, with "parameter": "stage", and "run": the run that it stood at; kmFromPutIn (optional)
Optional on top: lagHours and storageHours, each { "min": -24, "max": 48 }, bound what the fit looks through.

visits.csv: what was seen, one row a sighting
---------------------------------------------
visit             rows of one trip share it; leave it empty and the same run, observer and date are one visit
when              2031-05-03T12:15 is local time; 2031-05-03T12:15+02:00 and 2031-05-03T10:15Z carry their offset
give_or_take_min  how unsure the time is, in minutes: "some time in the afternoon" is 15:00 give or take 180
run               a run's id
feature           a feature's id, or "verdict" for the whole run, judged after paddling it or after deciding not to
saw               a class word, or a number where the feature has a unit
observer          who saw it; the same spelling every time
note              anything

Log the days you did NOT paddle too. Rows that say "too low" are what makes the lower edge of the chart sharp.

Before anyone goes to the water
-------------------------------
${CAUTIONS.flatMap((caution) => wrapText(caution, { width: 100, first: '- ' })).join('\n')}
`;

const GAUGES_README = `Put the records of the official gauges here as you downloaded them, and name them under "files" in creek.json.
river.csv is an invented example of the plainest format: a header row, a time with its offset, a value.
Download from well before your first visit to after your last one, in the finest time step on offer (15 min or 1 h).
Do not tidy the files by hand: flags such as ice or equipment trouble are read and kept out for you.
`;
