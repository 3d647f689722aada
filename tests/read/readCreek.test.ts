import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCreek } from '../../src/read/readCreek.js';
import type { CreekInput } from '../../src/read/types.js';
import { issueSentence } from '../../src/series/issue.js';
import { creekJson, textFile } from './creekExample.js';

type Json = ReturnType<typeof creekJson>;

const VISITS =
  'when,run,feature,saw,observer\n2024-01-01T10:00,upper,verdict,good,Ada\n2024-01-02T10:00,upper,verdict,goood,Ada\n';
const BIG = 'time,value\n2024-01-01T00:00Z,1\n2024-01-01T01:00Z,2\n2024-01-01T02:00Z,\n';

function read({
  change = () => undefined,
  visits = VISITS,
  gauges = { 'gauges/big.csv': BIG },
}: { change?: (json: Json) => void; visits?: string; gauges?: Record<string, string> } = {}): CreekInput {
  const json = creekJson();
  change(json);
  return readCreek({
    creekJson: textFile('creek.json', JSON.stringify(json)),
    visits: textFile('visits.csv', visits),
    gaugeFiles: Object.entries(gauges).map(([name, text]) => textFile(name, text)),
  });
}

describe('readCreek', () => {
  it('reads a folder from bytes: creek, visits, records, issues, files, counts', () => {
    const input = read();
    expect(input).toMatchObject({
      kind: 'creek-input',
      creek: { name: 'Tamarock Creek' },
      counts: { sightingRows: 2, sightingsUsed: 1, gaugeRows: 3, gaugeValuesUsed: 2 },
    });
    expect(input.visits.map((visit) => visit.id)).toEqual(['upper 2024-01-01 Ada']);
    expect(input.records.map((record) => [record.gauge, record.timesMs.length])).toEqual([['big', 3]]);
    expect(input.issues.map(issueSentence)).toEqual([
      "visits.csv row 3, column saw: found 'goood', expected a class of the verdict (too low < low < good < high < too high). Did you mean 'good'?",
      'gauges/big.csv row 4, column value: found no value, expected a reading. At 2024-01-01T02:00Z.',
    ]);
    for (const part of [input, input.visits, input.records, input.issues, input.issues[0], input.files, input.counts])
      expect(Object.isFrozen(part)).toBe(true);
  });

  it('names its files with their SHA-256 and size', () => {
    const { files } = read();
    expect(files.map((file) => file.name)).toEqual(['creek.json', 'visits.csv', 'gauges/big.csv']);
    expect(files[2]).toEqual({
      name: 'gauges/big.csv',
      sha256: createHash('sha256').update(BIG).digest('hex'),
      bytes: BIG.length,
    });
    // FIPS 180-4, the hash of no bytes at all.
    expect(read({ visits: '' }).files[1]!.sha256).toBe(
      'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855',
    );
  });

  it('ignores files that no gauge names', () => {
    expect(
      read({ gauges: { 'gauges/big.csv': BIG, 'gauges/other.csv': 'x' } }).files.map((file) => file.name),
    ).not.toContain('gauges/other.csv');
  });

  it('reads nothing else where creek.json is unusable', () => {
    const input = read({ change: (json) => delete json.name });
    expect(input).toMatchObject({
      creek: undefined,
      visits: [],
      records: [],
      counts: { sightingRows: 0, gaugeRows: 0 },
    });
    expect(input.issues).toMatchObject([{ code: 'creek-invalid', severity: 'fatal', column: 'name' }]);
    expect(input.files.map((file) => file.name)).toEqual(['creek.json']);
  });

  it('goes on after a fatal issue, so that all show at once', () => {
    const input = read({ visits: 'a;b\n', gauges: {} });
    expect(input.issues.map((issue) => [issue.severity, issue.code, issue.file])).toEqual([
      ['fatal', 'wrong-format', 'visits.csv'],
      ['fatal', 'file-missing', 'gauges/big.csv'],
    ]);
    expect(input.creek).toBeDefined();
  });

  it('puts derived gauges last', () => {
    const input = read({
      change: (json) => {
        json.gauges.push({ ...json.gauges[0], id: 'branch', files: ['gauges/branch.csv'] });
        json.derivedGauges = [{ id: 'tributary', name: 'Tributary', kind: 'difference', of: ['big', 'branch'] }];
      },
      gauges: { 'gauges/big.csv': BIG, 'gauges/branch.csv': BIG.replace(',2\n', ',0.5\n') },
    });
    expect(input.records.map((record) => [record.gauge, Array.from(record.values)])).toEqual([
      ['big', [1, 2, NaN]],
      ['branch', [1, 0.5, NaN]],
      ['tributary', [0, 1.5, NaN]],
    ]);
    expect(input.counts.gaugeRows).toBe(6);
    expect(input.issues.map((issue) => issue.code)).toEqual([
      'class-unknown',
      'value-missing',
      'value-missing',
      'not-positive',
    ]);
  });

  it('says once, and fatally, that not one sighting can be used', () => {
    const head = 'when,run,feature,saw,observer\n';
    const input = read({
      visits: `${head}5 May,upper,verdict,good,Ada\n6 May,uper,verdict,good,Ada\n7 May,upper,verdict,low,Ada\n`,
    });
    expect(input.issues.filter(({ severity }) => severity === 'fatal').map(issueSentence)).toEqual([
      "visits.csv, column when: found no usable sighting in 3 rows (most often time-unreadable, first in row 2: '5 May'), expected a date and a time of day in ISO 8601, such as 2024-04-28T14:30 or 2024-04-28T14:30-07:00. Mend that in all rows first; every row is listed with its reason.",
    ]);
    expect(
      read({ visits: head })
        .issues.filter(({ severity }) => severity === 'fatal')
        .map(issueSentence),
    ).toEqual([
      'visits.csv: found a header row and no sighting under it, expected one row a sighting. Write down visits first; a chart needs about ten.',
    ]);
  });

  describe('files that lie apart in time', () => {
    const hourly = (from: string, hours: number) =>
      `time,value\n${Array.from({ length: hours }, (_, h) => `${new Date(Date.parse(from) + h * 3_600_000).toISOString()},${1 + (h % 7)}`).join('\n')}\n`;
    const apart = (...args: Parameters<typeof read>) =>
      read(...args)
        .issues.filter(({ code }) => code === 'no-overlap')
        .map((issue) => `${issue.severity} ${issueSentence(issue)}`);
    const visits = (...when: string[]) =>
      `when,run,feature,saw,observer\n${when.map((time) => `${time},upper,verdict,good,Ada`).join('\n')}\n`;
    const gauges = { 'gauges/big.csv': hourly('2024-01-01T00:00Z', 240) };

    it('records without any visit are fatal, with both spans; visits outside the records are noted', () => {
      expect(apart({ visits: visits('2034-03-01T10:00', '2035-01-02T10:00'), gauges })).toEqual([
        "fatal gauges/big.csv: found visits of run 'upper' 2034-03-01 to 2035-01-02, record of 'big' 2024-01-01 to 2024-01-10, expected a record over the time of the visits. None of these visits can be used with this gauge. Check the years in visits.csv and datePattern of the gauge, or download its record for the time of the visits.",
      ]);
      expect(apart({ visits: visits('2034-03-01T10:00', '2024-01-05T10:00'), gauges })).toEqual([
        'note visits.csv row 2, column when: found 1 of 2 visits before or after every record, 2034-03-01 to 2034-03-01, expected a record over the time of each visit. These visits cannot be used. Check their years, or download a record for their time.',
      ]);
      // Two days beyond the end a lag may still reach.
      expect(apart({ visits: visits('2024-01-12T20:00'), gauges })).toEqual([]);
      expect(apart({ visits: visits('2024-01-13T10:00'), gauges })).toHaveLength(1);
    });

    it('a logger that shares less than 48 hours with every gauge is a warning with both spans', () => {
      const logger = {
        id: 'club',
        name: 'Club',
        parameter: 'stage',
        unit: 'm',
        run: 'upper',
        timeZone: 'UTC',
        files: ['club.csv'],
      };
      const of = (text: string) =>
        apart({
          change: (json) => {
            json.loggers = [{ ...logger, format: 'delimited', columns: { time: 'time', value: 'value' } }];
          },
          visits: visits('2024-01-05T10:00'),
          gauges: { ...gauges, 'club.csv': text },
        });
      expect(of(hourly('2023-01-02T00:00Z', 100))).toEqual([
        "warning club.csv: found logger 'club' 2023-01-02 to 2023-01-06, record of 'big' 2024-01-01 to 2024-01-10, expected at least 48 h in common with a gauge. The logger tells nothing of the lag. Check the logger's clock, its timeZone and datePattern, or download a gauge's record for the time that it stood there.",
      ]);
      expect(of(hourly('2024-01-09T12:00Z', 100))[0]).toContain('2024-01-01 to 2024-01-10, 35 h in common, expected');
      expect(of(hourly('2024-01-08T23:00Z', 100))).toEqual([]);
    });
  });

  it('gives the same answer twice', () => {
    expect(read()).toEqual(read());
  });

  it('a million words of nonsense never throw, and every row is used or listed', () => {
    const cell = fc.oneof(
      fc.constantFrom(
        '2024-01-01T10:00',
        '2024-10-27T01:30',
        '2024-03-31T01:30',
        'upper',
        'lower',
        'verdict',
        'ledge',
        'staff',
        'good',
        'dry',
        '12',
        '-1',
        '',
        ' ',
        '"',
        '#',
        'x,y',
        '\n',
      ),
      fc.string({ maxLength: 8 }),
    );
    const lines = fc
      .array(
        fc.array(cell, { maxLength: 9 }).map((cells) => cells.join(',')),
        { maxLength: 12 },
      )
      .map((rows) => rows.join('\n'));
    fc.assert(
      fc.property(lines, lines, (visits, gauge) => {
        const input = read({
          visits: `visit,when,give_or_take_min,run,feature,saw,observer,note\n${visits}`,
          gauges: { 'gauges/big.csv': `time,value\n${gauge}` },
        });
        const lost = input.issues.filter((issue) => issue.file === 'visits.csv' && issue.severity === 'warning');
        if (input.issues.every((issue) => issue.file !== 'visits.csv' || issue.severity !== 'fatal'))
          expect(new Set(lost.map((issue) => issue.row)).size + input.counts.sightingsUsed).toBe(
            input.counts.sightingRows,
          );
        const LOST = [
          'row-shape',
          'time-unreadable',
          'time-nonexistent',
          'value-missing',
          'value-unreadable',
          'duplicate-time',
        ];
        const listed = input.issues
          .filter(
            (issue) =>
              issue.file === 'gauges/big.csv' &&
              (LOST.includes(issue.code) || (issue.code === 'time-ambiguous' && issue.severity === 'warning')),
          )
          .reduce((sum, issue) => sum + (issue.count ?? 1), 0);
        expect(listed + input.counts.gaugeValuesUsed).toBe(input.counts.gaugeRows);
        // A quote may span lines; tests/hostile counts those by another reader.
        if (gauge.includes('"')) return;
        expect(input.counts.gaugeRows).toBe(
          gauge.split('\n').filter((line) => line.replace(/[ \t\u00a0\r]/g, '') !== '').length,
        );
      }),
      { seed: 3, numRuns: 800 },
    );
  });
});
