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

  it('does not mind a reader that closes early', () => {
    const run = spawnSync('sh', ['-c', `"${process.execPath}" "${main}" check data-sample | head -n 1; echo done`], {
      cwd: root,
      encoding: 'utf8',
    });
    expect(run.stdout).toBe('Quillmarrow Creek (invented)\ndone\n');
    expect(run.stderr).toBe('');
  });

  it.skipIf(!existsSync('/dev/full'))(
    'says in one line, and with code 4, that a full disk took not all of its output',
    () => {
      const run = spawnSync('sh', ['-c', `"${process.execPath}" "${main}" check data-sample > /dev/full`], {
        cwd: root,
        encoding: 'utf8',
      });
      expect(run.status).toBe(4);
      expect(run.stderr).toBe('sightstage: standard output took no more (ENOSPC): what it holds is not whole\n');
    },
  );

  it('prints its help from any folder', () => {
    const run = spawnSync(process.execPath, [main, '--help'], { cwd: place, encoding: 'utf8' });
    expect(run.status).toBe(0);
    expect(run.stdout).toContain('Usage: sightstage');
  });
});
