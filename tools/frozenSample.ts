/**
 * Makes the sample that the tests of outputs share (`tests/show/frozen/`): chart, trust and gauges of data-sample as the built program writes them, over two gauges and
 * few lags, hydrographs thinned. Outputs are tested against it; what the numbers themselves should be is asked elsewhere. Needs `npm run build`.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const root = fileURLToPath(new URL('..', import.meta.url));
const OPTIONS = ['--gauge', 'flashy', '--gauge', 'larger', '--lag', '-2..6', '--storage', '-6..6', '--quiet'];
const POINTS = 200;

const out = mkdtempSync(join(tmpdir(), 'sightstage-frozen-'));
const main = join(root, 'dist', 'show', 'cli', 'main.js');
const run = spawnSync(process.execPath, [main, 'chart', 'data-sample', '--out', out, ...OPTIONS], {
  cwd: root,
  stdio: 'inherit',
});
if (run.status !== 0) throw new Error(`frozenSample: the program ended with ${run.status}`);
for (const name of ['chart', 'trust', 'gauges']) {
  const text = readFileSync(join(out, 'quillmarrow-creek-invented', `${name}.json`), 'utf8');
  const small = JSON.stringify(
    JSON.parse(text, (key, value: unknown) => (key === 'hydrograph' ? thinned(value as Line) : value)),
  );
  writeFileSync(join(root, 'tests', 'show', 'frozen', `${name}.json.gz`), gzipSync(small, { level: 9 }));
}
rmSync(out, { recursive: true });

interface Line {
  readonly timesMs: readonly number[];
  readonly values: readonly (number | null)[];
}

/** Every so many points: enough to draw. */
function thinned({ timesMs, values }: Line): Line {
  const step = Math.ceil(timesMs.length / POINTS);
  const kept = <T>(list: readonly T[]): readonly T[] => list.filter((_, i) => i % step === 0);
  return { timesMs: kept(timesMs), values: kept(values) };
}
