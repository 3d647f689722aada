import { defineConfig } from 'vitest/config';
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

/*
 * Plain files share two processes, which load the sources once; all others get a process each.
 *
 * Everything runs in UTC; the tests of times run a second time in a zone with a half-hour offset and a summer time, where
 * any leak of the machine's own zone shows, and the most telling of them a third time south of the equator, where summer time is half an hour.
 */
export default defineConfig({
  test: {
    testTimeout: 600_000,
    hookTimeout: 600_000,
    pool: 'forks',
    maxWorkers: 2,
    sequence: { sequencer: SlowFirst },
    projects: [
      {
        extends: true,
        test: {
          name: 'alone',
          include: ['tests/**/*.test.ts'],
          exclude: PLAIN,
          env: { TZ: 'UTC', SIGHTSTAGE_CACHE: 'off' },
        },
      },
      {
        extends: true,
        test: { name: 'plain', isolate: false, include: PLAIN, env: { TZ: 'UTC', SIGHTSTAGE_CACHE: 'off' } },
      },
      {
        extends: true,
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
        test: {
          name: 'lord-howe',
          isolate: false,
          include: ['tests/hostile/zones.test.ts', 'tests/read/{readDelimited,readRdb,readVisits}*.test.ts'],
          env: { TZ: 'Australia/Lord_Howe', SIGHTSTAGE_CACHE: 'off' },
        },
      },
    ],
  },
});
