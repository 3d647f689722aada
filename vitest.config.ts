import { defineConfig } from 'vitest/config';
import { SlowFirst } from './tests/slowFirst.js';

/*
 * Everything runs in UTC; the tests of times run a second time in a zone with a half-hour offset and a summer time, where
 * any leak of the machine's own zone shows, and the most telling of them a third time south of the equator, where summer time is half an hour.
 */
export default defineConfig({
  test: {
    testTimeout: 60_000,
    pool: 'forks',
    maxWorkers: 2,
    sequence: { sequencer: SlowFirst },
    projects: [
      { extends: true, test: { name: 'utc', include: ['tests/**/*.test.ts'], env: { TZ: 'UTC' } } },
      {
        extends: true,
        test: {
          name: 'st-johns',
          include: [
            'tests/{series,read,align}/**/*.test.ts',
            'tests/hostile/zones.test.ts',
            'tests/show/text/**/*.test.ts',
          ],
          env: { TZ: 'America/St_Johns' },
        },
      },
      {
        extends: true,
        test: {
          name: 'lord-howe',
          include: ['tests/hostile/zones.test.ts', 'tests/read/{readDelimited,readRdb,readVisits}*.test.ts'],
          env: { TZ: 'Australia/Lord_Howe' },
        },
      },
    ],
  },
});
