import { createHash } from 'node:crypto';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { deriveRecord } from './deriveRecord.js';
import { logIssues } from './logIssues.js';
import { noSightings } from './noSightings.js';
import { parseCreek } from './parseCreek.js';
import { readGauge } from './readGauge.js';
import { readingSlips } from './readingSlips.js';
import { logName, readLogs } from './readVisits.js';
import { spanIssues } from './spanIssues.js';
import type { CreekInput, NamedFile } from './types.js';

/** The files of a creek's folder, under their names relative to it. */
export interface CreekFiles {
  readonly creekJson: NamedFile;
  /** May be left out where creek.json names spreadsheets. */
  readonly visits?: NamedFile | undefined;
  readonly tripLogs?: readonly NamedFile[];
  /** Every file named by a gauge or logger of creek.json; others are ignored. */
  readonly gaugeFiles: readonly NamedFile[];
  /** Names of further files beside them, which creek.json does not name. */
  readonly notNamed?: readonly string[];
}

/**
 * Reads a creek's folder from bytes, without touching a disk: the creek, its visits in time order, a record for each gauge that can be read
 * (derived ones last), and everything wrong or noteworthy in file order. A `fatal` issue means that something asked for cannot be made; the
 * rest is read all the same, so that all problems show at once.
 *
 * @returns `creek` undefined (and nothing else read) where creek.json itself is unusable
 * @example readCreek({ creekJson, visits, gaugeFiles: [lower] }).records[0].timesMs
 */
export function readCreek({ creekJson, visits, tripLogs = [], gaugeFiles, notNamed = [] }: CreekFiles): CreekInput {
  const { creek, issues: creekIssues } = parseCreek(creekJson);
  if (creek === undefined) return freeze({ creek, issues: creekIssues, files: [creekJson] });

  const issues: Issue[] = [...creekIssues];
  const log = logName(visits, creek);
  const seen = readLogs(visits, tripLogs, creek);
  issues.push(...noSightings(log, seen), ...seen.issues, ...logIssues(log, seen, creek));
  for (const run of creek.runs) {
    const ofRun = seen.visits.filter((visit) => visit.run === run.id);
    issues.push(...readingSlips(log, ofRun, run.features));
  }
  const records: GaugeRecord[] = [];
  let gaugeRows = 0;
  let gaugeValuesUsed = 0;
  for (const gauge of creek.gauges) {
    const built = readGauge(gauge, gaugeFiles, creek.timeZone);
    issues.push(...built.issues);
    gaugeRows += built.rowsIn;
    gaugeValuesUsed += built.rowsUsed;
    if (built.record !== undefined) records.push(built.record);
  }
  for (const derived of creek.derivedGauges ?? []) {
    const built = deriveRecord(derived, records, { file: creekJson.name });
    issues.push(...built.issues);
    if (built.record !== undefined) records.push(built.record);
  }
  const loggers: GaugeRecord[] = [];
  for (const logger of creek.loggers ?? []) {
    const built = readGauge(logger, gaugeFiles, creek.timeZone);
    issues.push(...built.issues);
    if (built.record !== undefined) loggers.push(built.record);
  }
  issues.push(...spanIssues({ creek, visits: seen.visits, records, loggers }));
  if (notNamed.length > 0)
    issues.push({
      code: 'file-not-named',
      severity: 'note',
      file: notNamed[0]!,
      found: `a file that no gauge of creek.json names${notNamed.length > 1 ? `, and ${notNamed.length - 1} more` : ''}`,
      expected: 'each record under files of its gauge',
      hint: 'It is not read. Name it in creek.json, or move it away.',
    });
  const named = new Set([...creek.gauges, ...(creek.loggers ?? [])].flatMap((gauge) => gauge.files));
  return freeze({
    creek,
    visits: seen.visits,
    records,
    ...(creek.loggers !== undefined && { loggers }),
    issues,
    files: [creekJson, ...(visits ? [visits] : []), ...tripLogs, ...gaugeFiles.filter((file) => named.has(file.name))],
    counts: {
      sightingRows: seen.sightingRows,
      sightingsUsed: seen.sightingsUsed,
      ...(seen.comments > 0 && { comments: seen.comments }),
      gaugeRows,
      gaugeValuesUsed,
    },
  });
}

type Parts = Pick<CreekInput, 'creek' | 'issues'> &
  Partial<Pick<CreekInput, 'visits' | 'records' | 'loggers' | 'counts'>> & { files: readonly NamedFile[] };

function freeze({ creek, issues, files, visits = [], records = [], loggers, counts }: Parts): CreekInput {
  return Object.freeze({
    kind: 'creek-input',
    creek,
    visits: Object.freeze(visits),
    records: Object.freeze(records),
    ...(loggers !== undefined && { loggers: Object.freeze(loggers) }),
    issues: Object.freeze(issues.map((issue) => Object.freeze(issue))),
    files: Object.freeze(
      files.map(({ name, bytes }) =>
        Object.freeze({ name, sha256: createHash('sha256').update(bytes).digest('hex'), bytes: bytes.length }),
      ),
    ),
    counts: Object.freeze(counts ?? { sightingRows: 0, sightingsUsed: 0, gaugeRows: 0, gaugeValuesUsed: 0 }),
  });
}
