import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { parseArgs } from 'node:util';
import { SLOW } from '../tests/slowFirst.js';
import { createRandom } from '../src/kernel/random.js';
import { stableJson } from '../src/show/write/stableJson.js';
import { mutantsOf, type Mutant } from './mutation/mutants.js';
import { importDistances } from './mutation/nearestTests.js';

/*
 * Would the tests notice? A seeded sample of small changes of each room's sources, one at a time, in a copy of the project; a change has survived that passes the nearest
 * test files of the room (by imports) and then the nearest of the rooms that use it. npx tsx tools/mutation.ts [--mutants 10] [--rooms series,read] [--tests 4] [--seed 1] [--out validation/mutation.json]
 * With --again the survivors of the file are tried again, after tests were added: `killedLater` counts those that the new tests notice.
 */
const { values: options } = parseArgs({
  options: {
    mutants: { type: 'string', default: '10' },
    rooms: { type: 'string', default: 'series,read,align,kernel,judge' },
    tests: { type: 'string', default: '4' },
    seed: { type: 'string', default: '1' },
    out: { type: 'string', default: 'validation/mutation.json' },
    again: { type: 'boolean', default: false },
  },
});
const copy = mkdtempSync(join(tmpdir(), 'mutation-'));
for (const name of [
  'src',
  'tests',
  'tools',
  'data-sample',
  'schema',
  'validation',
  'docs',
  'package.json',
  'vitest.config.ts',
  'rooms.json',
  'tsconfig.json',
])
  cpSync(name, join(copy, name), { recursive: true });
symlinkSync(join(process.cwd(), 'node_modules'), join(copy, 'node_modules'));

