import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CreekGauges } from '../../../src/chart/gauges/types.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { chartFolder } from '../../../src/show/cli/chartFolder.js';
import { smallCreek, writeFolder } from '../../safety/smallCreek.js';
import { runCaught } from './fakeIo.js';

let place: string;
/** Many visits and one gauge, and half of them with another gauge that never saw the creek. */
let long: string;
let two: string;
beforeAll(() => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-gauges-'));
  long = join(place, 'long');
  two = join(place, 'two');
  const texts = new Map(smallCreek());
  writeFolder(long, texts);
  const creek = JSON.parse(texts.get('creek.json')!) as { gauges: object[] };
  const rows = texts.get('gauges/river.csv')!.trim().split('\n');
  const values = rows.slice(1).map((row) => row.split(',')[1]!);
  // The same floods, half a week later.
  const late = rows.slice(1).map((row, i) => `${row.split(',')[0]!},${values[Math.max(0, i - 84)]!}`);
  const other = { ...creek.gauges[0], id: 'late', name: 'Late river', files: ['gauges/late.csv'] };
  texts.set('gauges/late.csv', `${rows[0]!}\n${late.join('\n')}\n`);
  texts.set('creek.json', JSON.stringify({ ...creek, gauges: [creek.gauges[0], other] }));
  texts.set('visits.csv', texts.get('visits.csv')!.split('\n').slice(0, 41).join('\n'));
  writeFolder(two, texts);
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

const flat = (text: string) => text.replace(/\s+/g, ' ');

describe('sightstage gauges', () => {
  it('prints which gauge to read with every caution, writes nothing, and ends with 3 where nobody can plan', async () => {
    const run = await runCaught(['gauges', two, '--units', 'metric', '--seed', '2']);
    expect(run.exitCode).toBe(3);
    expect(run.out).toContain('Gauges, loggers and staffs of Sorrel Creek\n');
    expect(flat(run.out)).toContain('1. Larger river');
    expect(flat(run.out)).toContain('None of 3 candidates is to be relied on');
    for (const caution of CAUTIONS) expect(flat(run.out)).toContain(caution);
    expect(run.err).toMatch(/^100 % {2}which gauge: ranking for Sorrel gorge$/m);
    expect(run.err).toContain('do not plan with this chart');
    expect(readdirSync(place).sort()).toEqual(['long', 'two']);
  });

  it('of one gauge says that there is nothing to choose between', async () => {
    const run = await runCaught(['gauges', long, '--gauge', 'river', '--lead', '0.5', '--json']);
    expect(run.exitCode).toBe(0);
    const { runs } = JSON.parse(run.out) as CreekGauges;
    expect(runs[0]).toMatchObject({
      ranking: null,
      noRanking: 'Larger river is the only gauge: there is nothing to choose between.',
    });
    expect(runs[0]!.lags[0]!.flow!.lag.median).toBeGreaterThanOrEqual(1);
  });

  it.each([
    [['--run', 'lower'], "unknown run 'lower'; creek.json has gorge"],
    [['--gauge', 'x'], "unknown gauge 'x'; creek.json has river, late"],
  ])('%j ends with 2 and names what there is', async (args, message) => {
    const run = await runCaught(['gauges', two, ...args]);
    expect(run).toMatchObject({ exitCode: 2, out: '' });
    expect(run.err).toContain(`sightstage: ${message}\n`);
  });

  it('prints what gauges.json holds, can be stopped, and ends with 1 where nothing can be made of the folder', async () => {
    const fresh = join(place, 'fresh');
    const out = join(place, 'out');
    await runCaught(['new', fresh, '--name', 'Fresh Creek']);
    const printed = await runCaught(['gauges', fresh, '--json']);
    const chart = await chartFolder(fresh, { out });
    if (chart.kind !== 'chart') throw new Error('the folder can be charted');
    expect(readFileSync(chart.files!.gauges!, 'utf8')).toBe(printed.out);
    const stop = new AbortController();
    const stopped = chartFolder(fresh, {
      signal: stop.signal,
      onProgress: ({ stage }) => stage === 'fit' && stop.abort(new Error('somebody left')),
    });
    await expect(stopped).rejects.toThrow('somebody left');
    rmSync(join(fresh, 'gauges/river.csv'));
    const broken = await runCaught(['gauges', fresh]);
    expect(broken).toMatchObject({ exitCode: 1, out: '' });
    expect(broken.err).toContain('gauges/river.csv');
  });

  it('shows an example in its help', async () => {
    const { exitCode, out: help } = await runCaught(['gauges', '--help']);
    expect(exitCode).toBe(0);
    expect(help).toContain('$ sightstage gauges larch-creek --lead 2');
    expect((await runCaught(['chart', '--help'])).out).toContain('without comparing gauges');
  });
});
