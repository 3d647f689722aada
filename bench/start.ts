/** `npm start` from the built state: the sample all the way to its files. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Seconds from the call to the end of the process. Needs `npm run build` first. */
export function timeStart(): number {
  const out = mkdtempSync(join(tmpdir(), 'sightstage-bench-'));
  try {
    const from = performance.now();
    const run = spawnSync(
      process.execPath,
      ['dist/show/cli/main.js', 'chart', 'data-sample', '--out', out, '--quiet'],
      {
        cwd: root,
        encoding: 'utf8',
      },
    );
    if (run.status !== 0) throw new Error(`chart ended with ${run.status}: ${run.stderr}`);
    return (performance.now() - from) / 1000;
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}
