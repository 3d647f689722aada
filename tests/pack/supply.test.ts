import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  ALLOWED,
  ALLOWED_IN_DEVELOPMENT,
  isAllowed,
  lockedPackages,
  packagesPage,
  reasons,
} from '../../tools/packages.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const text = (path: string) => readFileSync(join(root, path), 'utf8');

interface Asked {
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly devDependencies?: Readonly<Record<string, string>>;
  readonly peerDependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
}
interface Locked extends Asked {
  readonly version?: string;
  readonly resolved?: string;
  readonly integrity?: string;
  readonly hasInstallScript?: boolean;
  readonly link?: boolean;
  readonly dev?: boolean;
}

const manifest = JSON.parse(text('package.json')) as Asked & {
  scripts: Record<string, string>;
  overrides: Record<string, string>;
};
const lock = JSON.parse(text('package-lock.json')) as { lockfileVersion: number; packages: Record<string, Locked> };
const locked = Object.entries(lock.packages).filter(([path]) => path !== '');

describe('the lock file', () => {
  it('says what package.json asks for', () => {
    const own = lock.packages['']!;
    for (const kind of ['dependencies', 'devDependencies', 'peerDependencies'] as const)
      expect(own[kind], kind).toEqual(manifest[kind]);
    for (const name of Object.keys({ ...manifest.dependencies, ...manifest.devDependencies }))
      expect(lock.packages[`node_modules/${name}`]?.version, name).toMatch(/^\d+\.\d+\.\d+/);
  });

  it('binds every package by its SHA-512 to what the registry gave, and knows no other place', () => {
    // Without an address a package comes from the registry that npm is set to, whichever mirror that is; the digest binds it.
    for (const [path, { integrity, resolved, link }] of locked) {
      expect(integrity, path).toMatch(/^sha512-[A-Za-z0-9+/]{86}==$/);
      expect(link, path).toBeUndefined();
      if (resolved !== undefined) expect(resolved, path).toMatch(/^https:\/\/registry\.npmjs\.org\//);
    }
    // What is overridden is not fetched from where its asker says: danfojs-node names an address outside the registry.
    const asked = Object.values(lock.packages).flatMap((one) =>
      [one.dependencies, one.devDependencies, one.peerDependencies, one.optionalDependencies].flatMap((all) =>
        Object.entries(all ?? {}),
      ),
    );
    expect(
      asked.filter(
        ([name, range]) =>
          !(name in manifest.overrides) &&
          /^(?:git|github|file|link|https?|ssh|workspace)|\//.test(range.replace(/^npm:@?[^@]+@/, '')),
      ),
    ).toEqual([]);
  });

  it('has install scripts in development alone, in packages that work without them', () => {
    // core-js prints a request, esbuild and zeromq bring their binaries along; .ci/run installs with --ignore-scripts.
    expect(locked.filter(([, one]) => one.hasInstallScript).map(([path, { dev }]) => [path, dev])).toEqual([
      ['node_modules/core-js', true],
      ['node_modules/esbuild', true],
      ['node_modules/zeromq', true],
    ]);
    expect(text('.ci/run')).toMatch(/^npm ci --ignore-scripts$/m);
    for (const name of ['preinstall', 'install', 'postinstall', 'prepare', 'prepublish'])
      expect(manifest.scripts[name], name).toBeUndefined();
  });

  it('has only licences of the list', () => {
    const strange = lockedPackages().filter(
      ({ licence, development }) =>
        !isAllowed(licence, development ? [...ALLOWED, ...ALLOWED_IN_DEVELOPMENT] : ALLOWED),
    );
    expect(strange).toEqual([]);
    expect(isAllowed('(MIT OR GPL-3.0)', ALLOWED)).toBe(true);
    expect(isAllowed('MIT AND GPL-3.0', ALLOWED)).toBe(false);
    expect(isAllowed('unknown', ALLOWED)).toBe(false);
  });

  it('is what docs/dependencies.md says, with a reason for each direct dependency and none for others', () => {
    // Not the same? `npm run packages` writes it anew.
    expect(text('docs/dependencies.md')).toBe(packagesPage());
    expect(Object.keys(reasons()).sort()).toEqual(
      Object.keys({ ...manifest.dependencies, ...manifest.devDependencies }).sort(),
    );
  });
});

describe('package.json', () => {
  const sources = (folder: string) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.(?:ts|js)$/.test(name))
      .map((name) => text(join(folder, name)));
  const uses = (texts: readonly string[], name: string) =>
    texts.some((one) => one.includes(`'${name}'`) || one.includes(`'${name}/`) || one.includes(`@${name}@`));

  it('asks a user for what the sources use, and for nothing else', () => {
    const src = sources('src');
    const asked = Object.keys(manifest.dependencies!);
    expect(asked.filter((name) => !uses(src, name))).toEqual([]);
    const imported = src.flatMap((one) => [...one.matchAll(/from '([a-z@][^'.]*)'/g)].map(([, name]) => name!));
    const strangers = [...new Set(imported)]
      .filter((name) => !name.startsWith('node:'))
      .map((name) => (name.startsWith('@') ? name.split('/').slice(0, 2).join('/') : name.split('/')[0]!))
      .filter((name) => !asked.includes(name) && !Object.keys(manifest.peerDependencies!).includes(name));
    expect(strangers).toEqual([]);
  });
});
