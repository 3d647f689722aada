import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { chartCsv } from '../../../src/show/text/chartCsv.js';
import { csvTable } from '../../../src/show/text/csvTable.js';
import { notUsedCsv } from '../../../src/show/text/notUsedCsv.js';
import { handChart } from './handChart.js';

function rowsOf(text: string): Record<string, string>[] {
  return parse(text, { columns: true });
}

describe('chartCsv', () => {
  const rows = rowsOf(chartCsv(handChart()));
  const mill = rows.filter((row) => row['gauge'] === 'mill');

  it('has one row an edge and one a sure range', () => {
    expect(mill.filter((row) => row['kind'] === 'edge').length).toBe(5);
    expect(mill.filter((row) => row['kind'] === 'sure-range').length).toBe(2);
    expect(mill.filter((row) => row['kind'] === 'seen').length).toBe(1);
  });

  it('keeps numbers unrounded beside the rounded ones, and leaves an open bound empty', () => {
    const edge = mill.find((row) => row['class'] === 'high' && row['kind'] === 'edge');
    expect(edge).toMatchObject({
      creek: 'Larch Creek',
      run: 'upper',
      grade: 'fair guide',
      reading: 'effective',
      feature: 'verdict',
      next_class: 'too high',
      unit: 'ft3/s',
      median: '500.4',
      low80: '430',
      high80: '',
      rounded: '500',
      other_unit: 'm3/s',
      rounded_other: '14.1',
      seen_both_sides: 'true',
    });
    const sure = mill.find((row) => row['class'] === 'good' && row['kind'] === 'sure-range');
    expect(sure).toMatchObject({ from: '198.2', to: '283.9', rounded: '200', rounded_to: '280' });
  });

  it('gives no numbers for a gauge without a usable relation', () => {
    const far = rows.filter((row) => row['gauge'] === 'far');
    expect(far).toHaveLength(1);
    expect(far[0]).toMatchObject({ kind: 'no-levels', median: '', note: 'No better than counting classes.' });
  });

  it('carries the cautions and where it comes from', () => {
    expect(rows.filter((row) => row['kind'] === 'caution').map((row) => row['note'])).toEqual([...CAUTIONS]);
    const made = rows.filter((row) => row['kind'] === 'provenance').map((row) => row['note']);
    expect(made).toContain('sightstage 0.1.0, seed 1, leadHours 0, link probit');
    expect(made).toContain(`visits.csv: 1234 bytes, SHA-256 ${'ab'.repeat(32)}`);
    expect(made).toContain('readings of mill: 900 approved, 100 provisional, 0 without a state');
  });

  it('keeps a name from acting as a formula or breaking the row', () => {
    const evil = rowsOf(chartCsv(handChart({ name: '=HYPERLINK("x")\n,"q"' })));
    expect(evil[0]!['creek']).toBe('\'=HYPERLINK("x") ,"q"');
    expect(evil.length).toBe(rows.length);
  });
});

describe('csvTable', () => {
  it('writes numbers that are numbers, also negative ones, and nothing for what is missing', () => {
    expect(csvTable(['a', 'b', 'c', 'd', 'e'], [[-1.5, NaN, null, undefined, false]])).toBe(
      'a,b,c,d,e\n-1.5,,,,false\n',
    );
    expect(csvTable(['a'], [['-1.5']])).toBe("a\n'-1.5\n");
  });
});

describe('notUsedCsv', () => {
  it('lists what is not used with its place and reason, and leaves notes out', () => {
    const text = notUsedCsv([
      {
        code: 'class-unknown',
        severity: 'warning',
        file: 'visits.csv',
        row: 41,
        column: 'saw',
        found: '=cmd',
        hint: 'Fix.',
      },
      { code: 'value-refused', severity: 'warning', file: 'gauges/a.csv', row: 9, count: 24 },
      { code: 'time-ambiguous', severity: 'note', file: 'visits.csv', row: 50 },
    ]);
    expect(text).toBe(
      'file,row,column,reason,severity,rows,found,expected,hint\n' +
        "visits.csv,41,saw,class-unknown,warning,1,'=cmd,,Fix.\n" +
        'gauges/a.csv,9,,value-refused,warning,24,,,\n',
    );
  });
});
