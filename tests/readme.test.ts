import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readmeSamples, runSample, SAMPLE_FOLDER } from '../tools/readmeSamples.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));
const main = join(root, 'dist/show/cli/main.js');
const readme = readFileSync(join(root, 'README.md'), 'utf8');

/** The fenced blocks of a language, in order. */
function blocks(text: string, language: string): readonly string[] {
  return [...text.matchAll(new RegExp(`^\`\`\`${language}\\n(.*?)^\`\`\``, 'gms'))].map((match) => match[1]!);
}

describe('the README', () => {
  let place: string;
  beforeAll(() => {
    if (!existsSync(main)) throw new Error('the README is tested against the built package: npm run build first');
    place = mkdtempSync(join(tmpdir(), 'sightstage-readme-'));
  });
  afterAll(() => {
    rmSync(place, { recursive: true, force: true });
    rmSync(SAMPLE_FOLDER, { recursive: true, force: true });
  });

  const samples = readmeSamples(readme);

  it('has two code samples, the library and the walk through the rooms', () => {
    expect(samples.length).toBe(2);
  });

  it.each(samples.map((sample, i) => [i + 1, sample] as const))(
    'has a code sample %i that prints what it says',
    (i, sample) => {
      const { prints } = runSample(sample, { name: `readme-${i}` });
      // Not as printed? Then `npm run readme` writes the new lines; look at them before they are committed.
      expect(prints).toEqual(sample.says);
    },
  );

  it('walks with a line that stands in the log of the sample', () => {
    const line = /^    (v\d+,.*)$/m.exec(readme)?.[1];
    expect(readFileSync(join(root, 'data-sample/visits.csv'), 'utf8').split('\n')).toContain(line);
  });

  it('has commands that work in the order they stand', () => {
    const lines = blocks(readme, 'sh').flatMap((block) => block.split('\n'));
    const commands = lines.filter((line) => line.startsWith('npx sightstage '));
    expect(commands.length).toBeGreaterThanOrEqual(3);
    for (const command of commands) {
      const run = spawnSync(process.execPath, [main, ...command.split(' ').slice(2)], { cwd: place, encoding: 'utf8' });
      // 3: the two example visits of a new folder are too thin to plan with, which is the honest answer.
      expect([0, 3], `${command}: ${run.stderr}`).toContain(run.status);
    }
    expect(existsSync(join(place, 'out/my-creek/chart.html'))).toBe(true);
  });

  it.each(['README.md', 'DEVELOPERS.md', 'docs/file-formats.md', 'docs/glossary.md'])(
    '%s links only to what is there',
    (file) => {
      const text = readFileSync(join(root, file), 'utf8');
      const targets = [...text.matchAll(/\]\(([^)#]+)[^)]*\)/g)].map((match) => match[1]!);
      const local = targets.filter((target) => !/^https?:/.test(target));
      for (const target of local) expect(existsSync(join(root, file, '..', target)), target).toBe(true);
    },
  );

  it('names only npm scripts that package.json has', () => {
    const { scripts } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { scripts: object };
    const named = [readme, readFileSync(join(root, 'DEVELOPERS.md'), 'utf8')]
      .flatMap((text) => [...text.matchAll(/npm run ([a-z-]+)/g)])
      .map((match) => match[1]!);
    expect(named.length).toBeGreaterThan(5);
    for (const name of named) expect(Object.keys(scripts)).toContain(name);
  });
});
