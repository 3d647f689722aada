import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { issueSentence } from '../../src/series/issue.js';
import { loadCreekFolder } from '../../src/show/creekFolder.js';
import { creekJson } from './creekExample.js';

const place = mkdtempSync(join(tmpdir(), 'sightstage-folder-'));
const folder = join(place, 'creek');
afterAll(() => rmSync(place, { recursive: true }));
beforeEach(() => {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(join(folder, 'gauges'), { recursive: true });
  writeFileSync(join(folder, 'creek.json'), JSON.stringify(creekJson()));
  writeFileSync(join(folder, 'visits.csv'), 'when,run,feature,saw,observer\n2024-01-01T10:00,upper,verdict,good,Ada\n');
  writeFileSync(join(folder, 'gauges/big.csv'), 'time,value\n2024-01-01T00:00Z,1\n2024-01-01T01:00Z,2\n');
});
const sentences = () => loadCreekFolder(folder).issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`);

describe('loadCreekFolder', () => {
  it('reads creek.json, visits.csv and the gauge files', () => {
    const input = loadCreekFolder(folder);
    expect(input.issues).toEqual([]);
    expect(input.counts).toEqual({ sightingRows: 1, sightingsUsed: 1, gaugeRows: 2, gaugeValuesUsed: 2 });
    expect(input.files.map((file) => file.name)).toEqual(['creek.json', 'visits.csv', 'gauges/big.csv']);
  });

  it('may itself be reached through a link', () => {
    symlinkSync(folder, join(place, 'link'));
    expect(loadCreekFolder(join(place, 'link')).issues).toEqual([]);
    rmSync(join(place, 'link'));
  });

  it('says each missing file once, and reads the rest', () => {
    rmSync(join(folder, 'visits.csv'));
    rmSync(join(folder, 'gauges/big.csv'));
    expect(sentences()).toEqual([
      'fatal visits.csv: found no such file, expected a file in the creek folder. Put the file there, or correct its name.',
      'fatal gauges/big.csv: found no such file, expected a file in the creek folder. Put the file there, or correct its name.',
    ]);
    expect(loadCreekFolder(folder).files.map((file) => file.name)).toEqual(['creek.json']);
  });

  it('a folder that is not there', () => {
    const input = loadCreekFolder(join(place, 'nowhere'));
    expect(input.creek).toBeUndefined();
    expect(input.issues.map(issueSentence)[0]).toBe(
      'creek.json: found no such file, expected a file in the creek folder. Put the file there, or correct its name.',
    );
  });

  it('refuses links that lead out, as a file and as a folder on the way', () => {
    writeFileSync(join(place, 'secret.csv'), 'time,value\n2024-01-01T00:00Z,1\n');
    rmSync(join(folder, 'gauges/big.csv'));
    symlinkSync(join(place, 'secret.csv'), join(folder, 'gauges/big.csv'));
    const refused = [
      'fatal gauges/big.csv: found a link that leads out of the folder, expected a file in the creek folder. Copy the file into the folder.',
    ];
    expect(sentences()).toEqual(refused);
    rmSync(join(folder, 'gauges'), { recursive: true });
    mkdirSync(join(place, 'outside'));
    writeFileSync(join(place, 'outside/big.csv'), 'time,value\n');
    symlinkSync(join(place, 'outside'), join(folder, 'gauges'));
    expect(sentences()).toEqual(refused);
    expect(loadCreekFolder(folder)).toMatchObject({ records: [], creek: { name: 'Tamarock Creek' } });
  });

  it('a neighbour whose name begins like the folder’s is outside', () => {
    mkdirSync(`${folder}-2`);
    writeFileSync(`${folder}-2/big.csv`, 'time,value\n');
    rmSync(join(folder, 'gauges/big.csv'));
    symlinkSync(`${folder}-2/big.csv`, join(folder, 'gauges/big.csv'));
    expect(loadCreekFolder(folder).issues[0]!.code).toBe('path-outside');
  });

  it('follows links that stay inside', () => {
    writeFileSync(join(folder, 'data.csv'), 'time,value\n2024-01-01T00:00Z,1\n');
    rmSync(join(folder, 'gauges/big.csv'));
    symlinkSync(join(folder, 'data.csv'), join(folder, 'gauges/big.csv'));
    expect(loadCreekFolder(folder).issues).toEqual([]);
  });

  it('a folder where a file should be', () => {
    rmSync(join(folder, 'gauges/big.csv'));
    mkdirSync(join(folder, 'gauges/big.csv'));
    expect(sentences()).toEqual([
      'fatal gauges/big.csv: found something that is no file, expected a file in the creek folder. Put the file itself there.',
    ]);
  });

  it('never opens a path that creek.json must not name', () => {
    const json = creekJson();
    json.gauges[0]!.files = ['../secret.csv'];
    writeFileSync(join(folder, 'creek.json'), JSON.stringify(json));
    const input = loadCreekFolder(folder);
    expect(input.creek).toBeUndefined();
    expect(input.issues).toMatchObject([{ code: 'path-outside', severity: 'fatal', column: 'gauges[0].files[0]' }]);
  });
});
