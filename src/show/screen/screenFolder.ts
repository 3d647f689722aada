import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { screenTable, type ScreenResult } from '../../tell/screenDocument.js';
import { tidy } from '../../tell/table.js';
import { WrongUse } from '../cli/exitCodes.js';
import { screenPage } from '../page/screenPage.js';
import { csvTable, type CsvValue } from '../text/csvTable.js';
import { plainText } from '../text/plainText.js';
import { stableJson } from '../write/stableJson.js';
import { writeFileSet } from '../write/writeFileSet.js';
import { parquetOf } from './parquet.js';
import { readScreening, stationsOf } from './readScreen.js';
import { screenRun, taskKey, type RunScreen, type ScreenOptions } from './screenRun.js';

/** Shard i of n: every n-th run, from the i-th on. */
export interface Shard {
  readonly i: number;
  readonly n: number;
}

export interface ScreenFolderOptions extends ScreenOptions {
  readonly gauges: string;
  readonly out: string;
  readonly shard?: Shard;
  /** Whether results that stand in `out` are taken (`resume`), made anew (`fresh`), or a reason to stop. */
  readonly before?: 'resume' | 'fresh';
  /** Processes; default all cores. Changes nothing in the results. */
  readonly cores?: number;
  readonly onRun?: (done: number, total: number) => void;
  /** Told each gauge whose files are read. */
  readonly onRead?: (gauge: string) => void;
}

/** The plan of a screening as it stands in `out`: the tasks in the order of the table. */
interface Plan {
  readonly kind: 'screen-plan';
  readonly rate: number;
  readonly tasks: readonly { readonly run: string; readonly key: string }[];
}

const planAt = (out: string) => join(out, 'plan.json');
const taskAt = (out: string, key: string) => join(out, 'tasks', `${key}.json`);

/**
 * Screens the runs of a table against gauges, each run a task of its own whose answer is a file named by everything it depends on: a run
 * that was interrupted goes on with `resume`, and shards may run anywhere that sees `out`.
 * @returns how many tasks of this shard were made and how many stood already
 * @throws WrongUse for inputs that can't be used, and where results stand in `out` and nothing is said about them
 */
export async function screenShard(
  table: string,
  {
    gauges,
    out,
    shard = { i: 1, n: 1 },
    before,
    cores = availableParallelism(),
    onRun,
    onRead,
    ...options
  }: ScreenFolderOptions,
): Promise<{ readonly made: number; readonly kept: number }> {
  const screening = readScreening(table, gauges);
  const tasks = screening.runs.map((run) => ({ run: run.id, key: taskKey(run, screening, options) }));
  mkdirSync(join(out, 'tasks'), { recursive: true });
  const plan: Plan = { kind: 'screen-plan', rate: options.rate, tasks };
  writeWhole(planAt(out), stableJson(plan));
  const mine = [...tasks.keys()].filter((t) => t % shard.n === shard.i - 1);
  const standing = mine.filter((t) => existsSync(taskAt(out, tasks[t]!.key)));
  if (standing.length > 0 && before === undefined)
    throw new WrongUse(
      `${plainText(out)} holds ${standing.length} of ${mine.length} results of this screening: ` +
        'go on with --resume, or make all anew with --fresh',
    );
  if (before === 'fresh') for (const t of standing) rmSync(taskAt(out, tasks[t]!.key));
  const owed = before === 'resume' ? mine.filter((t) => !standing.includes(t)) : mine;
  const kept = mine.length - owed.length;
  onRun?.(kept, mine.length);
  if (cores > 1 && owed.length > 1) {
    await inProcesses(table, { gauges, out, shard, cores: Math.min(cores, owed.length), ...options }, (done) =>
      onRun?.(kept + done, mine.length),
    );
    return { made: owed.length, kept };
  }
  const stations = stationsOf(screening, onRead === undefined ? {} : { onRead });
  for (const [done, t] of owed.entries()) {
    const answer = await screenRun(screening.runs[t]!, screening, { ...options, stations });
    writeWhole(taskAt(out, tasks[t]!.key), stableJson(answer));
    onRun?.(kept + done + 1, mine.length);
  }
  return { made: owed.length, kept };
}

