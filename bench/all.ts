/**
 * All benchmarks, one after the other, written to bench/RESULTS.md. Ratios are of two jobs in the same run, so they carry
 * over to other machines; seconds do not.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { timeFit } from './fit.js';
import { inChild, middle, type Measured } from './inChild.js';
import { timeLimits } from './limits.js';
import { timeOrdinal } from './ordinal.js';
import { rdbText } from './rdbText.js';
import { timeRefit } from './refit.js';
import { timeScreen } from './screen.js';
import { timeStart } from './start.js';

const ROWS = 1_000_000;
const REPEATS = 3;

function timeReading(): { ours: Measured; peer: Measured; ratio: number } {
  const folder = mkdtempSync(join(tmpdir(), 'sightstage-bench-'));
  try {
    const path = join(folder, 'million.rdb');
    writeFileSync(path, rdbText(ROWS));
    // In turns, so that a busy moment of the machine hits both sides alike.
    const pairs = Array.from({ length: REPEATS }, () => ({
      ours: inChild('readRdb.ts', 'ours', path, String(ROWS)),
      peer: inChild('readRdb.ts', 'peer', path, String(ROWS)),
    }));
    for (const { ours, peer } of pairs)
      if (ours.check !== peer.check) throw new Error(`the sides disagree: ${ours.check} and ${peer.check}`);
    const best = (side: 'ours' | 'peer'): Measured => ({
      seconds: middle(pairs.map((pair) => pair[side].seconds)),
      peakMb: middle(pairs.map((pair) => pair[side].peakMb)),
      check: pairs[0]![side].check,
    });
    return {
      ours: best('ours'),
      peer: best('peer'),
      ratio: middle(pairs.map(({ ours, peer }) => ours.seconds / peer.seconds)),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const load = loadavg()[1]!;
const reading = timeReading();
const fits = Array.from({ length: REPEATS }, timeFit);
const ordinal = timeOrdinal();
const refits = timeRefit();
const quick = timeStart(['--quick']);
const start = timeStart();
const limits = timeLimits();
const screened = timeScreen();
const rows = (of: readonly (readonly string[])[]) => of.map((row) => `| ${row.join(' | ')} |\n`).join('');
const s = (seconds: number) => `${seconds.toFixed(2)} s`;
const { ours, peer, ratio } = reading;
const fitSeconds = middle(fits.map((fit) => fit.fitSeconds));

const text = `# Benchmarks

Made by \`npm run build && npm run bench\`; reading and fitting are the middle of ${REPEATS} runs. Machine: ${cpus()[0]!.model}, ${cpus().length} cores, Node ${process.versions.node}; when it began,
${load.toFixed(1)} processes wanted a core. Seconds are processor seconds (user and system): waiting for others does not count, but sharing the caches with them does, by up to twice as much on a full machine.
They belong to that machine, the ratios carry over.

| job | figure | goal |
| --- | --- | --- |
| read 1,000,000 rows of RDB into a series with flags and approval | ${s(ours.seconds)}, peak ${ours.peakMb.toFixed(0)} MB | |
| the same rows by csv-parse in tab mode, times and numbers only, nothing kept | ${s(peer.seconds)}, peak ${peer.peakMb.toFixed(0)} MB | |
| ratio ours / csv-parse | ${ratio.toFixed(2)} | below 1 |
| grid of readings, 200 visits × 145 lags × 12 storages | ${s(middle(fits.map((fit) => fit.alignSeconds)))} | |
| full fit, 200 visits × 4 features × 145 lags × 12 storages | ${s(fitSeconds)} | under 3 s |
| lag found by that fit, true 3 h | ${fits[0]!.medianLagHours} h | |
${rows(ordinal)}${rows(refits)}| \`npm start\` from the built state: first chart, judging, comparing | ${s(start.cpu)} (${s(start.clock)} by the clock) | 75 s by the clock of two free cores |
| the same with \`--quick\` | ${s(quick.cpu)} (${s(quick.clock)} by the clock) | 20 s by the clock of two free cores |
${rows(limits)}${rows(screened)}`;
writeFileSync(new URL('./RESULTS.md', import.meta.url), text);
console.log(text);
