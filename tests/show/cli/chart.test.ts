import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { stableJson } from '../../../src/show/write/stableJson.js';
import { runCaught, type CliRun } from './fakeIo.js';

let place: string;
let folder: string;
let out: string;
let first: CliRun;

beforeAll(async () => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-chart-'));
  folder = join(place, 'larch');
  out = join(place, 'out');
  await runCaught(['new', folder, '--name', 'Larch Creek']);
  first = await runCaught(['chart', folder, '--out', out]);
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

const files = () => ['chart.csv', 'chart.html', 'chart.json', 'chart.md', 'gauges.json', 'not-used.csv', 'trust.json'];
const read = (name: string, at = out) => readFileSync(join(at, 'larch-creek', name), 'utf8');

describe('sightstage chart on the two example visits of a new folder', () => {
  it('writes the seven files, a note of where they came from, and says where the page is', () => {
    expect(readdirSync(join(out, 'larch-creek')).sort()).toEqual([...files(), 'made-from.txt'].sort());
    expect(first.out).toContain(`Page: ${join(out, 'larch-creek', 'chart.html')}\n`);
  });

  it('another folder whose creek has the same name does not write over them unless told to', async () => {
    const other = join(place, 'other');
    await runCaught(['new', other, '--name', 'Larch Creek']);
    const copy = join(place, 'copied');
    cpSync(out, copy, { recursive: true });
    const refused = await runCaught(['chart', other, '--out', out]);
    expect(refused.exitCode).toBe(2);
    expect(refused.err).toContain(`holds the chart of ${folder}, not of ${other}`);
    expect(refused.err).toContain('--replace');
    for (const name of files()) expect(read(name) === read(name, copy), name).toBe(true);
    // The note leads from where the outputs lie; a copy elsewhere leads nowhere and is nobody's.
    const [from] = read('made-from.txt').split('\n');
    expect(realpathSync(join(out, 'larch-creek', from!))).toBe(realpathSync(folder));
    const told = await runCaught(['chart', other, '--out', copy, '--quick', '--replace']);
    expect(told.exitCode).toBe(3);
    const taken = await runCaught(['chart', folder, '--out', copy, '--quick']);
    expect(taken.exitCode).toBe(2);
    rmSync(other, { recursive: true });
    expect((await runCaught(['chart', folder, '--out', copy, '--quick'])).exitCode).toBe(3);
  });

  it('is honest: too thin, exit code 3, and a line that says not to plan with it', () => {
    expect(first.exitCode).toBe(3);
    expect(first.out).toContain('No level is given: the log is too thin to plan with');
    expect(first.err).toContain('No gauge gave even a rough guide for any run: do not plan with this chart.');
  });

  it('prints plain text and plain progress lines when not on a terminal', () => {
    expect(first.out + first.err).not.toContain('\u001b');
    expect(first.err).toMatch(/^ {2}\d %|^ \d\d %|^100 %/m);
  });

  it('carries every caution in every output that someone could plan with', () => {
    const flat = (text: string) => text.replace(/\s+/g, ' ');
    for (const caution of CAUTIONS) {
      expect(flat(first.out)).toContain(caution);
      expect(flat(read('chart.md'))).toContain(caution);
      expect(read('chart.json')).toContain(caution);
      expect(read('chart.csv')).toContain(caution);
      expect(flat(read('chart.html'))).toContain(caution);
    }
  });

  it('gives the same bytes for the same input and seed, also with a terminal', async () => {
    const again = join(place, 'again');
    const second = await runCaught(['chart', folder, '--out', again], { terminal: true, columns: 100 });
    for (const name of files()) expect(read(name, again) === read(name), name).toBe(true);
    expect(second.out).toContain('\u001b[1m');
  });

  it('leaves colour out on a terminal that does not want it', async () => {
    const run = await runCaught(['chart', folder, '--out', out], { terminal: true, env: { NO_COLOR: '1' } });
    expect(run.out).not.toContain('\u001b');
  });

  it('prints the whole chart as JSON', async () => {
    const run = await runCaught(['chart', folder, '--out', out, '--json']);
    const result = JSON.parse(run.out) as { chart: unknown };
    expect(result).toMatchObject({
      kind: 'chart-result',
      fatal: 0,
      files: { html: join(out, 'larch-creek', 'chart.html') },
    });
    expect(stableJson(result.chart)).toBe(read('chart.json'));
  });

  it('says nothing on the output with --quiet', async () => {
    const run = await runCaught(['chart', folder, '--out', out, '--quiet']);
    expect(run.out).toBe('');
    expect(run.err).not.toContain('%');
  });

  it.each([
    [['--run', 'lower'], "unknown run 'lower'; creek.json has main"],
    [['--gauge', 'x', '--gauge', 'river'], "unknown gauge 'x'; creek.json has river"],
    [['--lag', '-6..6', '--lead', '8'], 'a lead of 8 h is longer than the largest lag looked through, 6 h'],
  ])('%j ends with 2 and names what there is', async (args, message) => {
    const run = await runCaught(['chart', folder, '--out', join(place, 'none'), ...args]);
    expect(run).toMatchObject({ exitCode: 2, out: '' });
    expect(run.err).toContain(`sightstage: ${message}\n`);
    expect(existsSync(join(place, 'none'))).toBe(false);
  });

  it('ends with 4 and one line when the outputs cannot be written', async () => {
    const file = join(place, 'a-file');
    writeFileSync(file, '');
    const run = await runCaught(['chart', folder, '--out', file]);
    expect(run.exitCode).toBe(4);
    expect(run.err).toContain(`sightstage: cannot write into ${file} (EEXIST)\n`);
    expect(run.err).not.toContain('    at ');
  });

  it('says so before anything is fitted, also where only the place of the creek’s own folder is taken by a file', async () => {
    const taken = join(place, 'taken');
    mkdirSync(taken);
    writeFileSync(join(taken, 'larch-creek'), 'mine');
    const run = await runCaught(['chart', folder, '--out', taken]);
    expect(run).toMatchObject({ exitCode: 4, out: '' });
    expect(run.err).toContain(`sightstage: cannot write into ${join(taken, 'larch-creek')} (EEXIST)\n`);
    expect(run.err).not.toContain('%');
    expect(readFileSync(join(taken, 'larch-creek'), 'utf8')).toBe('mine');
  });

  it('ends with 1, shows the fatal problems and writes nothing for a folder that cannot be charted', async () => {
    const broken = join(place, 'broken');
    await runCaught(['new', broken, '--name', 'Broken']);
    rmSync(join(broken, 'gauges/river.csv'));
    const run = await runCaught(['chart', broken, '--out', out]);
    expect(run).toMatchObject({ exitCode: 1, out: '' });
    expect(run.err).toContain('gauges/river.csv');
    expect(run.err).toContain(`No chart: see every problem with: sightstage check ${broken}\n`);
    expect(existsSync(join(out, 'broken'))).toBe(false);
    const json = await runCaught(['chart', broken, '--out', out, '--json']);
    expect(JSON.parse(json.out)).toMatchObject({ kind: 'creek-check', fatal: 1 });
  });
});
