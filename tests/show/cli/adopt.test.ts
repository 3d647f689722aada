import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { runCaught } from './fakeIo.js';

const place = mkdtempSync(join(tmpdir(), 'sightstage-adopt-'));
const log = join(place, 'club.csv');
const gauge = join(place, 'river.csv');
const folder = join(place, 'creek');
writeFileSync(
  log,
  `Date;Time;Who;Level\n${Array.from({ length: 9 }, (_, i) => `${13 + i}.06.2021;14:00;${i % 2 ? 'Ada' : 'ada'};${['low', 'good', 'high'][i % 3]}`).join('\n')}\n`,
);
const hours = Array.from(
  { length: 400 },
  (_, h) => `${new Date(Date.UTC(2021, 5, 10, h)).toISOString()},${2 + (h % 9)}`,
);
writeFileSync(gauge, `time,flow (m3/s)\n${hours.join('\n')}\n`);

it('a folder is made of a spreadsheet and a download, which stay as they are', async () => {
  const before = readFileSync(log);
  const { exitCode, out } = await runCaught(['adopt', log, gauge, folder, '--zone', 'Europe/Vienna']);
  expect(exitCode).toBe(0);
  expect(out).toContain('logs/club.csv: a log of visits');
  expect(out).toContain('As it is read now: 9 of 9 sightings in 9 visits; 400 readings.');
  expect(readFileSync(log).equals(before)).toBe(true);
  expect(readFileSync(join(folder, 'logs', 'club.csv')).equals(before)).toBe(true);
  const check = await runCaught(['check', folder]);
  expect(check.exitCode).toBe(0);
  expect(check.out).toContain('9 visits from 9 of 9 sighting rows');
});

it('adopted again, a file keeps its one place in creek.json', async () => {
  await runCaught(['adopt', log, gauge, folder]);
  const creek = JSON.parse(readFileSync(join(folder, 'creek.json'), 'utf8')) as {
    tripLogs: object[];
    gauges: object[];
  };
  expect([creek.tripLogs.length, creek.gauges.length]).toEqual([1, 1]);
});

it('says how to export a spreadsheet, and what is missing', async () => {
  writeFileSync(join(place, 'club.xlsx'), 'PK');
  const sheet = await runCaught(['adopt', join(place, 'club.xlsx'), folder]);
  expect(sheet.exitCode).toBe(2);
  expect(sheet.err).toContain('save it as CSV (UTF-8), and adopt that file');
  expect((await runCaught(['adopt', join(place, 'none.csv'), folder])).err).toContain('cannot read');
  expect((await runCaught(['adopt', folder])).exitCode).toBe(2);
});
