import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { smallCreek, writeFolder } from '../safety/smallCreek.js';

const main = fileURLToPath(new URL('../../dist/show/cli/main.js', import.meta.url));

/** One surrounding of a run: nothing of it may show in a byte of the outputs. */
interface Surrounding {
  readonly env: Readonly<Record<string, string>>;
  /** Where the run stands, below the test's own folder, and how it names the folders from there. */
  readonly cwd: string;
  readonly input: string;
  readonly out: string;
  /** Processor cores that the system gives it; default all. */
  readonly cores?: number;
}

const SURROUNDINGS = {
  'in UTC, plain locale': { env: { TZ: 'UTC', LC_ALL: 'C', LANG: 'C' }, cwd: '.', input: 'a', out: 'out-a' },
  'in Samoa, Turkish, one core, another folder, later': {
    env: {
      TZ: 'Pacific/Apia',
      LC_ALL: 'tr_TR.UTF-8',
      LANG: 'tr_TR.UTF-8',
      COLUMNS: '200',
      USER: 'x',
      HOME: '/nowhere',
    },
    cwd: 'elsewhere/deep',
    input: '../b c',
    out: 'out',
    cores: 1,
  },
} as const satisfies Record<string, Surrounding>;

describe('the same input, seed and version', () => {
  let place: string;
  beforeAll(() => {
    if (!existsSync(main)) throw new Error('this tests the built package: npm run build first');
    place = mkdtempSync(join(tmpdir(), 'sightstage-same-'));
    mkdirSync(join(place, 'elsewhere/deep'), { recursive: true });
    writeFolder(join(place, 'a'), smallCreek());
    // The same texts put down in another order, at another time.
    writeFolder(join(place, 'elsewhere/b c'), new Map([...smallCreek()].reverse()));
    for (const name of smallCreek().keys()) utimesSync(join(place, 'elsewhere/b c', name), 1e9, 1e9);
  });
  afterAll(() => rmSync(place, { recursive: true, force: true }));

  /** Digest of each output, and of what was printed. */
  function digests({ env, cwd, input, out, cores }: Surrounding): Readonly<Record<string, string>> {
    const here = join(place, cwd);
    const pin = cores === undefined || !existsSync('/usr/bin/taskset') ? [] : ['/usr/bin/taskset', '-c', '0'];
    const run = (...args: string[]) => {
      const [program, ...rest] = [...pin, process.execPath, main, ...args];
      const done = spawnSync(program!, rest, { cwd: here, env: { PATH: '/usr/bin:/bin', ...env }, encoding: 'utf8' });
      expect(done.status, done.stderr).toBe(0);
      return done.stdout.replaceAll(join(out, 'sorrel-creek'), 'OUT');
    };
    const bounds = ['--lag', '1..2', '--storage', '0..1'];
    const limit = cores !== undefined && run('chart', '--help').includes('--cores') ? ['--cores', String(cores)] : [];
    const said =
      run('chart', input, '--out', out, '--quick', ...bounds, ...limit) +
      run('card', input, '--out', out, '--no-pictures');
    const folder = join(here, out, 'sorrel-creek');
    // made-from.txt alone says where the folders lie.
    const files = readdirSync(folder)
      .filter((name) => name !== 'made-from.txt')
      .sort()
      .map((name) => [name, readFileSync(join(folder, name))] as const);
    return Object.fromEntries(
      [...files, ['what was printed', said] as const].map(([name, bytes]) => [
        name,
        createHash('sha256').update(bytes).digest('hex'),
      ]),
    );
  }

  it('give the same bytes in another time zone, locale, folder and number of cores', () => {
    const [first, second] = Object.values(SURROUNDINGS).map(digests);
    expect(Object.keys(first!)).toEqual(
      expect.arrayContaining([
        'chart.csv',
        'chart.html',
        'chart.json',
        'chart.md',
        'not-used.csv',
        'trust.json',
        'gauges.json',
      ]),
    );
    expect(second).toEqual(first);
  });

  it('did meet another locale and zone in the second run', () => {
    const { env } = SURROUNDINGS['in Samoa, Turkish, one core, another folder, later'];
    const asked = spawnSync(process.execPath, ['-p', '[(1234.5).toLocaleString(), new Date(0).getHours()].join(" ")'], {
      env,
      encoding: 'utf8',
    });
    expect(asked.stdout.trim()).toBe('1.234,5 13');
  });
});
