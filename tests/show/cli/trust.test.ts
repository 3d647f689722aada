import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CreekChart, TrustFile } from '../../../src/chart/types.js';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { chartFolder } from '../../../src/show/cli/chartFolder.js';
import { runCaught } from './fakeIo.js';

let place: string;
let folder: string;
beforeAll(async () => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-trust-'));
  folder = join(place, 'larch');
  await runCaught(['new', folder, '--name', 'Larch Creek']);
});
afterAll(() => rmSync(place, { recursive: true, force: true }));

const flat = (text: string) => text.replace(/\s+/g, ' ');

describe('sightstage trust', () => {
  it('prints the long report with every caution, writes nothing, and ends with 3 where nobody can plan', async () => {
    const before = readdirSync(place);
    const run = await runCaught(['trust', folder, '--quick']);
    expect(run.exitCode).toBe(3);
    expect(run.out).toContain('How far to trust the chart of Larch Creek\n');
    expect(run.out).toContain('  Checks behind the grade\n');
    for (const caution of CAUTIONS) expect(flat(run.out)).toContain(caution);
    expect(run.err).toContain('do not plan with this chart');
    expect(readdirSync(place)).toEqual(before);
  });

  it('prints what trust.json would hold', async () => {
    const out = join(place, 'out');
    await runCaught(['chart', folder, '--out', out, '--quick', '--quiet']);
    const run = await runCaught(['trust', folder, '--quick', '--json']);
    expect(run.out).toBe(readFileSync(join(out, 'larch-creek', 'trust.json'), 'utf8'));
  });

  it.each([
    [['--run', 'lower'], "unknown run 'lower'; creek.json has main"],
    [['--gauge', 'x'], "unknown gauge 'x'; creek.json has river"],
  ])('%j ends with 2 and names what there is', async (args, message) => {
    const run = await runCaught(['trust', folder, ...args]);
    expect(run).toMatchObject({ exitCode: 2, out: '' });
    expect(run.err).toContain(`sightstage: ${message}\n`);
  });

  it('ends with 1 and the fatal problems for a folder that nothing can be made of', async () => {
    const broken = join(place, 'broken');
    await runCaught(['new', broken]);
    rmSync(join(broken, 'gauges/river.csv'));
    const run = await runCaught(['trust', broken]);
    expect(run).toMatchObject({ exitCode: 1, out: '' });
    expect(run.err).toContain('gauges/river.csv');
    rmSync(broken, { recursive: true });
  });

  it('shows an example in its help', async () => {
    const { exitCode, out } = await runCaught(['trust', '--help']);
    expect(exitCode).toBe(0);
    expect(out).toContain('$ sightstage trust larch-creek --run main --quick');
  });
});

describe('chart and trust of one folder', () => {
  const at = (out: string, name: string) => readFileSync(join(out, 'larch-creek', name), 'utf8');

  it('say the same grade in every output', async () => {
    const out = join(place, 'grades');
    await runCaught(['chart', folder, '--out', out]);
    const chart = JSON.parse(at(out, 'chart.json')) as CreekChart;
    const trust = JSON.parse(at(out, 'trust.json')) as TrustFile;
    const [gauge] = chart.runs[0]!.gauges;
    const [judgement] = trust.runs[0]!.gauges;
    expect(judgement!.grade).toBe(gauge!.trust.grade);
    expect(judgement!.checks).toEqual(gauge!.trust.checks);
    expect(trust.provenance).toEqual(chart.provenance);
    expect(at(out, 'chart.md')).toContain(`: ${gauge!.trust.grade}\n`);
  });

  it('stand whole when the judging is interrupted: the first chart, without a judgement of an older one', async () => {
    const out = join(place, 'cut');
    await chartFolder(folder, { out, depth: 'quick' });
    expect(readdirSync(join(out, 'larch-creek'))).toContain('trust.json');
    const first = at(out, 'chart.json');
    const cut = chartFolder(folder, {
      out,
      seed: 2,
      onFirst: () => {
        throw new Error('cut here');
      },
    });
    await expect(cut).rejects.toThrow('cut here');
    // The first answer is a whole set of its own: nothing of an older run is left beside it.
    expect((JSON.parse(at(out, 'trust.json')) as CreekChart).provenance.seed).toBe(2);
    expect(at(out, 'chart.json')).not.toBe(first);
    expect((JSON.parse(at(out, 'chart.json')) as CreekChart).provenance.seed).toBe(2);
  });
});