/** Files below a folder of the copy whose names end so, sorted. */
const filesOf = (folder: string, ending: string): readonly string[] =>
  readdirSync(join(copy, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith(ending))
    .map((name) => join(folder, name))
    .sort();

/** One change, as it is named in the report. */
interface Change {
  readonly file: string;
  readonly line: number;
  readonly was: string;
  readonly by: string;
}
type Placed = Change & Mutant;

interface RoomReport {
  readonly room: string;
  readonly mutants: number;
  readonly tried: number;
  readonly killed: number;
  readonly killedLater: number;
  readonly survivors: readonly Change[];
}

const soundRuns = new Map<string, boolean>();
/** Whether the tests pass on the sources as they are: those that do not can notice nothing. */
function sound(test: string): boolean {
  if (!soundRuns.has(test)) soundRuns.set(test, !fails([test]));
  return soundRuns.get(test)!;
}

/** Whether the tests fail; a run that never ends fails too. */
function fails(tests: readonly string[]): boolean {
  const options = ['--project', 'plain', '--project', 'alone', '--bail', '1', '--reporter', 'dot', '--maxWorkers', '1'];
  const args = ['node_modules/vitest/vitest.mjs', 'run', ...tests, ...options];
  const env = { ...process.env, TZ: 'UTC' };
  // `timeout` ends the whole group: a test process in an endless loop would outlive its runner.
  return spawnSync('timeout', ['--signal=KILL', '300', process.execPath, ...args], { cwd: copy, env }).status !== 0;
}

/** Test files of a room and the reference values that reach a source file, the nearest by imports first. */
function testsNear(file: string, distances: ReadonlyMap<string, ReadonlyMap<string, number>>): readonly string[] {
  return [...distances]
    .flatMap(([test, reach]) => (reach.has(file) ? [{ test, steps: reach.get(file)! }] : []))
    .sort((a, b) => a.steps - b.steps)
    .map(({ test }) => relative(copy, test));
}

/** Whether the tests near a change notice it: the nearest of its room first, then as many again twice over, then those of other rooms. */
function noticed({ file, from, to, by }: Placed, tests: readonly string[], others: readonly string[]): boolean {
  const place = join(copy, file);
  const text = readFileSync(place, 'utf8');
  const each = Number(options.tests);
  for (const some of [tests.slice(0, each), tests.slice(each, 3 * each), others.slice(0, 2 * each)]) {
    const usable = some.filter(sound);
    if (usable.length === 0) continue;
    writeFileSync(place, text.slice(0, from) + by + text.slice(to));
    const failed = fails(usable);
    writeFileSync(place, text);
    if (failed) return true;
  }
  return false;
}

/** Some of a room's mutants, none twice, by the seed. */
function sampled(mutants: readonly Placed[]): readonly Placed[] {
  const random = createRandom(Number(options.seed));
  const left = [...mutants];
  return Array.from({ length: Math.min(Number(options.mutants), left.length) }, () =>
    left.splice(random.integer(left.length), 1),
  ).flat();
}

const told = ({ file, line, was, by }: Change): Change => ({ file, line, was: was.slice(0, 80), by });
/** Lines move when a source is edited: a survivor is found again by its file and texts, the nearest line first. */
function foundAgain(survivor: Change, mutants: readonly Placed[]): Placed | undefined {
  const same = mutants.filter(
    (m) => m.file === survivor.file && m.was.slice(0, 80) === survivor.was && m.by === survivor.by,
  );
  return same.sort((a, b) => Math.abs(a.line - survivor.line) - Math.abs(b.line - survivor.line))[0];
}

const before: RoomReport[] = options.again
  ? (JSON.parse(readFileSync(options.out, 'utf8')) as { rooms: RoomReport[] }).rooms
  : [];
/** Rooms whose tests use the others, and need neither the built program nor ten seconds a file. */
const USERS = ['read', 'align', 'fit', 'judge', 'hostile', 'sample'];
/** How far the test files of some folders are from each source. */
const distancesFrom = (folders: readonly string[], without: readonly string[] = []) =>
  importDistances(
    folders
      .flatMap((folder) => filesOf(`tests/${folder}`, '.test.ts'))
      .filter((test) => !without.some((name) => test.includes(name)))
      .map((test) => join(copy, test)),
  );
const reports: RoomReport[] = before.filter(({ room }) => !options.rooms.split(',').includes(room));
for (const room of options.rooms.split(',')) {
  const own = distancesFrom([room, 'reference']);
  const others = distancesFrom(
    USERS.filter((user) => user !== room),
    SLOW,
  );
  const mutants = filesOf(`src/${room}`, '.ts').flatMap((file) =>
    mutantsOf(file, readFileSync(join(copy, file), 'utf8')).map((mutant) => ({ file, ...mutant })),
  );
  const earlier = before.find((report) => report.room === room);
  const trying = earlier?.survivors.flatMap((survivor) => foundAgain(survivor, mutants) ?? []) ?? sampled(mutants);
  const survivors = trying.filter((mutant) => {
    const place = join(copy, mutant.file);
    const killed = noticed(mutant, testsNear(place, own), testsNear(place, others));
    console.error(
      `${killed ? 'killed  ' : 'SURVIVED'} ${mutant.file}:${mutant.line} ${mutant.was.slice(0, 60)} -> ${mutant.by}`,
    );
    return !killed;
  });
  const killedNow = trying.length - survivors.length;
  reports.push({
    room,
    mutants: earlier?.mutants ?? mutants.length,
    tried: earlier?.tried ?? trying.length,
    killed: earlier?.killed ?? killedNow,
    killedLater: earlier === undefined ? 0 : earlier.killedLater + killedNow,
    survivors: survivors.map(told),
  });
  // After each room: a long run that is cut off leaves what it found.
  const command = `npx tsx tools/mutation.ts --mutants ${options.mutants} --seed ${options.seed}`;
  const waiting = before.filter((report) => reports.every((done) => done.room !== report.room));
  writeFileSync(options.out, stableJson({ command, rooms: [...reports, ...waiting] }));
}
rmSync(copy, { recursive: true });
