import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { levelsCsv } from '../../src/show/card/levelsCsv.js';
import { chartCsv } from '../../src/show/text/chartCsv.js';
import { notUsedCsv } from '../../src/show/text/notUsedCsv.js';
import { fixtureGauges } from '../show/fixtureGauges.js';
import { handChart } from '../show/text/handChart.js';

const page = readFileSync(fileURLToPath(new URL('../../docs/file-formats.md', import.meta.url)), 'utf8');
/** The part under a heading, to the next heading of its kind. */
const part = (heading: string): string => {
  const at = page.indexOf(`### ${heading}\n`);
  expect(at, heading).toBeGreaterThan(0);
  return page.slice(at).split('\n### ')[0]!;
};
/** Words in code marks; paths such as `runs[].ranking` count by their pieces. */
const named = (text: string): ReadonlySet<string> =>
  new Set([...text.matchAll(/`([^`]+)`/g)].flatMap(([, code]) => [code!, ...code!.split(/[.[\]…]+/)]));

describe('docs/file-formats.md', () => {
  it.each(['chart.html', 'chart.json', 'trust.json', 'gauges.json', 'chart.csv', 'chart.md', 'not-used.csv', 'Cards'])(
    'has a part about %s',
    (heading) => {
      expect(part(heading).length).toBeGreaterThan(60);
    },
  );

  it('names every file of the cards and every column of levels.csv', () => {
    const words = named(part('Cards'));
    const columns = levelsCsv(handChart()).slice(1).split('\r\n')[0]!.split(',');
    expect(columns.length).toBe(14);
    const files = ['card.html', 'card.pdf', 'card-1.svg', 'card-1.png', 'levels.csv'];
    expect([...files, ...columns].filter((word) => !words.has(word))).toEqual([]);
  });

  it('names every kind of row of chart.csv and every column of not-used.csv', () => {
    const [, ...rows] = chartCsv(handChart()).trimEnd().split('\n');
    const kinds = [
      ...new Set(rows.map((row) => /(edge|sure-range|seen|no-levels|caution|provenance)(?=,)/.exec(row)?.[1])),
    ];
    expect(kinds.length).toBe(6);
    const words = named(part('chart.csv'));
    expect(kinds.filter((kind) => kind === undefined || !words.has(kind))).toEqual([]);
    const columns = notUsedCsv([]).trimEnd().split(',');
    expect(columns.filter((column) => !named(part('not-used.csv')).has(column))).toEqual([]);
  });

  it('names every field of gauges.json that says something', () => {
    const words = named(part('gauges.json'));
    const [run] = fixtureGauges().runs;
    const ranking = run!.ranking!;
    const logger = run!.loggers[0]!;
    const fields = [
      ...Object.keys(fixtureGauges()),
      ...Object.keys(run!),
      ...Object.keys(ranking),
      ...Object.keys(ranking.warning[0]!),
      ...Object.keys(ranking.choice),
      ...Object.keys(logger),
      ...Object.keys(logger.gauges[0]!),
      ...Object.keys(run!.lags[0]!),
      ...Object.keys(run!.lags[0]!.travel!),
      ...Object.keys(run!.staffs[0]!),
      ...Object.keys(run!.staffs[0]!.gauges[0]!),
    ];
    expect([...new Set(fields)].filter((field) => !words.has(field))).toEqual([]);
  });
});

describe('the templates of services', () => {
  const rows = part('Fetched readings')
    .split('\n')
    .filter((line) => line.includes('{from}') && line.startsWith('|'));

  it('are four', () => expect(rows.length).toBe(4));

  it.each(rows.map((row) => [/\| ([^(|]+)/.exec(row)![1]!.trim(), row] as const))(
    '%s: creek.json takes it',
    (_, row) => {
      const address = /`(https:[^`]+)`/.exec(row)![1]!;
      const said = (name: string) => new RegExp(`\`${name}: ([^\`]+)\``).exec(row)?.[1];
      const columns = said('columns');
      const times = said('times');
      const delimiter = said('delimiter');
      const gauge = {
        id: 'weir',
        name: 'Weir',
        parameter: 'discharge',
        unit: said('unit') ?? 'm3/s',
        files: ['gauges/weir.csv'],
        format: said('format') ?? 'delimited',
        fetch: { address, file: 'gauges/weir.csv', ...(times !== undefined && { times }) },
        ...(columns !== undefined && { columns: JSON.parse(columns) as object }),
        ...(delimiter !== undefined && { delimiter }),
      };
      const runs = [{ id: 'main', name: 'Main', classes: ['low', 'good'], features: [] }];
      const creek = { schema: 1, name: 'Larch', timeZone: 'UTC', runs, gauges: [gauge] };
      const { creek: read, issues } = parseCreek({
        name: 'creek.json',
        bytes: new TextEncoder().encode(JSON.stringify(creek)),
      });
      expect(issues).toEqual([]);
      expect(read!.gauges[0]!.fetch!.address).toBe(address);
    },
  );
});
