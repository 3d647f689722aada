import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { parseArgs } from 'node:util';
import { createRandom } from '../src/kernel/random.js';
import { stableJson } from '../src/show/write/stableJson.js';
import { mutantsOf } from './mutation/mutants.js';
import { importDistances } from './mutation/nearestTests.js';

/*
 * Would the tests notice? A seeded sample of small changes of each room's sources, one at a time, in a copy of the project; a change that the nearest test files of the
 * room (by imports) pass has survived. npx tsx tools/mutation.ts [--mutants 10] [--rooms series,read] [--tests 4] [--minutes 60] [--out validation/mutation.json]
 */
const { values: options } = parseArgs({
  options: {
    mutants: { type: 'string', default: '10' },
    rooms: { type: 'string', default: 'series,read,align,kernel,judge' },
    tests: { type: 'string', default: '4' },
    minutes: { type: 'string', default: '60' },
    seed: { type: 'string', default: '1' },
    out: { type: 'string', default: 'validation/mutation.json' },
  },
});
const until = Date.now() + Number(options.minutes) * 60_000;
const copy = mkdtempSync(join(tmpdir(), 'mutation-'));
for (const name of [
  'src',
  'tests',
  'tools',
  'data-sample',
  'schema',
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

interface Survivor {
  readonly file: string;
  readonly line: number;
  readonly was: string;
  readonly by: string;
}

const soundRuns = new Map<string, boolean>();
/** Whether the tests pass on the sources as they are: those that do not can notice nothing. */
function sound(tests: readonly string[]): boolean {
  const key = tests.join();
  if (!soundRuns.has(key)) soundRuns.set(key, !fails(tests));
  return soundRuns.get(key)!;
}

/** Whether the tests fail; a run that never ends fails too. */
function fails(tests: readonly string[]): boolean {
  const args = [
    'node_modules/vitest/vitest.mjs',
    'run',
    ...tests,
    '--project',
    'plain',
    '--bail',
    '1',
    '--reporter',
    'dot',
  ];
  return (
    spawnSync(process.execPath, args, { cwd: copy, timeout: 300_000, env: { ...process.env, TZ: 'UTC' } }).status !== 0
  );
}

const rooms: object[] = [];
options.rooms.split(',').forEach((room, r) => {
  const share = until - (until - Date.now()) * (1 - 1 / (options.rooms.split(',').length - r));
  const random = createRandom(Number(options.seed));
  const distances = importDistances(filesOf(`tests/${room}`, '.test.ts').map((test) => join(copy, test)));
  const mutants = filesOf(`src/${room}`, '.ts').flatMap((file) =>
    mutantsOf(file, readFileSync(join(copy, file), 'utf8')).map((mutant) => ({ file, ...mutant })),
  );
  const survivors: Survivor[] = [];
  let tried = 0;
  for (; tried < Number(options.mutants) && Date.now() < share; tried++) {
    const { file, from, to, line, was, by } = mutants[random.integer(mutants.length)];
    const place = join(copy, file);
    const near = [...distances]
      .flatMap(([test, reach]) => (reach.has(place) ? [{ test, steps: reach.get(place)! }] : []))
      .sort((a, b) => a.steps - b.steps)
      .slice(0, Number(options.tests));
    const tests = near.map(({ test }) => relative(copy, test));
    const text = readFileSync(place, 'utf8');
    const usable = tests.length > 0 && sound(tests);
    writeFileSync(place, text.slice(0, from) + by + text.slice(to));
    const noticed = usable && fails(tests);
    writeFileSync(place, text);
    if (!noticed) survivors.push({ file, line, was: was.slice(0, 80), by });
    console.error(`${room} ${noticed ? 'killed  ' : 'SURVIVED'} ${file}:${line} ${was.slice(0, 60)} -> ${by}`);
  }
  rooms.push({ room, mutants: mutants.length, tried, killed: tried - survivors.length, survivors });
  // After each room: a long run that is cut off leaves what it found.
  writeFileSync(options.out, stableJson({ command: `npx tsx tools/mutation.ts --tests ${options.tests}`, rooms }));
});
rmSync(copy, { recursive: true });
