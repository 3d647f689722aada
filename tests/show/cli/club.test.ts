import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { clubFolder, type ClubResult } from '../../../src/show/cli/clubFolder.js';
import { clubPage } from '../../../src/show/page/clubPage.js';
import { runCaught } from './fakeIo.js';

let place: string;
let club: string;
let told: string[];
let result: ClubResult;
const ask = async () => {
  told = [];
  result = await clubFolder(club, {
    out: join(place, 'out'),
    presentMs: Date.parse('2031-05-05T09:00Z'),
    depth: 'quick',
    cores: 1,
    cache: join(place, 'cache'),
    onCreek: ({ folder, at, of, done }) => void (done && told.push(`${at}/${of} ${folder} ${done}`)),
  });
};
beforeAll(async () => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-club-'));
  club = join(place, 'our-creeks');
  mkdirSync(join(club, 'broken'), { recursive: true });
  mkdirSync(join(club, 'notes'));
  writeFileSync(join(club, 'broken', 'creek.json'), '{');
  await runCaught(['new', join(club, 'larch'), '--name', 'Larch Creek']);
  await runCaught(['new', join(club, 'alder'), '--name', 'Alder <b>Creek']);
  await ask();
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

describe('a club of creeks', () => {
  it('charts each, and one that can’t be charted stops none', () => {
    expect(told).toEqual(['1/3 alder charted', '2/3 broken problem', '3/3 larch charted']);
    expect(result.rows.map(({ creek, run, grade }) => [creek, run, grade])).toEqual([
      ['Alder <b>Creek', 'Main run', 'too thin'],
      ['broken', null, null],
      ['Larch Creek', 'Main run', 'too thin'],
    ]);
    expect(result.rows[1]!.problem).toContain('sightstage check');
    expect(result.rows[2]!.problem).toMatch(/^No level is given: the log is too thin/);
  });

  it('makes only what has changed', async () => {
    writeFileSync(
      join(club, 'larch', 'visits.csv'),
      readFileSync(join(club, 'larch', 'visits.csv'), 'utf8').trimEnd() + '\n',
    );
    const path = join(club, 'alder', 'creek.json');
    writeFileSync(path, `${readFileSync(path, 'utf8')}\n`);
    await ask();
    expect(told).toEqual(['1/3 alder charted', '2/3 broken problem', '3/3 larch kept']);
  });

  it('writes one page with every caution, links that lead to the charts, and nothing that a name could start', () => {
    const page = readFileSync(join(place, 'out', 'index.html'), 'utf8');
    for (const caution of CAUTIONS) expect(page).toContain(caution);
    expect(page).toContain('href="larch-creek/chart.html#run-main"');
    expect(readFileSync(join(place, 'out', 'larch-creek', 'chart.html'), 'utf8')).toContain('id="run-main"');
    expect(page).not.toContain('<b>Creek');
    expect(page).toContain("default-src 'none'");
    expect(readFileSync(join(place, 'out', 'runs.csv'), 'utf8').split('\n')).toHaveLength(5);
  });

  it('prints the list, and ends with 3 where nobody can plan and 2 where there is no creek', async () => {
    const run = await runCaught(['club', club, '--out', join(place, 'other'), '--quick']);
    expect(run.exitCode).toBe(3);
    expect(run.out).toContain('3 creeks, 2 runs\n');
    for (const caution of CAUTIONS) expect(run.out.replace(/\s+/g, ' ')).toContain(caution);
    const csv = await runCaught(['club', club, '--out', join(place, 'other'), '--quick', '--csv']);
    expect(csv.out).toBe(readFileSync(join(place, 'other', 'runs.csv'), 'utf8'));
    const json = await runCaught(['club', club, '--out', join(place, 'other'), '--quick', '--json']);
    expect((JSON.parse(json.out) as ClubResult).rows.map(({ folder }) => folder)).toEqual(['alder', 'broken', 'larch']);
    const none = await runCaught(['club', join(club, 'notes')]);
    expect(none).toMatchObject({ exitCode: 2, out: '' });
    expect(none.err).toContain('holds no creek folders: each needs a creek.json of its own');
  });

  it('sorts what has no value last', () => {
    const [row] = result.rows;
    const page = clubPage([{ ...row!, good: '2 to 3 m³/s' }, row!]);
    expect(page).toContain('data-head="good" data-key="2 to 3 m³/s"');
    expect(page).toContain('data-head="good" data-key="~"');
  });
});
