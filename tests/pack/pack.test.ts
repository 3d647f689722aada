import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readmeSamples } from '../../tools/readmeSamples.js';
import { smallCreek, writeFolder } from '../safety/smallCreek.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const must = process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1';

interface Packed {
  readonly filename: string;
  readonly size: number;
  readonly unpackedSize: number;
  readonly files: readonly { readonly path: string }[];
}

/** A folder that finds no packages in one above it: those would stand in for what the pack forgot. */
const bare = [tmpdir(), '/var/tmp', homedir()].find(
  (folder) =>
    existsSync(folder) && !existsSync(join(folder, 'node_modules')) && !existsSync(join(folder, '../node_modules')),
);
if (bare === undefined) throw new Error(`a node_modules stands in or above ${tmpdir()}; move it away`);
const place = mkdtempSync(join(bare, 'sightstage-pack-'));
afterAll(() => rmSync(place, { recursive: true, force: true }));
const project = join(place, 'project');

function pack(): Packed {
  if (!existsSync(join(root, 'dist/index.js'))) throw new Error('this tests the built package: npm run build first');
  const said = execFileSync('npm', ['pack', '--json', '--ignore-scripts', '--pack-destination', place], {
    cwd: root,
    encoding: 'utf8',
  });
  return (JSON.parse(said) as Packed[])[0]!;
}

/** Installs the pack into an empty project; why it could not, where the registry is out of reach. */
function install(packed: Packed): string | undefined {
  mkdirSync(project, { recursive: true });
  writeFileSync(
    join(project, 'package.json'),
    '{ "name": "empty", "version": "1.0.0", "type": "module", "private": true }',
  );
  const args = [
    'install',
    join(place, packed.filename),
    '--prefer-offline',
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
  ];
  const done = spawnSync('npm', args, { cwd: project, encoding: 'utf8', timeout: 600_000 });
  if (done.status === 0) return undefined;
  if (/ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ETIMEDOUT|ENETUNREACH|ENOTCACHED|network/i.test(done.stderr))
    return 'the packages are not in the cache and the registry cannot be reached';
  throw new Error(done.stderr);
}

const packed = pack();
const missing = install(packed);
if (missing !== undefined) {
  if (must) throw new Error(`the packed package must be tested here, but ${missing}`);
  process.stderr.write(`skipped: the packed package, ${missing}\n`);
}

const run = (program: string, ...args: string[]) => spawnSync(program, args, { cwd: project, encoding: 'utf8' });

describe('the pack', () => {
  it('holds the built program, its schema, README and LICENSE, and nothing else', () => {
    const folders = [...new Set(packed.files.map(({ path }) => path.split('/')[0]!))].sort();
    expect(folders).toEqual(['LICENSE', 'README.md', 'dist', 'package.json', 'schema']);
    const strange = packed.files.filter(({ path }) => path.startsWith('dist/') && !/\.(?:js|d\.ts)$/.test(path));
    expect(strange).toEqual([]);
    expect(packed.files.some(({ path }) => /test|data-sample|tools/.test(path))).toBe(false);
  });

  it('is small: the sizes that DEVELOPERS.md states', () => {
    expect(packed.size).toBeLessThan(1_000_000);
    expect(packed.unpackedSize).toBeLessThan(3_500_000);
  });
});

