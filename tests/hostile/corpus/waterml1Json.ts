import type { HostileCase } from './types.js';

const json = (values: unknown, more: object = {}) =>
  JSON.stringify({ value: { timeSeries: [{ variable: { unit: { unitCode: 'ft3/s' } }, values, ...more }] } });

const inJson = (name: string, input: string, used: number, ...issues: string[]): HostileCase => ({
  name: `JSON: ${name}`,
  read: 'waterml1',
  input,
  used,
  issues,
});

export const WATERML1_JSON: readonly HostileCase[] = [
  inJson('cut off', '{"value":', 0, 'fatal wrong-format'),
  inJson('something else', '{"a":1}', 0, 'fatal wrong-format'),
  inJson('a list', '[]', 0, 'fatal wrong-format'),
  inJson('no series', '{"value":{"timeSeries":[]}}', 0, 'fatal wrong-format'),
  inJson('a series that is null', '{"value":{"timeSeries":[null]}}', 0, 'fatal series-missing'),
  inJson(
    'readings that are no list',
    json([{ value: { dateTime: '2031-01-01T00:00Z', value: '1' } }]),
    0,
    'fatal wrong-format',
  ),
  inJson('values that are no list', json({ value: [] }), 0, 'fatal wrong-format'),
  inJson(
    'a reading that is null',
    json([{ value: [null, { dateTime: '2031-01-01T00:00Z', value: '1' }] }]),
    1,
    'warning time-unreadable',
  ),
  inJson(
    'a reading that is a number',
    json([{ value: [5, { dateTime: '2031-01-01T00:00Z', value: 1 }] }]),
    1,
    'warning time-unreadable',
  ),
  inJson(
    'qualifiers that are objects',
    json([{ value: [{ dateTime: '2031-01-01T00:00Z', value: '1', qualifiers: [{}] }] }]),
    1,
  ),
  inJson('keys of objects', json([{ value: [] }], { constructor: 1, toString: 2 }), 0, 'fatal not-a-time-series'),
  inJson('65 lists inside each other', '['.repeat(65) + ']'.repeat(65), 0, 'fatal limit-exceeded'),
  inJson('a hundred thousand lists inside each other', '['.repeat(100_000), 0, 'fatal limit-exceeded'),
  inJson(
    'brackets inside a string',
    json([{ value: [{ dateTime: '2031-01-01T00:00Z', value: '1', qualifiers: ['['.repeat(500)] }] }]),
    1,
  ),
  inJson('a list of places', '{"type":"FeatureCollection","features":[]}', 0, 'fatal not-a-time-series'),
];
