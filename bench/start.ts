/** `npm start` from the built state: the sample all the way to its files. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
/** Loaded before the program: at its end it writes the processor seconds since the process began. */
const COUNTER =
  'data:text/javascript,process.on("exit",()=>{const{user,system}=process.cpuUsage();console.log((user+system)/1e6)})';

/** Processor (all cores) and clock seconds of the whole process. Needs `npm run build` first. */
export function timeStart(more: readonly string[] = []): { cpu: number; clock: number } {
  const out = mkdtempSync(join(tmpdir(), 'sightstage-bench-'));
  try {
    const from = performance.now();
    const args = [
      '--import',
      COUNTER,
      'dist/show/cli/main.js',
      'chart',
      'data-sample',
      '--out',
      out,
      '--quiet',
      ...more,
    ];
    const run = spawnSync(process.execPath, args, { cwd: root, encoding: 'utf8' });
    if (run.status !== 0) throw new Error(`chart ended with ${run.status}: ${run.stderr}`);
    return { cpu: Number(run.stdout.trim().split('\n').at(-1)), clock: (performance.now() - from) / 1000 };
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}
