import { describe, expect, it } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readCreek } from '../../src/read/readCreek.js';
import { creekJson, textFile } from './creekExample.js';

const logger = {
  id: 'club',
  name: 'the club’s logger',
  parameter: 'stage',
  unit: 'm',
  files: ['loggers/club.csv'],
  format: 'delimited',
  columns: { time: 'time', value: 'level' },
  timeZone: 'UTC',
  run: 'upper',
  kmFromPutIn: 0.2,
};
const file = (loggers: readonly unknown[]) => textFile('creek.json', JSON.stringify({ ...creekJson(), loggers }));
const problems = (loggers: readonly unknown[]) =>
  parseCreek(file(loggers)).issues.map(({ column, found, expected }) => `${column}: ${found} | ${expected}`);

describe('a logger in creek.json', () => {
  it('is read like a gauge, and stands apart from the gauges', () => {
    const gauges = textFile('gauges/big.csv', 'time,value\n2031-01-01T00:00,4\n2031-01-01T01:00,5\n');
    const levels = textFile('loggers/club.csv', 'time,level\n2031-01-01T00:00,0.42\n2031-01-01T00:10,0.44\n');
    const input = readCreek({
      creekJson: file([logger]),
      visits: textFile('visits.csv', 'when,run,feature,saw,observer\n'),
      gaugeFiles: [gauges, levels],
    });
    expect(input.records.map((r) => r.gauge)).toEqual(['big']);
    expect(input.loggers!.map((r) => [r.gauge, r.unit, [...r.values]])).toEqual([['club', 'm', [0.42, 0.44]]]);
    expect(input.files.map((f) => f.name)).toContain('loggers/club.csv');
    expect(input.creek!.loggers![0]).toMatchObject({ run: 'upper', kmFromPutIn: 0.2 });
  });

  it('is not there where creek.json names none', () => {
    const input = readCreek({
      creekJson: textFile('creek.json', JSON.stringify(creekJson())),
      visits: textFile('visits.csv', ''),
      gaugeFiles: [],
    });
    expect('loggers' in input).toBe(false);
  });

  it('needs a level, an id of its own and a run that exists', () => {
    expect(problems([{ ...logger, parameter: 'discharge', unit: 'm3/s' }]).join()).toContain('loggers[0].parameter');
    expect(problems([{ ...logger, id: 'big' }])).toEqual([
      "loggers[0].id: 'big', as at gauges[0].id | a gauge that no other has (capitals do not tell them apart)",
    ]);
    expect(problems([{ ...logger, run: 'uper' }])).toEqual(["loggers[0].run: 'uper' | a run (upper, lower)"]);
    expect(problems([logger])).toEqual([]);
  });
});
