import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { CreekChart } from '../../src/chart/types.js';
import { startBrowser, whyNoBrowser } from '../browser/chromium.js';
import { runCaught, type CliRun } from '../show/cli/fakeIo.js';
import { auditPage, openHostile } from './auditPage.js';
import { expectHarmlessCsv, expectHarmlessJson, expectHarmlessMarkdown, expectHarmlessTerminal } from './harmless.js';
import { hostileFolder } from './hostileFolder.js';
import { writeFolder } from './smallCreek.js';

const missing = whyNoBrowser();
if (missing !== undefined) {
  if (process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1')
    throw new Error(`browser tests must run here, but there is ${missing}`);
  process.stderr.write(`skipped: hostile texts in a browser, ${missing}\n`);
}

/** One turn of the payloads through every command. */
interface Round {
  readonly markers: ReadonlyMap<string, string>;
  readonly said: ReadonlyMap<string, CliRun>;
  /** Every file below the output folder, whichever command wrote it. */
  readonly files: readonly string[];
}

const place = mkdtempSync(join(tmpdir(), 'sightstage-hostile-'));
afterAll(() => rmSync(place, { recursive: true, force: true }));
const rounds: Round[] = [];

beforeAll(async () => {
  for (const turn of [0, 1]) {
    const { texts, markers } = hostileFolder(turn);
    // The folder's own name is hostile too, as far as a file system takes it.
    const folder = join(place, String(turn), '<img src=x onerror=__ranHere=1> =1+1 \u001b[31m\u202e [a](b)');
    const out = join(place, String(turn), 'out \u001b]0;t\u0007 <b> \u009b31m');
    mkdirSync(folder, { recursive: true });
    writeFolder(folder, texts);
    const only = ['--gauge', turn === 0 ? 'river' : 'second', '--lag', '1..2', '--storage', '0..0'];
    const said = new Map<string, CliRun>();
    const call = async (name: string, args: readonly string[], terminal = false) =>
      said.set(name, await runCaught(args, { terminal, env: { TERM: 'xterm' } }));
    await call('check', ['check', folder]);
    await call('check --json', ['check', folder, '--json']);
    await call('check on a terminal', ['check', folder], true);
    const json = turn === 0 ? [] : ['--json'];
    await call(['chart', ...json].join(' '), ['chart', folder, '--out', out, '--quick', ...only, ...json], turn === 0);
    await call('card', ['card', folder, '--out', out, '--no-pictures']);
    await call('card --json', ['card', folder, '--out', out, '--no-pictures', '--json', '--decimal', 'comma']);
    const files = readdirSync(out, { recursive: true, encoding: 'utf8', withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name));
    rounds.push({ markers, said, files });
  }
});

const filesOf = (round: Round, ending: string) => round.files.filter((file) => extname(file) === ending);
const nameOf = (file: string) => file.split('/').at(-1)!;

describe.each([0, 1])('every free text hostile, turn %i', (turn) => {
  it('charts, and the texts arrive where people read them', () => {
    const round = rounds[turn]!;
    const charted = round.said.get('chart') ?? round.said.get('chart --json')!;
    expect(charted.exitCode, charted.err.slice(-400)).toBe(0);
    expect(round.said.get('card')!.exitCode, round.said.get('card')!.err.slice(-400)).toBe(0);
    const page = readFileSync(
      round.files.find((file) => file.endsWith('chart.html'))!,
      'utf8',
    );
    const notUsed = readFileSync(
      round.files.find((file) => file.endsWith('not-used.csv'))!,
      'utf8',
    );
    const arrived = (text: string) =>
      [...round.markers].filter(([mark]) => text.includes(mark)).map(([, name]) => name);
    const fields = [
      ...['creek name', 'run name', 'class good', 'feature name', 'feature class wet'],
      ...(turn === 0 ? ['staff name', 'staff unit'] : ['logger name']),
    ];
    expect(arrived(page)).toEqual(
      expect.arrayContaining([...fields, 'looks 0', 'observer Ana', turn === 0 ? 'gauge name' : 'second gauge name']),
    );
    expect(arrived(notUsed)).toEqual(
      expect.arrayContaining(['unknown class', 'unknown feature', 'unknown run', 'unreadable time', 'refused code']),
    );
    const seen = new Set(
      [
        ...[...round.said.values()].flatMap(({ out, err }) => [out, err]),
        ...round.files.map((f) => readFileSync(f, 'utf8')),
      ].flatMap(arrived),
    );
    // Held back everywhere: read, and shown nowhere.
    const nowhere = [...round.markers.values()].filter((name) => !seen.has(name));
    expect(nowhere.length, nowhere.join(', ')).toBeLessThan(round.markers.size / 3);
  });

  it('terminal: no escape code, control or reordering mark', () => {
    for (const [name, { out, err }] of rounds[turn]!.said) {
      if (!name.includes('--json')) expectHarmlessTerminal(out, name, { coloured: true });
      expectHarmlessTerminal(err, `${name}, errors`);
    }
  });

  it('JSON: parses, and may be shown', () => {
    const round = rounds[turn]!;
    const files = filesOf(round, '.json');
    expect(files.map(nameOf)).toContain('chart.json');
    for (const file of files) expectHarmlessJson(readFileSync(file, 'utf8'), nameOf(file));
    for (const [name, { out }] of round.said) if (name.includes('--json')) expectHarmlessJson(out, name);
  });

  it('CSV: no cell starts a formula', () => {
    const files = filesOf(rounds[turn]!, '.csv');
    expect(files.map(nameOf).sort()).toEqual(expect.arrayContaining(['chart.csv', 'not-used.csv']));
    for (const file of files) expectHarmlessCsv(readFileSync(file, 'utf8'), nameOf(file));
  });

  it('Markdown: no link, picture, HTML, code or mathematics', async () => {
    const files = filesOf(rounds[turn]!, '.md');
    expect(files.map(nameOf)).toContain('chart.md');
    for (const file of files) await expectHarmlessMarkdown(readFileSync(file, 'utf8'), nameOf(file));
  });

  it('knows every kind of file that was written', () => {
    // made-from.txt: a path of the keeper's own machine.
    const known = ['.html', '.json', '.csv', '.md', '.svg', '.txt'];

    expect(rounds[turn]!.files.filter((file) => !known.includes(extname(file))).map(nameOf)).toEqual([]);
  });
});

describe.skipIf(missing !== undefined)('in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await startBrowser();
  });
  afterAll(() => browser.close());

  it.each([0, 1])('no page or picture runs, asks or points anywhere, turn %i', async (turn) => {
    const round = rounds[turn]!;
    const files = [...filesOf(round, '.html'), ...filesOf(round, '.svg')];
    expect(files.map(nameOf)).toContain('chart.html');
    for (const file of files) {
      const { ran, said, asked, audit } = await openHostile(browser, pathToFileURL(file).href);
      expect({ ran, said, asked }, nameOf(file)).toEqual({ ran: false, said: [], asked: [] });
      expect(audit, nameOf(file)).toEqual([]);
    }
  });

  it('what a notebook shows runs nothing either', async () => {
    const { show, oddsFigure, hydrographFigure, gaugeScale } = await import('../../src/show/notebook/index.js');
    const json = rounds[0]!.files.find((file) => file.endsWith('chart.json'))!;
    const chart = JSON.parse(readFileSync(json, 'utf8')) as CreekChart;
    const [run] = chart.runs;
    const [gauge] = run!.gauges;
    const scale = gaugeScale([gauge!]);
    const timeZone = chart.creek.timeZone;
    const shown: Record<string, unknown>[] = [];
    // The kernel's writer is found among the loaded modules by its file name.
    const { cache } = createRequire(import.meta.url);
    const kernel = '/nowhere/tslab/dist/jupyter.js';
    cache[kernel] = {
      exports: { lastWriteDisplayData: ({ data }: { data: Record<string, unknown> }) => shown.push(data) },
    } as never;
    const quiet = vi.spyOn(process.stdout, 'write').mockReturnValue(true);
    try {
      show(chart);
      show(gauge);
      show(gauge!.trust);
      show(oddsFigure(gauge!, { scale, timeZone }));
      show(hydrographFigure(gauge!, { scale, classes: run!.classes, timeZone }));
    } finally {
      quiet.mockRestore();
      Reflect.deleteProperty(cache, kernel);
    }
    expect(shown.length).toBeGreaterThan(5);
    const marked = JSON.stringify(shown.map((data) => data['text/html']));
    expect(marked).toMatch(/Qz\d\dzQ/);
    for (const data of shown) expectHarmlessTerminal(String(data['text/plain']), 'notebook text');
    const pieces = shown.flatMap((data) =>
      [data['text/html'], data['image/svg+xml']].filter((one) => typeof one === 'string'),
    );
    const page = await auditPage(browser, pieces as string[]);
    expect(page).toEqual({ ran: false, said: [], asked: [], audit: [] });
  });
});
