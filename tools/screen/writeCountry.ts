import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { VERDICT } from '../../src/series/visits.js';
import type { Season } from '../simulateSeasons/seasonWorld.js';
import { countryGauge, countryLog } from './screenWorld.js';

/**
 * A country of invented runs and gauges as files, for `sightstage screen`: runs.csv with a log each, gauges.json with a record each. Every
 * `tellsEvery`-th run flows by a gauge.
 */
export function writeCountry(
  folder: string,
  {
    runs,
    gauges,
    visits = 60,
    tellsEvery = 2,
    season = 'monsoon',
    seed = 1,
  }: {
    runs: number;
    gauges: number;
    visits?: number;
    tellsEvery?: number;
    season?: Season;
    seed?: number;
  },
): void {
  mkdirSync(join(folder, 'logs'), { recursive: true });
  mkdirSync(join(folder, 'gauges'), { recursive: true });
  const records = Array.from({ length: gauges }, (_, g) => countryGauge(`gauge-${g + 1}`, { season, seed }));
  for (const { gauge, timesMs, values } of records) {
    const rows = Array.from(timesMs, (timeMs, i) => `${new Date(timeMs).toISOString()},${values[i]!.toFixed(3)}`);
    writeFileSync(join(folder, 'gauges', `${gauge}.csv`), `time,value\n${rows.join('\n')}\n`);
  }
  const entries = records.map(({ gauge }, g) => ({
    ...{ id: gauge, name: `Gauge ${g + 1}`, parameter: 'discharge', unit: 'm3/s', files: [`gauges/${gauge}.csv`] },
    ...{ format: 'delimited', columns: { time: 'time', value: 'value' }, latitude: 10 + g / 50, longitude: 20 },
  }));
  writeFileSync(join(folder, 'gauges.json'), JSON.stringify({ timeZone: 'UTC', gauges: entries }));
  const table = Array.from({ length: runs }, (_, r) => {
    const id = `run-${r + 1}`;
    const by = r % tellsEvery === 0 ? records[r % gauges] : undefined;
    const { classes, timesMs, classIndex } = countryLog(id, { season, seed, visits, ...(by !== undefined && { by }) });
    const rows = timesMs.map((timeMs, v) =>
      [`v${v + 1}`, new Date(timeMs).toISOString(), id, VERDICT, classes[classIndex[v]!], 'Ann'].join(','),
    );
    writeFileSync(join(folder, 'logs', `${id}.csv`), `visit,when,run,feature,saw,observer\n${rows.join('\n')}\n`);
    return `${id},Run ${r + 1},logs/${id}.csv,UTC,${classes.join('|')},${10 + (r % gauges) / 50},20.1`;
  });
  writeFileSync(join(folder, 'runs.csv'), `run,name,log,timeZone,classes,latitude,longitude\n${table.join('\n')}\n`);
}
