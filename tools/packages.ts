/**
 * Writes docs/dependencies.md: what each package is for, why this one, and under which licence it and all it brings along stand.
 * Versions and licences are read from package-lock.json, the words from tools/packages.json: npm run packages.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

/** One package as the lock file has it. */
export interface LockedPackage {
  readonly name: string;
  readonly version: string;
  readonly licence: string;
  /** Not installed with the package itself: for tests, notebooks and the build. */
  readonly development: boolean;
}

/** Licences that let everybody use, change and pass on; MPL-2.0 asks to pass on changes of its own files. */
export const ALLOWED: readonly string[] = [
  'MIT',
  'ISC',
  '0BSD',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'Apache-2.0',
  'BlueOak-1.0.0',
  'Python-2.0',
  'Unlicense',
];
/** Allowed besides where nothing of it is passed on with this package. */
export const ALLOWED_IN_DEVELOPMENT: readonly string[] = ['MPL-2.0'];

/** Packages whose package.json names no licence in a way that npm reads; read from their own LICENSE files. */
const BY_HAND: Readonly<Record<string, string>> = { 'typed-function': 'MIT' };

/** Every package of the lock file, by name. */
export function lockedPackages(): readonly LockedPackage[] {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')) as {
    packages: Record<string, { version: string; license?: string; dev?: boolean; peer?: boolean; name?: string }>;
  };
  return Object.entries(packages)
    .filter(([path]) => path !== '')
    .map(([path, { version, license, dev = false, peer = false, name }]) => {
      const known = name ?? path.split('node_modules/').at(-1)!;
      return { name: known, version, licence: license ?? BY_HAND[known] ?? 'unknown', development: dev || peer };
    })
    .sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : a.version < b.version ? -1 : 1));
}

/** Whether a licence, or for "A OR B" one of them and for "A AND B" both of them, is on the list. */
export function isAllowed(licence: string, allowed: readonly string[]): boolean {
  const bare = licence.replace(/^\(|\)$/g, '');
  if (bare.includes(' OR ')) return bare.split(' OR ').some((one) => isAllowed(one, allowed));
  return bare.split(' AND ').every((one) => allowed.includes(one));
}

/** Direct dependencies, in the order of package.json: what each is for and why this one, in tools/packages.json. */
export const reasons = (): Readonly<Record<string, { readonly for: string; readonly why: string }>> =>
  JSON.parse(readFileSync(join(root, 'tools/packages.json'), 'utf8')) as Record<string, { for: string; why: string }>;

/** docs/dependencies.md as it should be. @throws Error for a direct dependency without a reason. */
export function packagesPage(packages: readonly LockedPackage[] = lockedPackages()): string {
  const asked = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Record<string, Record<string, string>>;
  const why = reasons();
  const table = (group: string) => {
    const rows = Object.keys(asked[group]!).map((name) => {
      const reason = why[name];
      if (reason === undefined) throw new Error(`packages: no reason for ${name} in tools/packages.json`);
      const { version, licence } = packages.find((one) => one.name === name)!;
      return `| ${name} | ${version} | ${licence} | ${reason.for} | ${reason.why} |`;
    });
    return ['| package | version | licence | what for | why this one |', '| --- | --- | --- | --- | --- |', ...rows];
  };
  const byLicence = (development: boolean) => {
    const named = new Set([...Object.keys(asked.dependencies!), ...Object.keys(asked.devDependencies!)]);
    const brought = packages.filter((one) => one.development === development && !named.has(one.name));
    return [...new Set(brought.map(({ licence }) => licence))].sort().map((licence) => {
      const names = [...new Set(brought.filter((one) => one.licence === licence).map(({ name }) => name))];
      return `- **${licence}** (${names.length}): ${names.join(', ')}`;
    });
  };
  return [
    '# Dependencies and licences',
    '',
    'sightstage is MIT licensed. The statistics of levels and gauges are its own code; for everything else it uses a',
    'well-kept library. Made by `npm run packages` from package-lock.json and tools/packages.json; a test holds it to both.',
    '',
    '## What a user installs',
    '',
    'danfojs-node is an optional peer of `sightstage/frames`.',
    '',
    ...table('dependencies'),
    '',
    'These bring along:',
    '',
    ...byLicence(false),
    '',
    '## What a developer installs as well',
    '',
    'For tests, notebooks and the build; none of it is passed on.',
    '',
    ...table('devDependencies'),
    '',
    'These bring along:',
    '',
    ...byLicence(true),
    '',
  ].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  writeFileSync(join(root, 'docs/dependencies.md'), packagesPage());
