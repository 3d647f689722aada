/**
 * Writes docs/licences.md: under which licence each package stands, those that a user installs one by one, those of
 * development by licence. All of it is read from package-lock.json: npm run licences.
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

/** docs/licences.md as it should be. */
export function licencesPage(packages: readonly LockedPackage[] = lockedPackages()): string {
  const runtime = packages.filter(({ development }) => !development);
  const rest = packages.filter(({ development }) => development);
  const licences = [...new Set(rest.map(({ licence }) => licence))].sort();
  const names = (licence: string) => [
    ...new Set(rest.filter((one) => one.licence === licence).map(({ name }) => name)),
  ];
  return [
    '# Licences',
    '',
    'sightstage itself stands under the MIT licence. This page is made by `npm run licences` from package-lock.json; a test',
    'holds it to that file and every licence to a list.',
    '',
    '## What a user installs',
    '',
    'chart.html carries the plot library, with its own notice.',
    '',
    '| package | version | licence |',
    '| --- | --- | --- |',
    ...runtime.map(({ name, version, licence }) => `| ${name} | ${version} | ${licence} |`),
    '',
    '## What a developer installs besides',
    '',
    'For tests, notebooks and the build; nothing of it is passed on. danfojs-node is an optional peer of `sightstage/frames`.',
    '',
    ...licences.map((licence) => `- **${licence}** (${names(licence).length}): ${names(licence).join(', ')}`),
    '',
  ].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(join(root, 'docs/licences.md'), licencesPage());
