import { spawn } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { createRandom } from '../../../src/kernel/random.js';
import { gatherScreen, screenShard, type ScreenFolderOptions } from '../../../src/show/screen/screenFolder.js';
import { writeCountry } from '../../../tools/screen/writeCountry.js';
import { runCaught } from '../cli/fakeIo.js';

const RUNS = 8;
const GAUGES = 5;
const main = fileURLToPath(new URL('../../../dist/show/cli/main.js', import.meta.url));

let place: string;
const at = (...names: readonly string[]) => join(place, ...names);
const options = (out: string, more: Partial<ScreenFolderOptions> = {}): ScreenFolderOptions => ({
  gauges: at('gauges.json'),
  out: at(out),
  rate: 0.05,
  seed: 1,
  fit: false,
  cores: 1,
  ...more,
});
const screen = (out: string, more: Partial<ScreenFolderOptions> = {}) =>
  screenShard(at('runs.csv'), options(out, more));
const outputs = (out: string) => ['screen.csv', 'index.html'].map((name) => readFileSync(at(out, name), 'utf8'));
const results = (out: string) => (existsSync(at(out, 'tasks')) ? readdirSync(at(out, 'tasks')).sort() : []);

beforeAll(() => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-screen-'));
  writeCountry(place, { runs: RUNS, gauges: GAUGES, visits: 60, tellsEvery: 2, seed: 3 });
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

describe('runs screened against gauges', () => {
  it('reads each gauge once, however many runs ask for it', async () => {
    const read: string[] = [];
    expect(await screen('whole', { onRead: (gauge) => read.push(gauge) })).toEqual({ made: RUNS, kept: 0 });
    expect(read).toEqual(Array.from({ length: GAUGES }, (_, g) => `gauge-${g + 1}`));
    await gatherScreen(at('whole'));
  });

  it('gives the same bytes for one shard, for eight, and on two cores', async () => {
    for (let i = 8; i >= 1; i--) await screen('eight', { shard: { i, n: 8 } });
    await gatherScreen(at('eight'));
    await screen('cores', { cores: 2 });
    await gatherScreen(at('cores'));
    expect(outputs('eight')).toEqual(outputs('whole'));
    expect(outputs('cores')).toEqual(outputs('whole'));
    expect(results('cores')).toEqual(results('whole'));
  });

  it('finds the gauges that tell, and fits what passes: a grade, how to read it, one to begin with', async () => {
    await screen('fitted', { fit: true, shard: { i: 1, n: RUNS } });
    await screen('fitted', { fit: true, shard: { i: 2, n: RUNS } });
    const [first, second] = results('fitted').map((name) => {
      const { rows } = JSON.parse(readFileSync(at('fitted', 'tasks', name), 'utf8')) as {
        rows: readonly { run: string; gauge: string; passed: boolean; grade: string | null; recommended: boolean }[];
      };
      return rows;
    });
    const [told, silent] = first![0]!.run === 'run-1' ? [first!, second!] : [second!, first!];
    const right = told.find(({ gauge }) => gauge === 'gauge-1')!;
    expect([right.passed, right.recommended]).toEqual([true, true]);
    expect(right.grade).toMatch(/guide/);
    expect(silent.every(({ recommended }) => !recommended)).toBe(true);
    await expect(gatherScreen(at('fitted'))).rejects.toThrow(/^6 of 8 results are missing, the first of run 'run-3'/);
  });

  it('goes on where it was killed: nothing lost, nothing done twice', async () => {
    const args = [main, 'screen', at('runs.csv'), '--gauges', at('gauges.json'), '--out', at('killed')];
    const random = createRandom(Date.now() % 2 ** 32);
    const stoodAt: number[] = [];
    for (let round = 0; round < 5; round++) {
      const before = new Map(results('killed').map((name) => [name, stamp(name)]));
      const child = spawn(process.execPath, [...args, '--rate', '0.05', '--no-fit', '--resume', '--cores', '1'], {
        stdio: 'ignore',
      });
      const ended = new Promise((resolve) => child.on('exit', resolve));
      // At a moment of its own each time, while it starts, reads or screens; the first one when it has begun to write.
      const until =
        round === 0 ? begun() : new Promise((resolve) => setTimeout(resolve, 200 + 2000 * random.uniform()));
      await Promise.race([ended, until]);
      child.kill('SIGKILL');
      await ended;
      for (const [name, time] of before) expect(stamp(name), name).toBe(time);
      stoodAt.push(results('killed').filter((name) => name.endsWith('.json')).length);
    }
    expect(stoodAt[0]).toBeGreaterThan(0);
    expect(stoodAt[0]).toBeLessThan(RUNS);
    const stood = results('killed').filter((name) => name.endsWith('.json')).length;
    expect(await screen('killed', { before: 'resume' })).toEqual({ made: RUNS - stood, kept: stood });
    await gatherScreen(at('killed'));
    expect(outputs('killed')).toEqual(outputs('whole'));
  });
  const begun = async (): Promise<void> => {
    while (results('killed').length === 0) await new Promise((resolve) => setTimeout(resolve, 5));
  };
  const stamp = (name: string) => statSync(at('killed', 'tasks', name)).mtimeMs;

  it('says what stands there, and takes it or makes it anew when told', async () => {
    await expect(screen('whole')).rejects.toThrow(/holds 8 of 8 results of this screening: go on with --resume/);
    expect(await screen('whole', { before: 'resume' })).toEqual({ made: 0, kept: RUNS });
    expect(await screen('whole', { before: 'fresh', shard: { i: 2, n: 4 } })).toEqual({ made: 2, kept: 0 });
    // Another seed is another screening.
    expect((await screen('whole', { seed: 2, shard: { i: 1, n: 8 } })).made).toBe(1);
    await screen('whole', { before: 'resume' });
  });

  it('writes tidy rows with the distance, and a page with every caution that asks for nothing', () => {
    const [csv, page] = outputs('whole');
    const [head, first] = csv!.split('\n');
    expect(head).toMatch(/^run,runName,gauge,gaugeName,distanceKm,looks,rho,lagHours,p,q,passed,grade,/);
    // A tenth of a degree of longitude at 10° north: 111.19 · cos(10°) / 10 km on a sphere of 6371 km.
    expect(Number(first!.split(',')[4])).toBeCloseTo(10.95, 2);
    expect(csv!.trimEnd().split('\n').length).toBe(1 + RUNS * GAUGES);
    for (const caution of CAUTIONS) expect(page).toContain(caution.replaceAll("'", '&#39;').slice(0, 30));
    expect(page).not.toMatch(/https?:/);
  });
});

describe('sightstage screen', () => {
  const refused = async (edit: (folder: string) => void, ...more: readonly string[]) => {
    const folder = mkdtempSync(join(tmpdir(), 'sightstage-screen-bad-'));
    cpSync(at('runs.csv'), join(folder, 'runs.csv'));
    cpSync(at('logs'), join(folder, 'logs'), { recursive: true });
    writeFileSync(join(folder, 'gauges.json'), '{"gauges":[]}');
    edit(folder);
    const { exitCode, err } = await runCaught([
      ...['screen', join(folder, 'runs.csv'), '--gauges', join(folder, 'gauges.json'), '--out', join(folder, 'out')],
      ...more,
    ]);
    rmSync(folder, { recursive: true });
    expect(exitCode).toBe(2);
    return err.replace(/\s+/g, ' ');
  };
  const table = (text: string) => (folder: string) => writeFileSync(join(folder, 'runs.csv'), text);
  const HEAD = 'run,name,log,timeZone,classes,latitude,longitude\n';

  it.each([
    ['run,name\na,b\n', 'runs.csv, row 1: found no column log, timeZone, classes'],
    [`${HEAD}a b,A,logs/run-1.csv,UTC,low|good,,\n`, "runs.csv row 2, column run: found 'a b'"],
    [`${HEAD}a,A,logs/run-1.csv,UTC,low,,\n`, "runs.csv row 2, column classes: found 'low', expected at least two"],
    [`${HEAD}a,A,../x.csv,UTC,low|good,,\n`, "runs.csv row 2, column log: found '../x.csv'"],
    [`${HEAD}a,A,logs/none.csv,UTC,low|good,,\n`, 'logs/none.csv: found no such file'],
    [`${HEAD}a,A,logs/run-1.csv,UTC,low|good,95,3\n`, "runs.csv row 2, column latitude: found '95'"],
    [`${HEAD}a,A,logs/run-1.csv,Nowhere/None,low|good,,\n`, 'runs.csv row 2: '],
  ])('names the place of what is wrong with a table: %j', async (text, says) => {
    expect(await refused(table(text))).toContain(says);
  });

  it('names what is wrong with the gauges and with its options', async () => {
    expect(await refused((folder) => writeFileSync(join(folder, 'gauges.json'), '{'))).toContain('gauges.json: found');
    expect(await refused(() => undefined)).toContain('found an empty list of gauges');
    expect(await refused(() => undefined, '--shard', '9/8')).toContain("found '9/8', expected i/n with i from 1 to n");
    expect(await refused(() => undefined, '--rate', '2')).toContain("found '2', expected a share between 0 and 1");
    const { exitCode, err } = await runCaught(['gather', at('logs')]);
    expect([exitCode, err]).toEqual([2, expect.stringContaining('holds no plan.json')]);
  });

  it('prints the runs with a gauge to begin with, those without, and every caution', async () => {
    const { exitCode, out } = await runCaught(['gather', at('whole')]);
    const flat = out.replace(/\s+/g, ' ');
    // The first look alone recommends nothing.
    expect(exitCode).toBe(3);
    expect(flat).toContain('8 runs, 40 pairs: 0 runs with a gauge to begin with');
    expect(flat).toContain('No gauge tells of 8 runs: Run 1, Run 2');
    for (const caution of CAUTIONS) expect(flat).toContain(caution);
  });
});
