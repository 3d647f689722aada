import { expect } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readVisits, type VisitsRead } from '../../src/read/readVisits.js';
import { issueSentence } from '../../src/series/issue.js';
import { creekJson, textFile } from './creekExample.js';

export type Json = ReturnType<typeof creekJson>;

export const HEADER = 'visit,when,give_or_take_min,run,feature,saw,observer,note';

/** A visits.csv read for the example creek, changed; its rows accounted for. */
export function read(text: string, change: (json: Json) => void = () => undefined): VisitsRead {
  const json = creekJson();
  change(json);
  const { creek, issues } = parseCreek(textFile('creek.json', JSON.stringify(json)));
  expect(issues).toEqual([]);
  const result = readVisits(textFile('visits.csv', text), creek!);
  accountFor(result);
  return result;
}

/** Used and listed rows add up to the rows of the file, and every row is in one place only. */
function accountFor({ visits, issues, sightingRows, sightingsUsed }: VisitsRead): void {
  const used = visits.flatMap((visit) => visit.sightings.map((sighting) => sighting.row));
  const lost = new Set(issues.filter((issue) => issue.severity === 'warning').map((issue) => issue.row!));
  expect(used.length).toBe(sightingsUsed);
  expect(used.filter((row) => lost.has(row))).toEqual([]);
  expect(used.length + lost.size).toBe(sightingRows);
}

export const rows = (...lines: string[]) => [HEADER, ...lines].join('\n');
export const sentences = (result: VisitsRead) =>
  result.issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`);
export const utc = (ms: number) => new Date(ms).toISOString().slice(0, 16);
