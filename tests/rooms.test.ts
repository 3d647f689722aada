import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import rooms from '../rooms.json' with { type: 'json' };

const root = fileURLToPath(new URL('..', import.meta.url));
const src = join(root, 'src');
const order: readonly string[] = rooms.order;
const roots: Readonly<Record<string, readonly string[]>> = rooms.roots;
const exceptions: Readonly<Record<string, readonly string[]>> = rooms.exceptions;

/** What is wrong with one import, or undefined. `file` is relative to src/, `target` as written in the import. */
function wrongArrow(file: string, target: string): string | undefined {
  const room = file.split('/')[0]!;
  // index.ts is the table of contents: it stands outside the rooms and may name all of them.
  if (room === 'index.ts') return target.startsWith('.') ? undefined : `${file} imports ${target}`;
  if (!order.includes(room) && !(room in roots)) return `${file} stands in no room`;
  if (!target.startsWith('.')) {
    const atRim = rooms.onlyInShow.some((name) => (name.endsWith(':') ? target.startsWith(name) : target === name));
    const bare =
      !target.startsWith('node:') && ts.sys.fileExists(join(root, 'node_modules', '@types/node', `${target}.d.ts`));
    if (bare) return `${file} imports ${target}: write node:${target}`;
    return room !== 'show' && atRim && !(exceptions[room] ?? []).includes(target)
      ? `${file} imports ${target}, which belongs in show/`
      : undefined;
  }
  const to = relative(src, join(src, dirname(file), target)).split(sep)[0]!;
  if (to === room) return undefined;
  const oneWay =
    to in roots
      ? roots[to]!.includes(room) || room === 'show'
      : order.slice(0, Math.max(0, order.indexOf(room))).includes(to);
  return oneWay ? undefined : `${file} imports ${target}: ${room}/ must not know ${to}/`;
}

function importsOf(path: string): readonly string[] {
  // preProcessFile sees every form: import, import type, export from, and import().
  return ts.preProcessFile(readFileSync(path, 'utf8'), true, true).importedFiles.map(({ fileName }) => fileName);
}

describe('the rooms of src/', () => {
  const files = readdirSync(src, { recursive: true, encoding: 'utf8' })
    .map((name) => name.split(sep).join('/'))
    .filter((name) => name.endsWith('.ts'));

  it('finds the files and their imports', () => {
    expect(files).toContain('series/creek.ts');
    expect(importsOf(join(src, 'series/creek.ts'))).toContain('./units.js');
  });

  it('imports only one way', () => {
    const wrong = files.flatMap((file) =>
      importsOf(join(src, file)).flatMap((target) => wrongArrow(file, target) ?? []),
    );
    expect(wrong).toEqual([]);
  });

  it('stands in the rooms that the rules name', () => {
    const strangers = files.filter(
      (file) => file !== 'index.ts' && !order.includes(file.split('/')[0]!) && !(file.split('/')[0]! in roots),
    );
    expect(strangers).toEqual([]);
  });
});

describe('the rule itself', () => {
  it.each([
    ['fit/fitLevels.ts', '../judge/skill.js', 'fit/fitLevels.ts imports ../judge/skill.js: fit/ must not know judge/'],
    [
      'series/units.ts',
      '../kernel/normal.js',
      'series/units.ts imports ../kernel/normal.js: series/ must not know kernel/',
    ],
    [
      'kernel/normal.ts',
      '../series/units.js',
      'kernel/normal.ts imports ../series/units.js: kernel/ must not know series/',
    ],
    [
      'read/readCreek.ts',
      '../kernel/normal.js',
      'read/readCreek.ts imports ../kernel/normal.js: read/ must not know kernel/',
    ],
    ['read/readCreek.ts', 'node:fs', 'read/readCreek.ts imports node:fs, which belongs in show/'],
    ['chart/chartCreek.ts', 'commander', 'chart/chartCreek.ts imports commander, which belongs in show/'],
    ['chart/chartCreek.ts', '../index.js', 'chart/chartCreek.ts imports ../index.js: chart/ must not know index.js/'],
    [
      'fit/fitLevels.ts',
      '../../tests/expectClose.js',
      'fit/fitLevels.ts imports ../../tests/expectClose.js: fit/ must not know ../',
    ],
    [
      'fit/fitLevels.ts',
      '../ratings/fitRating.js',
      'fit/fitLevels.ts imports ../ratings/fitRating.js: fit/ must not know ratings/',
    ],
    [
      'ratings/fitCurve.ts',
      '../fit/types.js',
      'ratings/fitCurve.ts imports ../fit/types.js: ratings/ must not know fit/',
    ],
    ['show/cli/main.ts', 'fs', 'show/cli/main.ts imports fs: write node:fs'],
  ])('refuses %s -> %s', (file, target, message) => {
    expect(wrongArrow(file, target)).toBe(message);
  });

  it.each([
    ['show/page/renderPage.ts', '../../chart/types.js'],
    ['judge/skill.ts', '../kernel/quantile.js'],
    ['read/digest.ts', 'node:crypto'],
    ['read/creekSchema.ts', 'zod'],
    ['show/text/issuesText.ts', '../../series/format.js'],
  ])('lets %s -> %s pass', (file, target) => {
    expect(wrongArrow(file, target)).toBe(undefined);
  });
});
