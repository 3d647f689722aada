import { execFileSync } from 'node:child_process';
import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { issueSentence } from '../../src/series/issue.js';
import { loadCreekFolder } from '../../src/show/creekFolder.js';
import { writeOutputs } from '../../src/show/write/writeOutputs.js';
import { runCaught } from '../show/cli/fakeIo.js';
import { handChart } from '../show/text/handChart.js';
import { creekJson, smallCreek, writeFolder } from './smallCreek.js';

let place: string;
let folder: string;
beforeEach(() => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-paths-'));
  folder = join(place, 'creek');
  writeFolder(folder, smallCreek());
  writeFileSync(join(place, 'secret.csv'), 'time,value\n2031-03-01T00:00Z,424242\n');
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

const gauge = () => join(folder, 'gauges/river.csv');
const fatal = () =>
  loadCreekFolder(folder)
    .issues.filter(({ severity }) => severity === 'fatal')
    .map((issue) => `${issue.code}: ${issueSentence(issue)}`);
const says = (code: string, found: string, hint: string, name = 'gauges/river.csv') => [
  `${code}: ${name}: found ${found}, expected a file in the creek folder. ${hint}`,
];
const OUTSIDE = says('path-outside', 'a link that leads out of the folder', 'Copy the file into the folder.');
const NO_FILE = says('file-unreadable', 'something that is no file', 'Put the file itself there.');

describe('what creek.json names', () => {
  it.each([
    ['a link to a file outside', '../../secret.csv'],
    ['an absolute link', '/etc/passwd'],
    ['a link to a device that never ends', '/dev/zero'],
    ['a link to a terminal', '/dev/tty'],
    ['a link to the memory of a process', '/proc/self/environ'],
  ])('is not read through %s', (_, target) => {
    rmSync(gauge());
    symlinkSync(target, gauge());
    if (!existsSync(gauge())) return expect(fatal()[0]).toMatch(/^file-missing|^path-outside|^file-unreadable/);
    expect(fatal()).toEqual(OUTSIDE);
    expect(JSON.stringify(loadCreekFolder(folder))).not.toContain('424242');
  });

  it('is not read through a link inside that leads to another one outside', () => {
    rmSync(gauge());
    symlinkSync('../../secret.csv', join(folder, 'gauges/step.csv'));
    symlinkSync('step.csv', gauge());
    expect(fatal()).toEqual(OUTSIDE);
  });

  it('is not read through a folder that is a link, or a link out and back', () => {
    rmSync(join(folder, 'gauges'), { recursive: true });
    mkdirSync(join(place, 'gauges'));
    writeFileSync(join(place, 'gauges/river.csv'), 'time,value\n2031-03-01T00:00Z,424242\n');
    symlinkSync('../gauges', join(folder, 'gauges'));
    expect(fatal()).toEqual(OUTSIDE);
  });

  it('says what a folder, a link to one, a circle of links and a missing target are', () => {
    rmSync(gauge());
    mkdirSync(gauge());
    expect(fatal()).toEqual(NO_FILE);
    rmSync(gauge(), { recursive: true });
    symlinkSync('.', gauge());
    expect(fatal()).toEqual(NO_FILE);
    rmSync(gauge());
    symlinkSync('river.csv', gauge());
    expect(fatal()).toEqual(says('file-unreadable', 'links that lead in a circle', 'Put the file itself there.'));
    rmSync(gauge());
    symlinkSync('gone.csv', gauge());
    expect(fatal()).toEqual(says('file-missing', 'no such file', 'Put the file there, or correct its name.'));
  });

  it('is not waited for when it is a pipe, in the place of any of the files', { timeout: 60_000 }, () => {
    for (const name of ['gauges/river.csv', 'visits.csv', 'creek.json']) {
      rmSync(join(folder, name));
      execFileSync('mkfifo', [join(folder, name)]);
      expect(fatal()).toContain(
        says('file-unreadable', 'something that is no file', 'Put the file itself there.', name)[0],
      );
    }
  });

  it('is no file when it is a socket', async () => {
    rmSync(gauge());
    const server = await new Promise<Server>((done) => {
      const listening = createServer().listen(gauge(), () => done(listening));
    });
    expect(fatal()).toEqual(NO_FILE);
    await new Promise((done) => server.close(done));
  });

  it.each([
    '../secret.csv',
    'gauges/../../secret.csv',
    '/etc/passwd',
    'C:\\secret.csv',
    'C:secret.csv',
    '\\\\server\\share\\secret.csv',
    '//server/share/secret.csv',
    '..\\secret.csv',
    'gauges\\..\\..\\secret.csv',
    '\\\\?\\C:\\secret.csv',
    'gauges/river.csv\0.txt',
    'gauges/nul',
    'gauges/river.csv::$DATA',
    '~/secret.csv',
    'file:///etc/passwd',
    'gauges/%2e%2e/%2e%2e/secret.csv',
    '.\u200b./secret.csv',
    'gauges/'.repeat(37),
    'x'.repeat(300),
    'x'.repeat(301),
    'x'.repeat(100_000),
  ])('%#: never leaves the folder nor the sentence', (path) => {
    const json = creekJson();
    json.gauges[0]!.files = [path];
    writeFileSync(join(folder, 'creek.json'), JSON.stringify(json));
    const input = loadCreekFolder(folder);
    const serious = input.issues.filter(({ severity }) => severity === 'fatal');
    expect(serious.length).toBeGreaterThan(0);
    for (const { code } of serious)
      expect(['path-outside', 'file-missing', 'file-unreadable', 'creek-invalid']).toContain(code);
    expect(JSON.stringify(input)).not.toContain('424242');
    // The path of this machine is nobody's business, and would differ elsewhere.
    expect(JSON.stringify(input.issues)).not.toContain(place);
  });

  it('is refused by its size before a byte of it is read', async () => {
    execFileSync('truncate', ['-s', '3G', gauge()]);
    expect(fatal()).toEqual([
      'limit-exceeded: gauges/river.csv: found 3,221,225,472 bytes, expected at most 400,000,000. Cut a gauge file into several and list them all under files.',
    ]);
  });
});

describe('--out', () => {
  const chart = async (out: string) => {
    // Seconds matter here, not the chart: a run that is refused comes to an end before the fit.
    const run = await runCaught([
      'chart',
      folder,
      '--out',
      out,
      '--quick',
      '--quiet',
      '--lag',
      '1..1',
      '--storage',
      '0..0',
    ]);
    return { exitCode: run.exitCode, said: run.err.split('\n')[0] };
  };

  it.each([
    ['is a file', 'file', 'EEXIST'],
    ['lies below a file', 'file/below', 'ENOTDIR'],
    ['is a link to nowhere', 'dangling', 'ENOENT'],
    ['is a device', '/dev/null', 'EEXIST'],
    ['holds a zero', 'a\0b', 'ERR_INVALID_ARG_VALUE'],
    ['is longer than a name may be', 'x'.repeat(300), 'ENAMETOOLONG'],
  ])('%s: one sentence, code 4, nothing written', async (_, out, code) => {
    writeFileSync(join(place, 'file'), 'mine');
    symlinkSync(join(place, 'nowhere'), join(place, 'dangling'));
    const at = out.startsWith('/') ? out : join(place, out);
    const { exitCode, said } = await chart(at);
    expect(exitCode).toBe(4);
    expect(said).toMatch(new RegExp(`^sightstage: cannot write into .*${code}`));
    expect(readFileSync(join(place, 'file'), 'utf8')).toBe('mine');
    expect(readdirSync(place).sort()).toEqual(['creek', 'dangling', 'file', 'secret.csv']);
  });

  it('is a link to a folder: followed; the files there are replaced, never written through', async () => {
    mkdirSync(join(place, 'real/larch-creek'), { recursive: true });
    symlinkSync('real', join(place, 'link'));
    writeFileSync(join(place, 'precious.txt'), 'mine');
    symlinkSync(join(place, 'precious.txt'), join(place, 'real/larch-creek/chart.html'));
    writeFileSync(join(place, 'real/larch-creek/notes.txt'), 'mine too');
    await writeOutputs({ chart: handChart(), page: 'page', issues: [] }, join(place, 'link'));
    expect(readFileSync(join(place, 'precious.txt'), 'utf8')).toBe('mine');
    expect(readFileSync(join(place, 'real/larch-creek/notes.txt'), 'utf8')).toBe('mine too');
    expect(lstatSync(join(place, 'real/larch-creek/chart.html')).isFile()).toBe(true);
    expect(lstatSync(join(place, 'link')).isSymbolicLink()).toBe(true);
  });
});
