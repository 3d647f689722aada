import { expect } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { creekJson, textFile } from './creekExample.js';

export type Json = ReturnType<typeof creekJson>;

/** creek.json after a change, parsed. */
export function parse(change: (json: Json) => void = () => undefined) {
  const json = creekJson();
  change(json);
  return parseCreek(textFile('creek.json', JSON.stringify(json)));
}

/** Every problem as `place: found | expected | hint`. */
export function problems(change: (json: Json) => void): string[] {
  const { creek, issues } = parse(change);
  expect(creek).toBeUndefined();
  for (const issue of issues) expect(issue).toMatchObject({ severity: 'fatal', file: 'creek.json' });
  return issues.map(({ column, found, expected, hint }) =>
    [`${column}: ${found}`, expected, hint].filter((part) => part !== undefined).join(' | '),
  );
}

export const gauge = (json: Json) => json.gauges[0]!;
export const run = (json: Json) => json.runs[0]!;
export const features = (json: Json) => run(json).features as Record<string, unknown>[];
