import { existsSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vitest/config';
import { SlowFirst } from './tests/slowFirst.js';

/** Files that change nothing outside themselves: no environment, no stream, no spy, no module loaded anew. */
const PLAIN = [
  'tests/{align,chart,fit,hostile,judge,kernel,ratings,read,reference,reproducible,sample,series,tell,validation}/**/*.test.ts',
  'tests/show/{text,write}/**/*.test.ts',
  'tests/show/{figureSvg,gaugesTables,page,pageEscape,trustTables}.test.ts',
  'tests/show/card/card.test.ts',
  'tests/docs/{exports,dependencies,fileFormats}.test.ts',
  'tests/safety/{paths,policy,writeFileSet}.test.ts',
  'tests/pack/supply.test.ts',
  'tests/rooms.test.ts',
];

const ROOT = dirname(fileURLToPath(import.meta.url));

/**
 * Tests of the built package (`npm test` builds it first): what a test imports from src comes from dist, loaded by Node itself. The
 * runner's own loading costs every process a second or two, and its fits take twice as long.
 */
function builtSources(): Plugin {
  return {
    name: 'built-sources',
    enforce: 'pre',
    resolveId(source, importer) {
      if (importer === undefined || !source.startsWith('.')) return undefined;
      const inSrc = relative(join(ROOT, 'src'), resolve(dirname(importer), source));
      const built = join(ROOT, 'dist', inSrc);
      return inSrc.startsWith('..') || !existsSync(built) ? undefined : built;
    },
  };
}

/*
 * Plain files share two processes, which load the sources once; all others get a process each.
 *
 * Everything runs in UTC; the tests of times run a second time in a zone with a half-hour offset and a summer time, where
 * any leak of the machine's own zone shows, and the most telling of them a third time south of the equator, where summer time is half an hour.
 */
export default defineConfig(({ mode }) => ({
  test: {
    testTimeout: 600_000,
    hookTimeout: 600_000,
    pool: 'forks',
    maxWorkers: 2,
    server: { deps: { external: [/\/dist\/.*\.js$/] } },
    sequence: { sequencer: SlowFirst },
    projects: [
      {
        extends: true,
        plugins: mode === 'built' ? [builtSources()] : [],
        test: {
          name: 'alone',
          include: ['tests/**/*.test.ts'],
          exclude: PLAIN,
          env: { TZ: 'UTC', SIGHTSTAGE_CACHE: 'off' },
        },
      },
      {
        extends: true,
        plugins: mode === 'built' ? [builtSources()] : [],
        test: { name: 'plain', isolate: false, include: PLAIN, env: { TZ: 'UTC', SIGHTSTAGE_CACHE: 'off' } },
      },
      {
        extends: true,
        plugins: mode === 'built' ? [builtSources()] : [],
        test: {
          name: 'st-johns',
          isolate: false,
          include: [
            'tests/{series,read,align}/**/*.test.ts',
            'tests/hostile/zones.test.ts',
            'tests/show/text/**/*.test.ts',
          ],
          env: { TZ: 'America/St_Johns', SIGHTSTAGE_CACHE: 'off' },
        },
      },
      {
        extends: true,
        plugins: mode === 'built' ? [builtSources()] : [],
        test: {
          name: 'lord-howe',
          isolate: false,
          include: ['tests/hostile/zones.test.ts', 'tests/read/{readDelimited,readRdb,readVisits}*.test.ts'],
          env: { TZ: 'Australia/Lord_Howe', SIGHTSTAGE_CACHE: 'off' },
        },
      },
    ],
  },
}));
