/**
 * A country screened: 200 runs against 50 gauges of three years of hours, and the half and a quarter of the runs, each in a process of its
 * own. `npx tsx bench/screen.ts` prints the rows alone.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { screenShard } from '../src/show/screen/screenFolder.js';
import { writeCountry } from '../tools/screen/writeCountry.js';
import type { LimitRow } from './limits.js';
import { inChild, type Measured } from './inChild.js';

const GAUGES = 50;
const RUNS = [50, 100, 200];

/** Pairs, seconds a pair, memory, and how the work grows with the pairs. */
export function timeScreen(): readonly LimitRow[] {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-bench-'));
  try {
    writeCountry(folder, { runs: Math.max(...RUNS), gauges: GAUGES, tellsEvery: 4 });
    const all = RUNS.map((runs) => ({ runs, ...inChild('screen.ts', folder, String(runs)) }));
    const [few, half, whole] = all as [Row, Row, Row];
    // Reading the gauges is done once, whatever the number of runs: the two larger ones tell what pairs cost.
    const perPair = (whole.seconds - half.seconds) / ((whole.runs - half.runs) * GAUGES);
    const reading = Math.max(0, few.seconds - perPair * few.runs * GAUGES);
    const exponent = Math.log((whole.seconds - reading) / (few.seconds - reading)) / Math.log(whole.runs / few.runs);
    const from = performance.now();
    const main = fileURLToPath(new URL('../dist/show/cli/main.js', import.meta.url));
    const asked = ['--gauges', folder, '--out', join(folder, 'out-both'), '--no-fit', '--cores', '2'];
    const ran = spawnSync(process.execPath, [main, 'screen', join(folder, 'runs.csv'), ...asked], { encoding: 'utf8' });
    if (ran.status !== 0 && ran.status !== 3) throw new Error(ran.stderr);
    const clock = (performance.now() - from) / 1000;
    return [
      [
        `first look at ${whole.runs} runs × ${GAUGES} gauges of three years of hours, one process`,
        `${whole.seconds.toFixed(1)} s, of that ${reading.toFixed(1)} s reading each gauge once; ${(1000 * perPair).toFixed(2)} ms a pair`,
        '',
      ],
      [
        `peak memory with ${all.map(({ runs }) => runs * GAUGES).join(', ')} pairs`,
        all.map(({ peakMb }) => `${peakMb.toFixed(0)} MB`).join(', '),
        'flat',
      ],
      ['the same on two cores, from reading to results', `${clock.toFixed(1)} s by the clock`, ''],
      ['exponent of the work in the number of pairs', exponent.toFixed(2), 'at most 1'],
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

type Row = Measured & { readonly runs: number };

/** The first so many runs of the country, as one shard of several. */
async function measured(folder: string, runs: number): Promise<Measured> {
  const from = process.cpuUsage();
  const options = { gauges: folder, rate: 0.05, seed: 1, fit: false, cores: 1, before: 'fresh' as const };
  const shard = { i: 1, n: Math.max(...RUNS) / runs };
  const { made } = await screenShard(join(folder, 'runs.csv'), { ...options, out: join(folder, `out-${runs}`), shard });
  const { user, system } = process.cpuUsage(from);
  return { seconds: (user + system) / 1e6, peakMb: process.resourceUsage().maxRSS / 1024, check: made };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [folder, runs] = process.argv.slice(2);
  if (folder === undefined) console.log(timeScreen());
  else console.log(JSON.stringify(await measured(folder, Number(runs))));
}
