import { cpSync, mkdtempSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { appendVisits, cellsOf, VISIT_COLUMNS } from '../../../src/show/log/appendVisits.js';
import { runCli } from '../../../src/show/cli/runCli.js';
import { runCaught } from './fakeIo.js';

let folder = '';
const visits = () => readFileSync(join(folder, 'visits.csv'), 'utf8');
const line = 'log,2024-11-02T10:00,,upper,verdict,good,Ada,';
const args = ['--run', 'upper', '--when', '2024-11-02T10:00', '--who', 'Ada'];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sightstage-log-'));
  cpSync('data-sample', folder, { recursive: true });
});

describe('a visit by options', () => {
  it('is one line at the end, and never twice', async () => {
    const before = visits();
    const first = await runCaught(['log', folder, ...args, '--saw', 'verdict=good', '--note', 'cold, wet']);
    expect([first.exitCode, first.err]).toEqual([0, '']);
    expect(visits()).toBe(
      `${before}${before.endsWith('\n') ? '' : '\n'},2024-11-02T10:00,,upper,verdict,good,Ada,"cold, wet"\n`,
    );
    const after = visits();
    const again = await runCaught(['log', folder, ...args, '--saw', 'verdict=good']);
    expect(again.out).toContain('0 lines written into');
    expect(again.out).toContain('1 line stood there already.');
    expect(visits()).toBe(after);
    expect(readdirSync(folder).filter((name) => name.startsWith('.sightstage'))).toEqual([]);
  });
  it.each([
    ['verdict=goood', "Did you mean 'good'?"],
    ['lipp=wet', "Did you mean 'lip'?"],
  ])('%s is refused with what to do, and nothing is written', async (saw, hint) => {
    const before = visits();
    const run = await runCaught(['log', folder, ...args, '--saw', saw, '--saw', 'island=dry']);
    expect(run.exitCode).toBe(1);
    expect(run.err).toContain(hint);
    expect(visits()).toBe(before);
  });
  it('of a day to come is refused', async () => {
    const run = await runCaught([
      'log',
      folder,
      '--run',
      'upper',
      '--when',
      '2105-01-01T10:00',
      '--who',
      'Ada',
      '--saw',
      'verdict=good',
    ]);
    expect(run.err).toContain('a time in the future');
  });
});

describe('a visit by questions', () => {
  async function answered(answers: readonly string[]) {
    const asked: string[] = [];
    const left = [...answers];
    let out = '';
    const exitCode = await runCli(['log', folder], {
      out: (text) => void (out += text),
      err: (text) => void (out += text),
      ask: (question) => Promise.resolve((asked.push(question), left.shift() ?? '')),
      outIsTerminal: false,
      errIsTerminal: false,
      columns: 80,
      env: {},
    });
    return { exitCode, out, asked };
  }
  it("takes a class by its number or word, and asks again with the reason where an answer can't be used", async () => {
    const { exitCode, asked } = await answered([
      'uper',
      'upper',
      'yesterday',
      '2024-11-02T10:00',
      'Ada',
      '2',
      'drie',
      'dry',
    ]);
    expect(exitCode).toBe(0);
    expect(asked.some((question) => question.includes("'uper': a run is one of upper, lower"))).toBe(true);
    expect(asked.some((question) => question.includes('Write year-month-day'))).toBe(true);
    expect(asked.some((question) => question.includes("'drie': Did you mean 'dry'?"))).toBe(true);
    expect(visits().trimEnd().split('\n').slice(-2)).toEqual([
      ',2024-11-02T10:00,,upper,lip,wet,Ada,',
      ',2024-11-02T10:00,,upper,island,dry,Ada,',
    ]);
  });
  it('names neither gauge nor odds before the last answer', async () => {
    const { asked } = await answered(['upper', '2024-11-02T10:00', 'Ada', '2']);
    expect(asked.join('\n')).not.toMatch(/gauge|odds|%|Thrask|Pinnerel|Ostrell/);
  });
});

describe('lines of the form', () => {
  it('are taken in once, with or without their header row', async () => {
    const file = join(folder, 'lines.txt');
    writeFileSync(file, `${VISIT_COLUMNS.join(',')}\n${line}\n${line.replace('verdict,good', 'lip,wet')}\n`);
    expect((await runCaught(['log', folder, '--from', file])).out).toContain('2 lines written into');
    writeFileSync(file, `${line}\n${line.replace('verdict,good', 'island,dry')}\n`);
    const { out } = await runCaught(['log', folder, '--from', file]);
    expect(out).toContain('1 line written into');
    expect(out).toContain('1 line stood there already.');
  });
});

describe('the log itself', () => {
  const cells = (text: string) => cellsOf(VISIT_COLUMNS, text.split(','));
  it("keeps the file's own columns, and ends a last line that did not end", async () => {
    writeFileSync(join(folder, 'visits.csv'), 'observer,saw,feature,run,when\nBo,low,verdict,upper,2024-01-01T10:00');
    await appendVisits(folder, [cells(line)]);
    expect(visits()).toBe(
      'observer,saw,feature,run,when\nBo,low,verdict,upper,2024-01-01T10:00\nAda,good,verdict,upper,2024-11-02T10:00\n',
    );
  });
  it('takes every line of many writers at once', async () => {
    const before = visits().trimEnd().split('\n').length;
    const writers = Array.from({ length: 12 }, (_, i) =>
      appendVisits(folder, [cells(line.replace('Ada', `P${i}`)), cells(line)]),
    );
    const all = await Promise.all(writers);
    expect(visits().trimEnd().split('\n').length).toBe(before + 13);
    expect(all.reduce((sum, { added }) => sum + added.length, 0)).toBe(13);
  });
  it('is not touched where it cannot be read', async () => {
    writeFileSync(join(folder, 'visits.csv'), 'when;run\n');
    await expect(appendVisits(folder, [cells(line)])).rejects.toThrow(
      'visits.csv has no column when, run, feature, saw, observer',
    );
    expect(visits()).toBe('when;run\n');
  });
});