describe.skipIf(missing !== undefined)('installed into an empty project', () => {
  beforeAll(() => {
    // The shape of the sample, in small: the example of the README names its run and its gauge.
    const small = new Map(smallCreek());
    const renamed = (text: string) =>
      text.replaceAll('gorge', 'lower').replaceAll('"id": "river"', '"id": "flashy"').replace('"max": 3', '"max": 8');
    for (const name of ['creek.json', 'visits.csv']) small.set(name, renamed(small.get(name)!));
    writeFolder(join(project, 'data-sample'), small);
  });

  it('brings no danfojs, no notebook and nothing with an install script', () => {
    for (const name of ['danfojs-node', 'tslab', 'typescript'])
      expect(existsSync(join(project, 'node_modules', name))).toBe(false);
    expect(readFileSync(join(project, 'package-lock.json'), 'utf8')).not.toContain('hasInstallScript');
  });

  it('is typed for a strict consumer, each of its entries', () => {
    writeFileSync(
      join(project, 'consumer.ts'),
      `import { chartCreek, CAUTIONS, type CreekChart, type Issue } from 'sightstage';
import { edgesTable, tidy, type TidyTable } from 'sightstage/frames';
import { show } from 'sightstage/notebook';
import { fitLevels, type Aligned } from 'sightstage/fit';
import { pettitt } from 'sightstage/judge';
import { fitRating, type RatingFit } from 'sightstage/ratings';
export const parts = (aligned: Aligned): RatingFit => (pettitt(Float64Array.of(1, 2)), fitLevels(aligned), fitRating([1], [1]));
export const run = (input: Parameters<typeof chartCreek>[0]): Promise<CreekChart> =>
  chartCreek(input, { leadHours: 2 }).then(({ chart }) => chart);
export const rows = (chart: CreekChart): TidyTable => tidy(edgesTable(chart));
export const first: string | undefined = CAUTIONS[0];
export const code = (issue: Issue): string => issue.code;
export const shown = (chart: CreekChart): void => show(chart);
// @ts-expect-error a lead is a number of hours
chartCreek({} as Parameters<typeof chartCreek>[0], { leadHours: 'two' });
`,
    );
    const options = { strict: true, module: 'NodeNext', moduleResolution: 'NodeNext', target: 'ES2022', noEmit: true };
    writeFileSync(
      join(project, 'tsconfig.json'),
      JSON.stringify({ compilerOptions: { ...options, types: [], skipLibCheck: true }, files: ['consumer.ts'] }),
    );
    const checked = run(process.execPath, join(root, 'node_modules/typescript/bin/tsc'), '-p', project);
    expect(checked.stdout).toBe('');
    expect(checked.status).toBe(0);
  });

  it('runs the library example of the README', () => {
    const [sample] = readmeSamples(readFileSync(join(root, 'README.md'), 'utf8'));
    // Node 20 reads no types: the compiler takes them out.
    const options = { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2022 };
    writeFileSync(
      join(project, 'example.mjs'),
      ts.transpileModule(sample!.text, { compilerOptions: options }).outputText,
    );
    const done = run(process.execPath, 'example.mjs');
    expect(done.stderr).toBe('');
    const lines = done.stdout.trim().split('\n');
    expect(lines.at(-1)).toBe('Moving water kills. This is no permission to paddle.');
    expect(lines.length).toBeGreaterThan(4);
  });

  it('charts by its own command', () => {
    const done = run(
      join(project, 'node_modules/.bin/sightstage'),
      'chart',
      'data-sample',
      '--quick',
      '--lag',
      '1..2',
      '--storage',
      '0..0',
    );
    expect(done.status, done.stderr).toBe(0);
    expect(done.stdout).toContain('Sorrel');
    expect(existsSync(join(project, 'out/sorrel-creek/chart.html'))).toBe(true);
  });

  it('says in one line which package frames need; tables need none', () => {
    const script =
      "import { tidy, toFrame } from 'sightstage/frames'; try { toFrame({ kind: 'tidy-table', name: 'a', columns: { a: 'number' }, rows: [] }); } catch (error) { console.log(typeof tidy, error.message); }";
    const done = run(process.execPath, '--input-type=module', '-e', script);
    expect(done.stdout.trim()).toBe(
      'function toFrame needs the package danfojs-node, which is not installed: npm install danfojs-node',
    );
  });

  it('gives its schema and hides the rest', () => {
    const script =
      "const { createRequire } = await import('node:module'); const require = createRequire(import.meta.url); console.log(require('sightstage/schema/creek.schema.json').$schema); try { await import('sightstage/dist/index.js'); } catch (error) { console.log(error.code); }";
    writeFileSync(join(project, 'schema.mjs'), script);
    expect(run(process.execPath, 'schema.mjs').stdout.trim().split('\n')).toEqual([
      'https://json-schema.org/draft/2020-12/schema',
      'ERR_PACKAGE_PATH_NOT_EXPORTED',
    ]);
  });
});
