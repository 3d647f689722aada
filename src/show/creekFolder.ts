import { readFileSync, realpathSync, statSync } from 'node:fs';
import { join, sep } from 'node:path';
import type { Issue } from '../series/issue.js';
import { parseCreek } from '../read/parseCreek.js';
import { readCreek } from '../read/readCreek.js';
import type { CreekInput, NamedFile } from '../read/types.js';

/**
 * Reads a creek's folder from disk: creek.json, visits.csv and the gauge files that creek.json names. A file that lies outside the folder, also by way of a
 * symbolic link, is not opened.
 * @returns everything readable, with an issue for each file that is missing or refused
 * @example loadCreekFolder('my-creek').issues
 */
export function loadCreekFolder(folder: string): CreekInput {
  const refused: Issue[] = [];
  const open = (name: string): NamedFile | undefined => {
    const file = readInside(folder, name);
    if ('bytes' in file) return file;
    refused.push(file.issue);
    return undefined;
  };
  const creekJson = open('creek.json');
  const visits = open('visits.csv');
  const creek = creekJson === undefined ? undefined : parseCreek(creekJson).creek;
  const names = [...new Set(creek?.gauges.flatMap((gauge) => gauge.files) ?? [])];
  const gaugeFiles = names.flatMap((name) => open(name) ?? []);
  if (creekJson === undefined) return withIssues(emptyInput(), refused);

  const input = readCreek({ creekJson, visits: visits ?? { name: 'visits.csv', bytes: new Uint8Array() }, gaugeFiles });
  const refusedNames = new Set(refused.map((issue) => issue.file));
  // What the reader says about a file it was not given (missing, empty) is said here already, with the reason.
  return withIssues(
    {
      ...input,
      files: input.files.filter((file) => !refusedNames.has(file.name)),
      issues: input.issues.filter((issue) => !refusedNames.has(issue.file)),
    },
    refused,
  );
}

/** The bytes of a file below the folder, or the issue why it is not opened. */
function readInside(folder: string, name: string): NamedFile | { readonly issue: Issue } {
  const fatal = (code: Issue['code'], found: string, hint: string) => ({
    issue: { code, severity: 'fatal' as const, file: name, found, expected: 'a file in the creek folder', hint },
  });
  try {
    const root = realpathSync(folder);
    const path = realpathSync(join(root, ...name.split('/')));
    if (!path.startsWith(root.endsWith(sep) ? root : root + sep))
      return fatal('path-outside', 'a link that leads out of the folder', 'Copy the file into the folder.');
    if (!statSync(path).isFile())
      return fatal('file-unreadable', 'something that is no file', 'Put the file itself there.');
    return { name, bytes: readFileSync(path) };
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    return code === 'ENOENT' || code === 'ENOTDIR'
      ? fatal('file-missing', 'no such file', 'Put the file there, or correct its name.')
      : fatal('file-unreadable', message, 'Check the permissions of the file.');
  }
}

function withIssues(input: CreekInput, first: readonly Issue[]): CreekInput {
  return Object.freeze({ ...input, issues: Object.freeze([...first, ...input.issues]) });
}

function emptyInput(): CreekInput {
  const counts = { sightingRows: 0, sightingsUsed: 0, gaugeRows: 0, gaugeValuesUsed: 0 };
  return { kind: 'creek-input', creek: undefined, visits: [], records: [], issues: [], files: [], counts };
}
