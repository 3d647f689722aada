/**
 * Do 80 % intervals hold 80 % of the time? 200 seeded creeks each with 25 and 80 visits, in three worlds (see makeCreek). Two processes;
 * every finished creek is a line of a checkpoint in out/, so that a run that was stopped goes on where it was (not across a change of the
 * code). Writes validation/simulation.json. `npx tsx tools/simulate/creeks.ts --creeks 30` for a first look, written to out/ only.
 */
import { fork } from 'node:child_process';
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { VERSION } from '../../src/series/version.js';
import { stableJson } from '../../src/show/write/stableJson.js';
import { fingerprint } from './fingerprint.js';
import { fitCreek, type Outcome } from './fitCreek.js';
import type { World } from './makeCreek.js';
import { summarise } from './summarise.js';
import { roundAll } from '../validate/roundAll.js';

const WORLDS: readonly World[] = ['model', 'priors', 'broken'];
const VISITS = [25, 80];
const FULL = 200;
const WORKERS = 2;
/** As many as a chart takes. */
const DRAWS = 1000;

const { values } = parseArgs({
  options: {
    creeks: { type: 'string', default: String(FULL) },
    part: { type: 'string' },
    checkpoint: { type: 'string', default: `out/simulation-${fingerprint()}.jsonl` },
  },
});
const creeks = Number(values.creeks);
if (!Number.isInteger(creeks) || !(creeks > 0))
  throw new RangeError(`--creeks must be a positive whole number, got ${values.creeks}`);

if (values.part !== undefined) work(Number(values.part));
else await direct();

/** The cases of this run, in the order they are done: all blocks grow together, so that a stopped run has something to say of each. */
function cases(): { world: World; visits: number; seed: number }[] {
  return Array.from({ length: creeks }, (_, i) => i + 1).flatMap((seed) =>
    WORLDS.flatMap((world) => VISITS.map((visits) => ({ world, visits, seed }))),
  );
}

function key({ world, visits, seed }: { world: World; visits: number; seed: number }): string {
  return `${world}/${visits}/${seed}`;
}

function finished(): Map<string, Outcome> {
  const lines = existsSync(values.checkpoint) ? readFileSync(values.checkpoint, 'utf8').trim().split('\n') : [];
  // A last line cut short by a kill is done again.
  const outcomes = lines.flatMap((line) => {
    try {
      return [JSON.parse(line) as Outcome];
    } catch {
      return [];
    }
  });
  return new Map(outcomes.map((o) => [key(o), o]));
}

/** One of the workers: its share of the cases that aren't done. */
function work(part: number): void {
  const done = finished();
  cases().forEach((c, i) => {
    // Neighbours differ in their number of visits, so shares are dealt by pairs.
    if (Math.floor(i / VISITS.length) % WORKERS !== part || done.has(key(c))) return;
    appendFileSync(values.checkpoint, `${JSON.stringify(fitCreek(c.world, { ...c, draws: DRAWS }))}\n`);
    process.send?.(key(c));
  });
}

async function direct(): Promise<void> {
  mkdirSync('out', { recursive: true });
  const all = cases();
  const before = finished();
  let done = all.filter((c) => before.has(key(c))).length;
  if (done > 0) console.error(`${done} of ${all.length} are done already`);
  await Promise.all(
    Array.from(
      { length: WORKERS },
      (_, part) =>
        new Promise<void>((resolve, reject) => {
          const args = ['--part', String(part), '--creeks', String(creeks), '--checkpoint', values.checkpoint];
          const child = fork(fileURLToPath(import.meta.url), args, { execArgv: ['--import', 'tsx'] });
          child.on('message', () => {
            if (++done % 20 === 0) console.error(`${done} of ${all.length}`);
          });
          child.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`worker ${part} ended with ${code}`))));
        }),
    ),
  );
  const outcomes = finished();
  const block = (world: World, visits: number) =>
    summarise(all.filter((c) => c.world === world && c.visits === visits).map((c) => outcomes.get(key(c))!));
  const summary = {
    kind: 'simulation',
    command: `npx tsx tools/simulate/creeks.ts${creeks === FULL ? '' : ` --creeks ${creeks}`}`,
    version: VERSION,
    creeksPerBlock: creeks,
    drawsPerFit: DRAWS,
    worlds: Object.fromEntries(
      WORLDS.map((world) => [
        world,
        Object.fromEntries(VISITS.map((visits) => [`${visits} visits`, block(world, visits)])),
      ]),
    ),
  };
  const file = creeks === FULL ? 'validation/simulation.json' : 'out/simulation.json';
  mkdirSync('validation', { recursive: true });
  writeFileSync(file, stableJson(roundAll(summary)));
  console.log(`Written to ${file}.`);
}
