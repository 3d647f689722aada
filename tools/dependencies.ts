/**
 * Writes docs/dependencies.md: what each package is for, why this one, its size on disk and its releases. Words come from
 * tools/dependencies/reasons.json, sizes from node_modules, days from the registry (`npm view`). A test holds the page to
 * package.json: npm run dependencies.
 */
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const json = (path: string): unknown => JSON.parse(readFileSync(join(root, path), 'utf8'));

interface Reason {
  readonly for: string;
  readonly why: string;
}

/** What package.json asks for, in two groups, and where each package's version stands in the lock file. */
export function dependencyGroups(): readonly {
  readonly title: string;
  readonly says: string;
  readonly names: string[];
}[] {
  const { dependencies, devDependencies } = json('package.json') as Record<string, Record<string, string>>;
  return [
    {
      title: 'What a user installs',
      says: 'danfojs-node is an optional peer of `sightstage/frames`: only who uses frames installs it.',
      names: Object.keys(dependencies!),
    },
    {
      title: 'What a developer installs besides',
      says: 'For tests, notebooks and the build. None of it is in what a user installs.',
      names: Object.keys(devDependencies!),
    },
  ];
}

/** The version of a package that the lock file pins. */
export function lockedVersion(name: string): string {
  const { packages } = json('package-lock.json') as { packages: Record<string, { version: string }> };
  return packages[`node_modules/${name}`]!.version;
}

export const reasons = (): Readonly<Record<string, Reason>> =>
  json('tools/dependencies/reasons.json') as Record<string, Reason>;

function kilobytes(folder: string): number {
  const bytes = readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0);
  return Math.round(bytes / 1000);
}

function releaseDays(name: string, version: string): { readonly own: string; readonly latest: string } {
  const times = JSON.parse(execFileSync('npm', ['view', name, 'time', '--json'], { encoding: 'utf8' })) as Record<
    string,
    string
  >;
  const parts = (key: string) => key.split('.').map(Number);
  const newer = (a: string, b: string) => {
    const at = parts(a).findIndex((n, i) => n !== parts(b)[i]);
    return at >= 0 && parts(a)[at]! > parts(b)[at]!;
  };
  const latest = Object.keys(times)
    .filter((key) => /^\d+\.\d+\.\d+$/.test(key))
    .reduce((last, next) => (newer(next, last) ? next : last));
  return { own: times[version]!.slice(0, 10), latest: `${times[latest]!.slice(0, 10)} (${latest})` };
}

function row(name: string, words: Readonly<Record<string, Reason>>): string {
  const reason = words[name];
  if (reason === undefined) throw new Error(`dependencies: no reason for ${name} in tools/dependencies/reasons.json`);
  const version = lockedVersion(name);
  const { own, latest } = releaseDays(name, version);
  const size = kilobytes(join(root, 'node_modules', name))
    .toLocaleString('en')
    .replaceAll(',', ' ');
  return `| ${name} | ${version} | ${reason.for} | ${reason.why} | ${size} | ${own} | ${latest} |`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const words = reasons();
  const parts = dependencyGroups().map(({ title, says, names }) =>
    [
      `## ${title}`,
      says,
      [
        '| package | version | what for | why this one | kB | released | last release |',
        '| --- | --- | --- | --- | --: | --- | --- |',
        ...names.map((name) => row(name, words)),
      ].join('\n'),
    ].join('\n\n'),
  );
  const day = new Date().toISOString().slice(0, 10);
  const head = [
    '# Dependencies',
    `Made by \`npm run dependencies\` on ${day}; do not edit (the words are in tools/dependencies/reasons.json). kB: size of the package's own folder, without what it brings along. Released: the version in use; last release: that of the highest stable version. Days are the registry's own.`,
    'What is statistics of levels and gauges is our own code. For everything else a well-kept library does better.',
  ];
  writeFileSync(join(root, 'docs', 'dependencies.md'), `${[...head, ...parts].join('\n\n')}\n`);
}
