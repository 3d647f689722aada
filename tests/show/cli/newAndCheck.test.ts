import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../../src/series/cautions.js';
import { runCaught } from './fakeIo.js';

let place: string;
beforeEach(() => {
  place = mkdtempSync(join(tmpdir(), 'sightstage-cli-'));
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

describe('sightstage new', () => {
  it('makes a folder that checks without a fatal problem or a warning', async () => {
    const folder = join(place, 'my-creek');
    const made = await runCaught(['new', folder, '--name', 'Larch Creek', '--zone', 'America/Denver']);
    expect(made).toMatchObject({ exitCode: 0, err: '' });
    expect(readdirSync(folder).sort()).toEqual(['README.txt', 'creek.json', 'gauges', 'visits.csv']);
    expect(JSON.parse(readFileSync(join(folder, 'creek.json'), 'utf8'))).toMatchObject({
      name: 'Larch Creek',
      timeZone: 'America/Denver',
    });

    const checked = await runCaught(['check', folder, '--json']);
    const report = JSON.parse(checked.out) as Record<string, unknown>;
    expect(report).toMatchObject({ kind: 'creek-check', fatal: 0, warnings: 0, visits: 2 });
    expect(report['gauges']).toEqual([{ id: 'river', readings: 72, from: '2031-05-01', to: '2031-05-04' }]);
    expect(checked.exitCode).toBe(0);
  });

  it('counts a logger of the club, apart from the gauges', async () => {
    const folder = join(place, 'my-creek');
    await runCaught(['new', folder]);
    const path = join(folder, 'creek.json');
    const creek = JSON.parse(readFileSync(path, 'utf8')) as Record<string, unknown>;
    const logger = { id: 'club', name: 'club logger', parameter: 'stage', unit: 'm', run: 'main', timeZone: 'UTC' };
    const file = { files: ['levels.csv'], format: 'delimited', columns: { time: 'time', value: 'level' } };
    writeFileSync(path, JSON.stringify({ ...creek, loggers: [{ ...logger, ...file }] }));
    writeFileSync(
      join(folder, 'levels.csv'),
      'time,level\n2031-05-02T10:00,0.4\n2031-05-03T10:10,\n2031-05-03T10:20,0.5\n',
    );
    const checked = await runCaught(['check', folder]);
    expect(checked.out).toContain(
      '\n  club logger (a logger at run main): 2 readings of stage in m, 2031-05-02 to 2031-05-03\n',
    );
    const report = JSON.parse((await runCaught(['check', folder, '--json'])).out) as Record<string, unknown>;
    expect(report['loggers']).toEqual([{ id: 'club', readings: 2, from: '2031-05-02', to: '2031-05-03' }]);
    expect(report['gauges']).toHaveLength(1);
  });

  it('explains every field of its creek.json in README.txt', async () => {
    const folder = join(place, 'my-creek');
    await runCaught(['new', folder]);
    const readme = readFileSync(join(folder, 'README.txt'), 'utf8');
    const creek = JSON.parse(readFileSync(join(folder, 'creek.json'), 'utf8')) as Record<string, object[]>;
    const features = (creek['runs']![0] as { features: object[] }).features;
    const fields = [creek, creek['runs']![0]!, features[0]!, features[1]!, creek['gauges']![0]!].flatMap(Object.keys);
    for (const field of new Set(fields)) expect(readme).toMatch(new RegExp(`^\\s*(id, )?${field}\\b`, 'm'));
    const header = readFileSync(join(folder, 'visits.csv'), 'utf8').split('\n')[0]!;
    for (const column of header.split(',')) expect(readme).toMatch(new RegExp(`^${column} `, 'm'));
  });

  it('explains the fields that its creek.json does without, and carries every caution', async () => {
    const folder = join(place, 'my-creek');
    await runCaught(['new', folder]);
    const readme = readFileSync(join(folder, 'README.txt'), 'utf8');
    const optional = ['verdictFrom', 'delimiter', 'decimalMark', 'datePattern', 'reach'];
    for (const field of [...optional, 'derivedGauges', 'kind', 'of', 'travelHours', 'loggers'])
      expect(readme).toMatch(new RegExp(`^\\s*${field}\\b`, 'm'));
    const flat = readme.replace(/\s+/g, ' ');
    expect(CAUTIONS).toHaveLength(5);
    for (const caution of CAUTIONS) expect(flat).toContain(`- ${caution}`);
    expect(readme).toContain('";" or "\\t" for tabs');
    expect(Math.max(...readme.split('\n').map((line) => line.length))).toBeLessThanOrEqual(125);
  });

  it('reads with the examples of README.txt put into its creek.json', async () => {
    const folder = join(place, 'my-creek');
    await runCaught(['new', folder]);
    const readme = readFileSync(join(folder, 'README.txt'), 'utf8');
    const examples = readme.match(/\{ "feature".*\}/g)!.map((text) => JSON.parse(text) as object);
    expect(examples).toHaveLength(2);
    const path = join(folder, 'creek.json');
    const creek = JSON.parse(readFileSync(path, 'utf8')) as { runs: object[]; gauges: object[] };
    for (const verdictFrom of examples) {
      const derivedGauges = [{ id: 'twice', name: 'Twice', kind: 'sum', of: ['river', 'river2'], travelHours: [0, 1] }];
      const gauges = [
        creek.gauges[0],
        { ...creek.gauges[0], id: 'river2', name: 'Second', delimiter: ',', decimalMark: '.' },
      ];
      writeFileSync(
        path,
        JSON.stringify({ ...creek, runs: [{ ...creek.runs[0], verdictFrom }], gauges, derivedGauges }),
      );
      const report = JSON.parse((await runCaught(['check', folder, '--json'])).out) as Record<string, unknown>;
      expect(report).toMatchObject({ fatal: 0, warnings: 0 });
    }
  });

  it('uses an empty folder, and refuses one that holds anything, untouched', async () => {
    const folder = join(place, 'taken');
    mkdirSync(folder);
    expect((await runCaught(['new', folder])).exitCode).toBe(0);
    const again = await runCaught(['new', folder]);
    expect(again).toEqual({
      exitCode: 2,
      out: '',
      err: `sightstage: ${folder} is not empty; nothing was written. Give the name of a new folder.\n`,
    });
  });

  it('refuses a file and an unknown zone', async () => {
    const file = join(place, 'a-file');
    writeFileSync(file, 'mine');
    expect((await runCaught(['new', file])).err).toBe(`sightstage: ${file} is a file; give the name of a new folder\n`);
    const zone = await runCaught(['new', join(place, 'x'), '--zone', 'Mars/North']);
    expect(zone.exitCode).toBe(2);
    expect(zone.err).toBe("sightstage: 'Mars/North' is not an IANA time zone; expected for example Europe/Vienna\n");
    expect(readdirSync(place)).toEqual(['a-file']);
  });

  it('lists the files as JSON', async () => {
    const folder = join(place, 'my-creek');
    const { out } = await runCaught(['new', folder, '--json']);
    expect(JSON.parse(out)).toEqual({
      kind: 'new-folder',
      folder,
      files: ['creek.json', 'visits.csv', 'README.txt', 'gauges/river.csv', 'gauges/README.txt'].map((file) =>
        join(folder, file),
      ),
    });
  });
});

describe('sightstage check', () => {
  /** A folder from the template, with changes. */
  async function folderWith(change: (folder: string) => void): Promise<string> {
    const folder = join(place, 'creek');
    await runCaught(['new', folder]);
    change(folder);
    return folder;
  }

  it('lists every problem at once, with file, row, column, found, expected and what to do', async () => {
    const folder = await folderWith((at) => {
      const path = join(at, 'visits.csv');
      writeFileSync(
        path,
        `${readFileSync(path, 'utf8')}v3,2031-05-05T10:00,,main,ledge,covrd,Ana,\nv3,nine,,main,verdict,good,Ana,\n`,
      );
      rmSync(join(at, 'gauges/river.csv'));
    });
    const { exitCode, out, err } = await runCaught(['check', folder]);
    expect(exitCode).toBe(1);
    expect(err).toBe('');
    const flat = out.replace(/\s+/g, ' ');
    expect(flat).toContain('gauges/river.csv');
    expect(flat).toContain('[file-missing]');
    expect(flat).toContain('visits.csv row 6, column saw');
    expect(flat).toContain('covrd');
    expect(flat).toContain('bare < wet < covered');
    expect(flat).toContain('visits.csv row 7, column when');
    expect(flat).toContain('[time-unreadable]');
  });

  it('says in one place each that no row of the log and no value of the record can be read', async () => {
    const folder = await folderWith((at) => {
      const visits = join(at, 'visits.csv');
      writeFileSync(visits, readFileSync(visits, 'utf8').replaceAll('2031-05-0', 'May '));
      const path = join(at, 'gauges/river.csv');
      const river = readFileSync(path, 'utf8').replaceAll(',', ';').replaceAll('.', ',');
      writeFileSync(path, river);
      const creek = readFileSync(join(at, 'creek.json'), 'utf8');
      writeFileSync(join(at, 'creek.json'), creek.replace('"format"', '"delimiter": ";", "format"'));
    });
    const { exitCode, out } = await runCaught(['check', folder]);
    expect(exitCode).toBe(1);
    const flat = out.replace(/\s+/g, ' ');
    expect(flat).toContain(
      "found no usable sighting in 4 rows (most often time-unreadable, first in row 2: 'May 3T10:30')",
    );
    expect(flat).toContain(
      "found not one readable value, but values such as '4,00', expected numbers (72 rows). Set decimalMark to ',' for the gauge in creek.json. [value-unreadable]",
    );
    expect(flat).toContain('1 fatal, 5 warnings, 0 notes.');
  });

  it('keeps control characters of the folder from the terminal', async () => {
    const folder = await folderWith((at) => {
      const path = join(at, 'visits.csv');
      writeFileSync(path, `${readFileSync(path, 'utf8')}v3,2031-05-05T10:00,,main,ledge,\u001b[2Jx\u009b1m,Ana,\n`);
    });
    const { out } = await runCaught(['check', folder]);
    expect(out).toContain('[class-unknown]');
    expect(out).not.toMatch(/[\u001b\u009b]/);
  });

  it('says what to do when the folder is not there, also as JSON', async () => {
    const gone = join(place, 'gone');
    const message = `no such folder: ${gone}. Make one with: sightstage new ${gone}`;
    expect(await runCaught(['check', gone])).toEqual({ exitCode: 2, out: '', err: `sightstage: ${message}\n` });
    const { out } = await runCaught(['check', gone, '--json']);
    expect(JSON.parse(out)).toEqual({ kind: 'error', exitCode: 2, message });
  });

  it('ends with 1 for a folder without a creek.json', async () => {
    const { exitCode, out } = await runCaught(['check', place]);
    expect(exitCode).toBe(1);
    expect(out).toContain('creek.json');
  });
});
