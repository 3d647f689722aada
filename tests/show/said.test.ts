import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { saidScore } from '../../src/chart/day/saidScore.js';
import type { CreekChart } from '../../src/chart/types.js';
import { readSaid } from '../../src/read/readSaid.js';
import type { Visit } from '../../src/series/visits.js';
import type { NowResult } from '../../src/show/cli/nowFolder.js';
import { keepSaid } from '../../src/show/said/saidFile.js';
import { saidSentence } from '../../src/tell/saidWords.js';
import { expectClose } from '../expectClose.js';

const folder = mkdtempSync(join(tmpdir(), 'sightstage-said-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const HOUR = 3_600_000;
const NOON = Date.parse('2031-05-04T12:00:00Z');
const path = join(folder, 'said.csv');
const now = (odds: readonly number[] | null, arrivalMs = NOON) =>
  ({
    arrivalMs,
    runs: [{ run: { id: 'main', name: 'Main' }, gauge: { gauge: { id: 'weir' } }, now: { odds } }],
  }) as unknown as NowResult;
const visit = (id: string, hours: number, classIndex: number): Visit =>
  ({
    id,
    run: 'main',
    timeMs: NOON + hours * HOUR,
    sightings: [{ feature: 'verdict', classIndex, timeMs: NOON + hours * HOUR }],
  }) as unknown as Visit;
const bytes = () => new Uint8Array(readFileSync(path));

describe('said.csv', () => {
  it('is added to, a line each, and read back; nothing is kept where nothing was said', async () => {
    await keepSaid(folder, now([0.1, 0.7, 0.2]), { saidMs: NOON - 5 * HOUR });
    const first = readFileSync(path, 'utf8');
    expect(first).toBe(
      'said,arrival,run,gauge,odds\n2031-05-04T07:00:00.000Z,2031-05-04T12:00:00.000Z,main,weir,0.1 0.7 0.2\n',
    );
    await keepSaid(folder, now(null), { saidMs: NOON });
    expect(readFileSync(path, 'utf8')).toBe(first);
    await keepSaid(folder, now([0.2, 0.5, 0.3]), { saidMs: NOON - 2 * HOUR });
    expect(readFileSync(path, 'utf8').startsWith(first)).toBe(true);
    const { said, issues } = readSaid({ name: 'said.csv', bytes: bytes() });
    expect(issues).toEqual([]);
    expect(said.map(({ saidMs, odds }) => [saidMs - NOON, odds])).toEqual([
      [-5 * HOUR, [0.1, 0.7, 0.2]],
      [-2 * HOUR, [0.2, 0.5, 0.3]],
    ]);
  });

  it('counts every row that can’t be read', () => {
    writeFileSync(path, `${readFileSync(path, 'utf8')}yesterday,2031-05-04T12:00:00.000Z,main,weir,0.1 0.9\na,b\n`);
    const { said, issues } = readSaid({ name: 'said.csv', bytes: bytes() });
    expect([said.length, issues.map(({ row }) => row)]).toEqual([2, [4, 5]]);
  });
});

describe('what was said against what was met', () => {
  const said = [
    { saidMs: NOON - 5 * HOUR, arrivalMs: NOON, run: 'main', gauge: 'weir', odds: [0.1, 0.7, 0.2] },
    { saidMs: NOON - 2 * HOUR, arrivalMs: NOON, run: 'main', gauge: 'weir', odds: [0.2, 0.5, 0.3] },
    { saidMs: NOON + 1 * HOUR, arrivalMs: NOON, run: 'main', gauge: 'weir', odds: [0, 0, 1] },
    { saidMs: NOON + 20 * HOUR, arrivalMs: NOON + 24 * HOUR, run: 'main', gauge: 'weir', odds: [0.6, 0.4, 0] },
  ];
  const of = (visits: readonly Visit[]) => saidScore(said, { run: 'main', classes: 3, visits })!;

  it('takes the last word before the visit, and nothing said after it or for another hour', () => {
    const score = of([visit('a', 0.5, 2), visit('b', 10, 1), visit('c', 23, 0)]);
    expect(score.days.map((day) => [day.visit, day.odds, day.seen])).toEqual([
      ['a', [0.2, 0.5, 0.3], 2],
      ['c', [0.6, 0.4, 0], 0],
    ]);
    expect([score.kept, score.right, score.higher]).toEqual([4, 1, 1]);
    // By hand: what stood above the likeliest class was given 0.3 and 0.4.
    expectClose(score.higherForetold, 0.7, { abs: 1e-12, why: 'odds above the likeliest class' });
    // By hand, cumulative odds less cumulative truth, squared and summed: (0.2² + 0.7²) and (0.4² + 0²).
    expectClose(score.rps!, (0.53 + 0.16) / 2, { abs: 1e-12, why: 'mean ranked probability score' });
  });

  it('is one line in the answer', () => {
    const chart = (score: ReturnType<typeof saidScore>) =>
      ({ runs: [{ ...(score !== null && { said: score }) }] }) as unknown as CreekChart;
    expect(saidSentence(chart(null))).toBe('');
    expect(saidSentence(chart(of([])))).toBe('Said on the day: 4 answers kept, none of them logged yet.');
    expect(saidSentence(chart(of([visit('a', 0.5, 2), visit('c', 23, 0)])))).toBe(
      'Said on the day: right on 1 of 2 days, higher than said on 1 (the odds foretold 0.7).',
    );
    expect(saidScore(said, { run: 'other', classes: 3, visits: [] })).toBeNull();
    expect(saidScore(said, { run: 'main', classes: 5, visits: [] })).toBeNull();
  });
});
