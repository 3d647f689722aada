import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { creekSlug } from '../../../src/show/write/creekSlug.js';
import { stableJson } from '../../../src/show/write/stableJson.js';
import { writeOutputs } from '../../../src/show/write/writeOutputs.js';
import { fixtureGauges } from '../fixtureGauges.js';
import { handChart } from '../text/handChart.js';

describe('creekSlug', () => {
  it.each([
    ['Larch Creek', 'larch-creek'],
    ['Größer Bach / upper', 'grosser-bach-upper'],
    ['../../etc/passwd', 'etc-passwd'],
    ['谷川', '谷川'],
    ['...', 'creek'],
    ['', 'creek'],
    ['CON', 'creek-con'],
    ['a\u0000b', 'a-b'],
    ['x'.repeat(200), 'x'.repeat(60)],
  ])('makes of %j the folder %j', (name, slug) => {
    expect(creekSlug(name)).toBe(slug);
  });
});

describe('stableJson', () => {
  it('sorts keys, drops undefined, writes NaN as null and -0 as 0, rows on one line', () => {
    expect(stableJson({ b: [1, NaN, -0], a: { y: undefined, x: [{ k: 1 }, {}] } })).toBe(
      '{\n  "a": {\n    "x": [\n      {\n        "k": 1\n      },\n      {}\n    ]\n  },\n  "b": [1, null, 0]\n}\n',
    );
  });

  it('is the same whatever order the keys came in, and reads back to the same value', () => {
    expect(stableJson({ a: 1, b: 2 })).toBe(stableJson({ b: 2, a: 1 }));
    const chart = handChart();
    expect(JSON.parse(stableJson(chart))).toEqual(JSON.parse(JSON.stringify(chart)));
  });

  it('writes typed arrays as rows', () => {
    expect(stableJson(Float64Array.of(0.5, Infinity))).toBe('[0.5, null]\n');
  });

  it('keeps a terminal that shows the file from acting on a text, and the text whole', () => {
    const text = 'a\u009b2J\u202e\u2028';
    expect(stableJson(text)).toBe('"a\\u009b2J\\u202e\\u2028"\n');
    expect(JSON.parse(stableJson(text))).toBe(text);
  });
});

describe('writeOutputs', () => {
  let out: string;
  beforeEach(() => {
    out = mkdtempSync(join(tmpdir(), 'sightstage-write-'));
  });
  afterEach(() => rmSync(out, { recursive: true, force: true }));

  const outputs = { chart: handChart(), page: '<!doctype html>', issues: [] };

  it('cards of an older chart go, what somebody else put there stays', async () => {
    const { folder } = await writeOutputs(outputs, out);
    const cards = ['card.html', 'card.pdf', 'card-1.svg', 'card-12.png', 'levels.csv'];
    const mine = ['card.txt', 'card-x.svg', 'my levels.csv'];
    for (const name of [...cards, ...mine]) writeFileSync(join(folder, name), 'old');
    await writeOutputs(outputs, out);
    const left = readdirSync(folder);
    expect(cards.filter((name) => left.includes(name))).toEqual([]);
    expect(mine.filter((name) => left.includes(name))).toEqual(mine);
  });

  it('writes the five files into the folder of the creek and nothing else', async () => {
    const files = await writeOutputs(outputs, out);
    expect(files.folder).toBe(join(out, 'larch-creek'));
    expect(readdirSync(files.folder).sort()).toEqual([
      'chart.csv',
      'chart.html',
      'chart.json',
      'chart.md',
      'not-used.csv',
    ]);
    expect(readFileSync(files.html, 'utf8')).toBe('<!doctype html>');
    expect(JSON.parse(readFileSync(files.json, 'utf8'))).toMatchObject({
      kind: 'creek-chart',
      creek: { name: 'Larch Creek' },
    });
  });

  it('writes gauges.json where it is given, and takes an older one away where not', async () => {
    const gauges = fixtureGauges();
    const written = await writeOutputs({ ...outputs, gauges }, out);
    expect(written.gauges).toBe(join(out, 'larch-creek', 'gauges.json'));
    expect(JSON.parse(readFileSync(written.gauges!, 'utf8'))).toEqual(gauges);
    const without = await writeOutputs(outputs, out);
    expect(without.gauges).toBeUndefined();
    expect(existsSync(written.gauges!)).toBe(false);
  });

  it('writes the same bytes again', async () => {
    const files = await writeOutputs(outputs, out);
    const read = () => [files.json, files.csv, files.markdown, files.notUsed].map((path) => readFileSync(path, 'utf8'));
    const first = read();
    await writeOutputs(outputs, out);
    expect(read()).toEqual(first);
  });

  it('leaves the older chart and no fragment when one of the files cannot be put in place', async () => {
    const folder = join(out, 'larch-creek');
    // A folder where chart.html should go: the rename of the first file fails after all were written.
    mkdirSync(join(folder, 'chart.html', 'in-the-way'), { recursive: true });
    writeFileSync(join(folder, 'chart.json'), 'older');
    await expect(writeOutputs(outputs, out)).rejects.toThrow(/EISDIR|ENOTEMPTY|EEXIST|EPERM/);
    expect(readdirSync(folder).sort()).toEqual(['chart.html', 'chart.json']);
    expect(readFileSync(join(folder, 'chart.json'), 'utf8')).toBe('older');
  });

  it('fails without a trace where the output folder cannot be made', async () => {
    const file = join(out, 'a-file');
    writeFileSync(file, '');
    await expect(writeOutputs(outputs, file)).rejects.toThrow(/ENOTDIR|EEXIST/);
    expect(existsSync(join(file, 'larch-creek'))).toBe(false);
  });
});
