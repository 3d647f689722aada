import {
  closeSync,
  constants,
  existsSync,
  fstatSync,
  openSync,
  readdirSync,
  readFileSync,
  realpathSync,
  statSync,
} from 'node:fs';
import { join, sep } from 'node:path';
import type { Creek } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { inThousands, LIMITS, limitIssue } from '../read/limits.js';
import { parseCreek } from '../read/parseCreek.js';
import { pathProblem } from '../read/pathInside.js';
import { readForecasts } from '../read/readForecasts.js';
import { readSaid } from '../read/readSaid.js';
import { readCreek } from '../read/readCreek.js';
import type { CreekInput, NamedFile } from '../read/types.js';
import { errorCode } from './write/fileOps.js';

/**
 * Reads a creek's folder from disk: creek.json, visits.csv and the gauge files that creek.json names. A file that lies outside the folder,
 * also by way of a symbolic link, is not opened.
 * @returns everything readable, with an issue for each file that is missing or refused
 * @example loadCreekFolder('my-creek').issues
 */
export function loadCreekFolder(folder: string): CreekInput {
  const refused: Issue[] = [];
  const open = (name: string, mostBytes: number): NamedFile | undefined => {
    const file = readInside(folder, name, mostBytes);
    if ('bytes' in file) return file;
    refused.push(file.issue);
    return undefined;
  };
  const creekJson = open('creek.json', LIMITS.creekBytes);
  const creek = creekJson === undefined ? undefined : parseCreek(creekJson).creek;
  const mapped = [...new Set((creek?.tripLogs ?? []).map(({ file }) => file))];
  const noVisits = mapped.length > 0 && !existsSync(join(folder, 'visits.csv'));
  const visits = noVisits ? undefined : (open('visits.csv', LIMITS.visitsBytes) ?? { name: 'visits.csv', bytes: NONE });
  const tripLogs = mapped.flatMap((name) => open(name, LIMITS.visitsBytes) ?? []);
  const names = [...new Set([...(creek?.gauges ?? []), ...(creek?.loggers ?? [])].flatMap((gauge) => gauge.files))];
  const gaugeFiles = names.flatMap((name) => open(name, LIMITS.gaugeBytes) ?? []);
  if (creekJson === undefined) return withIssues(emptyInput(), refused);

  const input = readCreek({
    creekJson,
    visits,
    tripLogs,
    gaugeFiles,
    ...(creek !== undefined && { notNamed: filesBeside(folder, names) }),
  });
  const refusedNames = new Set(refused.map((issue) => issue.file));
  // What the reader says about a file it was not given (missing, empty) is said here already, with the reason.
  const kept = said(folder);
  const official = creek === undefined ? undefined : forecasts(folder, creek);
  return withIssues(
    {
      ...input,
      ...(kept !== undefined && { said: kept.said }),
      ...(official !== undefined && { forecasts: official.byGauge }),
      files: input.files.filter((file) => !refusedNames.has(file.name)),
      issues: [
        ...input.issues.filter((issue) => !refusedNames.has(issue.file)),
        ...(kept?.issues ?? []),
        ...(official?.issues ?? []),
      ],
    },
    refused,
  );
}

const NONE = new Uint8Array();
/** What was said on past days. It is no input of the fit and so not among the files that a chart is made from. */
function said(folder: string): ReturnType<typeof readSaid> | undefined {
  const file = readInside(folder, 'said.csv', LIMITS.visitsBytes);
  if ('bytes' in file) return readSaid(file);
  return file.issue.code === 'file-missing'
    ? undefined
    : { said: [], issues: [{ ...file.issue, severity: 'warning' }] };
}

/** Official forecasts; like what was said they are no input of the fit. A file that is not there has no forecast in it, which is usual. */
function forecasts(folder: string, { gauges, timeZone }: Creek) {
  const read = gauges.flatMap(({ id, forecast, timeZone: own }) => {
    if (forecast === undefined) return [];
    const file = readInside(folder, forecast, LIMITS.visitsBytes);
    const { forecasts: found, issues } =
      'bytes' in file
        ? readForecasts(file, { timeZone: own ?? timeZone })
        : { forecasts: [], issues: [{ ...file.issue, severity: 'warning' as const }] };
    return [{ id, found, issues }];
  });
  if (read.length === 0) return undefined;
  return { byGauge: new Map(read.map(({ id, found }) => [id, found])), issues: read.flatMap(({ issues }) => issues) };
}

