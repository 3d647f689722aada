import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, lstatSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { smallCreek, writeFolder } from './smallCreek.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = join(root, 'dist/show/write/writeFileSet.js');
const main = join(root, 'dist/show/cli/main.js');
const NAMES = ['chart.html', 'chart.json', 'chart.csv', 'chart.md', 'not-used.csv', 'trust.json', 'gauges.json'];

/** Writes sets 1, 2, 3, … over each other until it is killed; every second one lacks trust.json and gauges.json. */
const WRITER = `
import { writeFile } from 'node:fs/promises';
const [, there, folder, first] = process.argv;
const { writeFileSet } = await import(there);
const { nodeFiles } = await import(new URL('fileOps.js', there));
// A kill does not lose what was not yet on the disk, so the wait for the disk proves nothing here.
const fs = { ...nodeFiles, writeNew: (path, text) => writeFile(path, text, { flag: 'wx' }) };
const names = ${JSON.stringify(NAMES)};
let started = performance.now();
for (let n = Number(first); ; n++) {
  const files = new Map(names.slice(0, n % 2 === 0 ? 7 : 5).map((name) => [name, ('set ' + n + ' of ' + name + '\\n').repeat(200)]));
  await writeFileSet(folder, files, { owned: names, fs });
  if (n === Number(first)) started = performance.now();
  if (n === Number(first) + 1) process.stdout.write(String(performance.now() - started));
}`;

let place: string;
beforeAll(() => {
  if (!existsSync(built)) throw new Error('this tests the built package: npm run build first');
  place = mkdtempSync(join(tmpdir(), 'sightstage-killed-'));
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

const ended = (child: ChildProcess) =>
  new Promise<void>((done) => {
    if (child.exitCode !== null || child.signalCode !== null) done();
    else child.once('exit', () => done());
  });
const firstWord = (child: ChildProcess) =>
  new Promise<string>((done) => child.stdout!.once('data', (word) => done(String(word))));
const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));
const temporaries = (folder: string) => readdirSync(folder).filter((name) => name.startsWith('.'));

/** The number of the one set that all files are of. */
function setNumber(folder: string): number {
  const found = NAMES.filter((name) => existsSync(join(folder, name)));
  const numbers = found.map((name) => {
    const lines = readFileSync(join(folder, name), 'utf8').split('\n');
    const match = /^set (\d+) of (.*)$/.exec(lines[0]!);
    expect(match?.[2], `${name} begins with its own name`).toBe(name);
    expect(lines.length, `${name} is whole`).toBe(201);
    return Number(match![1]);
  });
  expect(new Set(numbers).size, `one set, not ${numbers.join(', ')}`).toBe(1);
  expect(found.length, `all files of set ${numbers[0]!}`).toBe(numbers[0]! % 2 === 0 ? 7 : 5);
  return numbers[0]!;
}

describe('a run that is killed', () => {
  it('leaves one whole set, 30 times at points spread over the writing, and the next run clears up', async () => {
    const folder = join(place, 'creek');
    let [last, leftovers, halfTurned] = [0, 0, 0];
    for (let i = 0; i < 30; i++) {
      const child = spawn(
        process.execPath,
        ['--input-type=module', '-e', WRITER, pathToFileURL(built).href, folder, String(last + 1)],
        { stdio: ['ignore', 'pipe', 'inherit'] },
      );
      // How long a set takes on this machine now: the kills fall within the two that follow.
      const takes = Number(await firstWord(child));
      await pause((2 * takes * i) / 30);
      child.kill('SIGKILL');
      await ended(child);
      const now = setNumber(folder);
      expect(now).toBeGreaterThanOrEqual(last + 2);
      // It has cleared up after those before it, and leaves no more than its own folder and its lock.
      expect(temporaries(folder).length).toBeLessThanOrEqual(2);
      last = now;
      if (temporaries(folder).length > 0) leftovers++;
      if (NAMES.some((name) => lstatSync(join(folder, name), { throwIfNoEntry: false })?.isSymbolicLink()))
        halfTurned++;
    }
    // The kills did meet runs at work: sets were finished, runs were cut, some of them between the first and the last name.
    expect(last).toBeGreaterThanOrEqual(60);
    expect(leftovers).toBeGreaterThan(6);
    expect(halfTurned).toBeGreaterThan(0);
    const { writeFileSet } = (await import(
      pathToFileURL(built).href
    )) as typeof import('../../src/show/write/writeFileSet.js');
    await writeFileSet(folder, new Map([['chart.md', 'set']]), { owned: NAMES });
    expect(readdirSync(folder)).toEqual(['chart.md']);
  });

  it('leaves the chart of the command itself whole', async () => {
    writeFolder(join(place, 'in'), smallCreek());
    const out = join(place, 'out');
    const folder = join(out, 'sorrel-creek');
    const chart = (seed: number) =>
      spawn(
        process.execPath,
        [
          main,
          'chart',
          join(place, 'in'),
          '--out',
          out,
          '--quick',
          '--quiet',
          '--lag',
          '1..2',
          '--storage',
          '0..0',
          '--seed',
          String(seed),
        ],
        {
          stdio: 'ignore',
        },
      );
    const seedsOf = () =>
      ['chart.json', 'chart.md', 'chart.csv', 'chart.html'].map(
        (name) => /(?:"seed": |seed )(\d+)/.exec(readFileSync(join(folder, name), 'utf8'))?.[1],
      );
    const started = performance.now();
    await ended(chart(1));
    const takes = performance.now() - started;
    expect(seedsOf()).toEqual(['1', '1', '1', '1']);
    for (const [i, share] of [0.9].entries()) {
      const child = chart(i + 2);
      await pause(share * takes);
      child.kill('SIGKILL');
      await ended(child);
      expect(new Set(seedsOf()).size, `seeds ${seedsOf().join(', ')}`).toBe(1);
    }
  });
});
