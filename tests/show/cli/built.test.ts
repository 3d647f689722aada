import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CreekChart } from '../../../src/chart/types.js';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const main = join(root, 'dist/show/cli/main.js');

describe('the built program', () => {
  let place: string;
  beforeAll(() => {
    if (!existsSync(main)) throw new Error('this tests the built package: npm run build first');
    place = mkdtempSync(join(tmpdir(), 'sightstage-built-'));
  });
  afterAll(() => rmSync(place, { recursive: true, force: true }));

  it('charts the sample: ends with 0, finds the leading gauge, marks every visit', () => {
    const only = ['--quick', '--run', 'lower', '--gauge', 'flashy', '--lag', '1..4', '--storage', '4..6'];
    const args = [main, 'chart', 'data-sample', '--out', place, ...only];
    const run = spawnSync(process.execPath, args, { cwd: root, encoding: 'utf8' });
    expect(run.status, run.stderr).toBe(0);
    // That a second run gives the same bytes is tested in tests/reproducible.
    const chart = readFileSync(join(place, 'quillmarrow-creek-invented', 'chart.json'), 'utf8');
    const [gauge] = (JSON.parse(chart) as CreekChart).runs[0]!.gauges;
    expect(gauge!.lag.sentence).toMatch(/^The gauge leads by/);
    expect(gauge!.visits.length).toBeGreaterThan(50);
    const odds = gauge!.level!.odds.probability.map((row) => row.reduce((x, y) => x + y, 0));
    for (const sum of odds) expect(Math.abs(sum - 1)).toBeLessThan(1e-9);
  });

  it.each([
    ['a reader that has closed', '| :', 'was closed early'],
    ['a full disk', '> /dev/full', 'took no more (ENOSPC)'],
  ])('%s: code 4 and one line', (_, to, why) => {
    // The code of the program itself, whatever stands behind it in the pipe.
    const script = `set -o pipefail; "${process.execPath}" "${main}" check data-sample ${to}`;
    const run = spawnSync('bash', ['-c', script], { cwd: root, encoding: 'utf8' });
    expect(run.stderr).toBe(`sightstage: standard output ${why}: what it holds is not whole\n`);
    expect(run.status).toBe(4);
  });

  it('prints its help from any folder', () => {
    const run = spawnSync(process.execPath, [main, '--help'], { cwd: place, encoding: 'utf8' });
    expect(run.status).toBe(0);
    expect(run.stdout).toContain('Usage: sightstage');
  });
});
