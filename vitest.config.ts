import { defineConfig } from 'vitest/config';

/*
 * Everything runs in UTC; the tests of times run a second time in a zone with a half-hour offset and a summer time, where
 * any leak of the machine's own zone shows.
 */
export default defineConfig({
  test: {
    testTimeout: 60_000,
    pool: 'forks',
    maxWorkers: 2,
    projects: [
      { extends: true, test: { name: 'utc', include: ['tests/**/*.test.ts'], env: { TZ: 'UTC' } } },
      {
        extends: true,
        test: {
          name: 'st-johns',
          include: ['tests/{series,read,align}/**/*.test.ts', 'tests/show/text/**/*.test.ts'],
          env: { TZ: 'America/St_Johns' },
        },
      },
    ],
  },
});