/** The same shard cut once more, a process each; what each has written stands, whatever becomes of the others. */
async function inProcesses(
  table: string,
  {
    gauges,
    out,
    shard: { i, n },
    cores,
    rate,
    seed,
    fit,
  }: ScreenOptions & { gauges: string; out: string; shard: Shard; cores: number },
  onDone: (done: number) => void,
): Promise<void> {
  const main = fileURLToPath(new URL('../cli/main.js', import.meta.url));
  const done = new Array<number>(cores).fill(0);
  const one = (k: number) =>
    new Promise<void>((resolve, reject) => {
      const args = [main, 'screen', table, '--gauges', gauges, '--out', out, '--resume', '--cores', '1', '--each'];
      const more = ['--shard', `${i + n * k}/${n * cores}`, '--rate', String(rate), '--seed', String(seed)];
      const child = spawn(process.execPath, [...args, ...more, ...(fit ? [] : ['--no-fit'])], {
        stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      });
      let said = '';
      let kept: number | undefined;
      child.stderr!.setEncoding('utf8').on('data', (text: string) => (said += text));
      child.on('message', (finished: number) => {
        kept ??= finished;
        done[k] = finished - kept;
        onDone(done.reduce((a, b) => a + b, 0));
      });
      child.on('error', reject);
      child.on('exit', (code) =>
        code === 0 ? resolve() : reject(new Error(said.trim() || `a process ended with ${code}`)),
      );
    });
  await Promise.all(Array.from({ length: cores }, (_, k) => one(k)));
}

export interface Gathered {
  readonly result: ScreenResult;
  readonly files: { readonly html: string; readonly csv: string; readonly parquet: string | undefined };
}

/**
 * Puts the results of all shards together, in the order of the table, and writes screen.csv, index.html and, with the library for it,
 * screen.parquet.
 * @throws WrongUse where there is no plan, or results are missing, with how many
 */
export async function gatherScreen(out: string): Promise<Gathered> {
  if (!existsSync(planAt(out))) throw new WrongUse(`${plainText(out)} holds no plan.json: run sightstage screen first`);
  const { tasks, rate } = JSON.parse(readFileSync(planAt(out), 'utf8')) as Plan;
  const missing = tasks.filter(({ key }) => !existsSync(taskAt(out, key)));
  if (missing.length > 0)
    throw new WrongUse(
      `${missing.length} of ${tasks.length} results are missing, the first of run '${missing[0]!.run}': run its shard again with --resume`,
    );
  const answers = tasks.map(({ key }) => JSON.parse(readFileSync(taskAt(out, key), 'utf8')) as RunScreen);
  const result: ScreenResult = {
    kind: 'screen',
    rows: answers.flatMap(({ rows }) => rows),
    problems: answers.flatMap(({ problem }) => (problem === null ? [] : [problem])),
    rate,
  };
  const made = tidy(screenTable(result.rows));
  const heads = Object.keys(made.columns);
  const cells = made.rows.map((row) => heads.map((head) => (row as Readonly<Record<string, CsvValue>>)[head]));
  const parquet = await parquetOf(made);
  await writeFileSet(
    out,
    new Map<string, string | Uint8Array>([
      ['index.html', screenPage(result)],
      ['screen.csv', csvTable(heads, cells)],
      ...(parquet === undefined ? [] : [['screen.parquet', parquet] as const]),
    ]),
  );
  const at = (name: string) => join(out, name);
  return { result, files: { html: at('index.html'), csv: at('screen.csv'), parquet: parquet && at('screen.parquet') } };
}

/** A file that is there whole or not at all. */
function writeWhole(path: string, text: string): void {
  const half = `${path}.${process.pid}`;
  writeFileSync(half, text);
  renameSync(half, path);
}
