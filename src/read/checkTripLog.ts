import type { Creek, TripLog } from '../series/creek.js';
import { VERDICT } from '../series/visits.js';
import { checkDatePattern, checkDelimiter, checkPath, sayer, type CreekProblem, type Say } from './checkCreek.js';
import { didYouMean } from './nearestWord.js';

/** What only a whole mapping of a spreadsheet can show: that it has a time, what was seen, and a way to be cut. */
export function checkTripLog(log: TripLog, report: (problem: CreekProblem) => void): void {
  const say = sayer(report);
  const { columns, features } = log;
  checkPath(log.file, ['file'], report);
  if ((columns.time === undefined) === (columns.date === undefined))
    say(['columns'], 'either time, or date with or without clock', columns.time === undefined ? 'neither' : 'both');
  if (columns.clock !== undefined && columns.date === undefined)
    say(['columns'], 'a date beside the clock', 'clock alone');
  const long = columns.feature !== undefined && columns.saw !== undefined;
  if (long === (features !== undefined))
    say(
      [],
      'either features (a row is a visit) or columns.feature and columns.saw (a row is a sighting)',
      long ? 'both' : 'neither',
    );
  if ((columns.run === undefined) === (log.run === undefined))
    say([], 'either run or columns.run', log.run === undefined ? 'neither' : 'both');
  checkDelimiter(log, say);
  checkDatePattern(log.datePattern, say);
}

/** Names in a mapping that the creek must have. */
export function checkTripLogNames(creek: Creek, say: Say): void {
  const runs = creek.runs.map(({ id }) => id);
  creek.tripLogs?.forEach((log, i) => {
    if (log.run !== undefined && !runs.includes(log.run))
      say(['tripLogs', i, 'run'], `a run (${runs.join(', ')})`, `'${log.run}'`, didYouMean(log.run, runs));
    const own = creek.runs.filter(({ id }) => log.run === undefined || id === log.run);
    const ids = [VERDICT, ...own.flatMap((run) => run.features.map(({ id }) => id))];
    for (const [column, feature] of Object.entries(log.features ?? {}))
      if (!ids.includes(feature))
        say(
          ['tripLogs', i, 'features', column],
          `a feature (${ids.join(', ')})`,
          `'${feature}'`,
          didYouMean(feature, ids),
        );
  });
}