/** Files in gauges/ that are not among the names; hidden ones and a README are nobody's record. */
function filesBeside(folder: string, names: readonly string[]): readonly string[] {
  const known = new Set(names.map((name) => name.normalize('NFC')));
  try {
    return readdirSync(join(folder, 'gauges'), { withFileTypes: true })
      .filter((entry) => entry.isFile() && !/^(\.|readme\b)/i.test(entry.name))
      .map(({ name }) => `gauges/${name}`)
      .filter((name) => !known.has(name.normalize('NFC')))
      .sort();
  } catch {
    return [];
  }
}

/** The bytes of a file below the folder, or the issue why it is not opened. */
function readInside(folder: string, name: string, mostBytes: number): NamedFile | { readonly issue: Issue } {
  const fatal = (code: Issue['code'], found: string, hint: string) => ({
    issue: { code, severity: 'fatal' as const, file: name, found, expected: 'a file in the creek folder', hint },
  });
  // Whoever asks: no name that climbs out or means a device elsewhere is even looked up.
  const problem = pathProblem(name);
  if (problem !== undefined)
    return fatal('path-outside', `a path ${problem}`, 'Copy the file into the folder and name it from there.');
  try {
    const root = realpathSync(folder);
    const path = realpathSync(join(root, ...name.split('/')));
    if (!path.startsWith(root.endsWith(sep) ? root : root + sep))
      return fatal('path-outside', 'a link that leads out of the folder', 'Copy the file into the folder.');
    // Asked before it is opened, because opening a device may already act; and again of what was opened.
    if (!statSync(path).isFile())
      return fatal('file-unreadable', 'something that is no file', 'Put the file itself there.');
    // Without NONBLOCK a pipe put there meanwhile would be waited for without end.
    const opened = openSync(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0));
    try {
      const stat = fstatSync(opened);
      if (!stat.isFile()) return fatal('file-unreadable', 'something that is no file', 'Put the file itself there.');
      if (stat.size > mostBytes)
        return {
          issue: limitIssue(name, {
            found: `${inThousands(stat.size)} bytes`,
            most: inThousands(mostBytes),
            hint: 'Cut a gauge file into several and list them all under files.',
          }),
        };
      return { name, bytes: readFileSync(opened) };
    } finally {
      closeSync(opened);
    }
  } catch (error) {
    const code = errorCode(error);
    if (code === 'ENOENT' || code === 'ENOTDIR')
      return fatal('file-missing', 'no such file', 'Put the file there, or correct its name.');
    const known = WORDS[code];
    // Not the system's sentence: it holds the path of this machine, and the same folder must read the same everywhere.
    return known === undefined
      ? fatal('file-unreadable', `an error of the file system (${code})`, 'Check the permissions of the file.')
      : fatal('file-unreadable', known[0], known[1]);
  }
}

const WORDS: Readonly<Record<string, readonly [found: string, hint: string]>> = {
  EACCES: ['a file that may not be read', 'Check the permissions of the file.'],
  EPERM: ['a file that may not be read', 'Check the permissions of the file.'],
  ELOOP: ['links that lead in a circle', 'Put the file itself there.'],
  ENAMETOOLONG: ['a name that is too long for this system', 'Give the file a shorter name.'],
};

function withIssues(input: CreekInput, first: readonly Issue[]): CreekInput {
  return Object.freeze({ ...input, issues: Object.freeze([...first, ...input.issues]) });
}

function emptyInput(): CreekInput {
  const counts = { sightingRows: 0, sightingsUsed: 0, gaugeRows: 0, gaugeValuesUsed: 0 };
  return { kind: 'creek-input', creek: undefined, visits: [], records: [], issues: [], files: [], counts };
}
