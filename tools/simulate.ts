/**
 * Do 80 % intervals hold 80 % of the time? 200 seeded creeks each with 25 and 80 visits, in three worlds (see makeCreek). Two processes;
 * every finished creek is a line of out/simulation.jsonl, so that a run that was stopped goes on where it was. Writes
 * validation/simulation.json. `npm run simulate -- --creeks 30` for a first look (written to out/ only).
 */
import { fork } from 'node:child_process';
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { VERSION } from '../src/series/version.js';
import { fitCreek, type Outcome } from './simulate/fitCreek.js';
import type { World } from './simulate/makeCreek.js';
import { summarise } from './simulate/summarise.js';

const WORLDS: readonly World[] = ['model', 'priors', 'broken'];
const VISITS = [25, 80];
const FULL = 200;
const CHECKPOINT = 'out/simulation.jsonl';
const DRAWS = 600;

const { values } = parseArgs({
  options: {
    creeks: { type: 'string', default: String(FULL) },
    part: { type: 'string' },
    fresh: { type: 'boolean', default: false },
  },
});
const creeks = Number(values.creeks);
if (!Number.isInteger(creeks) || !(creeks > 0))
  throw new RangeError(`--creeks must be a positive whole number, got ${values.creeks}`);

if (values.part !== undefined) work(Number(values.part));
else await direct();

/** The cases of this run, in the order they are done. */
function cases(): { world: World; visits: number; seed: number }[] {
  return WORLDS.flatMap((world) =>
    VISITS.flatMap((visits) => Array.from({ length: creeks }, (_, i) => ({ world, visits, seed: i + 1 }))),
  );
}

function finished(): Map<string, Outcome> {
  const lines = existsSync(CHECKPOINT) ? readFileSync(CHECKPOINT, 'utf8').trim().split('\n') : [];
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

function key({ world, visits, seed }: { world: World; visits: number; seed: number }): string {
  return `${world}/${visits}/${seed}`;
}

/** One of two workers: every second case that isn't done. */
function work(part: number): void {
  const done = finished();
  cases().forEach((c, i) => {
    if (i % 2 !== part || done.has(key(c))) return;
    appendFileSync(CHECKPOINT, `${JSON.stringify(fitCreek(c.world, { ...c, draws: DRAWS }))}\n`);
    process.send?.(key(c));
  });
}

async function direct(): Promise<void> {
  mkdirSync('out', { recursive: true });
  if (values.fresh) writeFileSync(CHECKPOINT, '');
  const total = cases().length;
  let done = [...finished().keys()].filter((k) => cases().some((c) => key(c) === k)).length;
  await Promise.all(
    [0, 1].map(
      (part) =>
        new Promise<void>((resolve, reject) => {
          const child = fork(fileURLToPath(import.meta.url), ['--part', String(part), '--creeks', String(creeks)], {
            execArgv: ['--import', 'tsx'],
          });
          child.on('message', () => {
            done++;
            if (done % 20 === 0) console.error(`${done} of ${total}`);
          });
          child.on('exit', (code) => (code === 0 ? resolve() : reject(new Error(`worker ${part} ended with ${code}`))));
        }),
    ),
  );
  const all = finished();
  const summary = {
    command: 'npm run simulate',
    version: VERSION,
    creeksPerBlock: creeks,
    drawsPerFit: DRAWS,
    worlds: Object.fromEntries(
      WORLDS.map((world) => [
        world,
        Object.fromEntries(
          VISITS.map((visits) => [
            `${visits} visits`,
            summarise(
              cases()
                .filter((c) => c.world === world && c.visits === visits)
                .map((c) => all.get(key(c))!),
            ),
          ]),
        ),
      ]),
    ),
  };
  const text = `${JSON.stringify(summary, null, 2)}\n`;
  const file = creeks === FULL ? 'validation/simulation.json' : 'out/simulation.json';
  mkdirSync('validation', { recursive: true });
  writeFileSync(file, text);
  console.log(text);
  console.log(`Written to ${file}.`);
}
