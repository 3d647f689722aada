import { createHash } from 'node:crypto';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { CreekChart } from '../../../src/chart/types.js';
import { cardFolder } from '../../../src/show/card/cardFolder.js';
import { findChromium } from '../../../src/show/card/chromium.js';
import { newCreekFolder } from '../../../src/show/cli/newCreekFolder.js';
import { creekSlug } from '../../../src/show/write/creekSlug.js';
import { startBrowser, whyNoBrowser } from '../../browser/chromium.js';
import { runCaught } from '../cli/fakeIo.js';
import { fixtureChart } from '../fixtureChart.js';

const noBrowser = whyNoBrowser();
if (noBrowser !== undefined) {
  if (process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1') throw new Error(`card tests: ${noBrowser}`);
  process.stderr.write(`card tests with a browser skipped: ${noBrowser}\n`);
}

let place: string;
beforeEach(() => (place = mkdtempSync(join(tmpdir(), 'sightstage-card-'))));
afterEach(() => rmSync(place, { recursive: true, force: true }));

function chartIn(folder: string, chart: CreekChart = fixtureChart()): string {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'chart.json'), JSON.stringify(chart));
  return folder;
}

/** A program that stands in for the browser: writes down how it was called, and makes the file that was asked for. */
function fakeChromium(exitCode = 0): string {
  const path = join(place, 'chromium');
  const script = `#!/bin/sh
echo "$@" >> "${place}/calls"
for a in "$@"; do case "$a" in --screenshot=*|--print-to-pdf=*) printf 'made\\377\\000' > "\${a#*=}";; esac; done
exit ${exitCode}
`;
  writeFileSync(path, script);
  chmodSync(path, 0o755);
  return path;
}

describe('sightstage card', () => {
  it('writes the page, the sheet and the drawings without a Chromium, and says what is missing', async () => {
    const folder = chartIn(join(place, 'made'));
    const run = await runCaught(['card', folder]);
    expect(run.exitCode).toBe(0);
    expect(run.out.trim().split('\n')).toEqual(
      ['card.html', 'levels.csv', 'card-1.svg', 'card-2.svg'].map((name) => join(folder, name)),
    );
    expect(run.err).toBe(
      'sightstage: no Chromium on the search path (install one, or set CHROME_PATH to its program): no PNG and no PDF\n',
    );
    expect(readFileSync(join(folder, 'card.html'), 'utf8')).toContain('Upper Ombrel');
    const quiet = await runCaught(['card', folder, '--no-pictures', '--json', '--decimal', 'comma']);
    expect(quiet.err).toBe('');
    expect((JSON.parse(quiet.out) as { cards: object[]; missing: null }).cards.length).toBe(2);
    expect(readFileSync(join(folder, 'levels.csv'), 'utf8')).toContain(';Level;');
  });

  it('with a Chromium adds the PDF and the PNGs, from a profile of its own', async () => {
    const folder = chartIn(join(place, 'made'));
    const { files, missing } = await cardFolder(folder, { env: { CHROME_PATH: fakeChromium() } });
    expect(missing).toBe(undefined);
    expect(files.slice(-3)).toEqual(['card.pdf', 'card-1.png', 'card-2.png'].map((name) => join(folder, name)));
    const calls = readFileSync(join(place, 'calls'), 'utf8').trim().split('\n');
    expect(calls.length).toBe(3);
    for (const call of calls) expect(call).toMatch(/--headless .*--user-data-dir=\S+ .*file:\/\//);
    expect(calls[1]).toContain('--window-size=559,');
    // Bytes, not text.
    for (const name of ['card.pdf', 'card-2.png'])
      expect([...readFileSync(join(folder, name)).subarray(4)]).toEqual([0xff, 0]);
    const chart = fixtureChart();
    chartIn(folder, { ...chart, runs: chart.runs.slice(1) });
    const none = await runCaught(['card', folder]);
    expect([none.exitCode, none.out]).toEqual([3, '']);
    expect(none.err).toBe('No card: no gauge gave even a rough guide for any run. The reasons stand in the chart.\n');
    // An older card must not stay beside a chart that nobody should plan with.
    expect(readdirSync(folder)).toEqual(['chart.json']);
  });

  it('writes nothing when the Chromium fails', async () => {
    const folder = chartIn(join(place, 'made'));
    await expect(cardFolder(folder, { env: { CHROME_PATH: fakeChromium(7) } })).rejects.toThrow(
      /could not make the picture \(Command failed/,
    );
    expect(readdirSync(folder)).toEqual(['chart.json']);
  });

  it('puts all in place together or nothing: no PDF of one chart beside the sheet of another', async () => {
    const folder = chartIn(join(place, 'made'));
    await cardFolder(folder, { pictures: false });
    const before = readdirSync(folder).map((name) => [name, readFileSync(join(folder, name), 'utf8')]);
    mkdirSync(join(folder, 'card-2.png'));
    chartIn(folder, fixtureChart({ runName: 'Another run' }));
    await expect(cardFolder(folder, { env: { CHROME_PATH: fakeChromium() } })).rejects.toThrow(
      `cannot write into ${folder}: card-2.png is a folder there; move it away (EISDIR). What stood there before stands there still.`,
    );
    for (const [name, text] of before.filter(([name]) => name !== 'chart.json'))
      expect(readFileSync(join(folder, name!), 'utf8')).toBe(text);
    expect(readdirSync(folder).filter((name) => /pdf|^\./.test(name))).toEqual([]);
  });

  it('finds the chart of a creek folder, and refuses one that is older than the files', async () => {
    const creek = join(place, 'my-creek');
    const out = join(place, 'out');
    await newCreekFolder(creek, { name: 'Larch Creek' });
    const missing = await runCaught(['card', creek, '--out', out]);
    expect(missing.exitCode).toBe(2);
    expect(missing.err).toContain(`yet; make it with: sightstage chart ${creek}`);
    const files = readdirSync(creek, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name !== 'README.txt')
      .map((entry) => join(entry.parentPath, entry.name).slice(creek.length + 1));
    const sha = (name: string) =>
      createHash('sha256')
        .update(readFileSync(join(creek, name)))
        .digest('hex');
    const chart = fixtureChart();
    const provenance = { ...chart.provenance, files: files.map((name) => ({ name, sha256: sha(name), bytes: 1 })) };
    const made = chartIn(join(out, creekSlug('Larch Creek')), { ...chart, provenance });
    expect((await runCaught(['card', creek, '--out', out])).exitCode).toBe(0);
    expect(existsSync(join(made, 'card.html'))).toBe(true);
    cpSync(join(creek, 'visits.csv'), join(creek, 'before.csv'));
    writeFileSync(join(creek, 'visits.csv'), `${readFileSync(join(creek, 'before.csv'), 'utf8')}\n`);
    const older = await runCaught(['card', creek, '--out', out]);
    expect(older.exitCode).toBe(2);
    expect(older.err).toContain('visits.csv changed since the chart was made');
  });

  it.each([
    ['no folder of either kind', undefined, 'holds neither chart.json nor creek.json'],
    ['another kind of file', '{"kind":"creek-chart","schema":2}', 'is not a chart of sightstage'],
    ['no JSON', '{', 'is not a chart of sightstage'],
    [
      'the chart of another version',
      JSON.stringify({ ...fixtureChart(), provenance: { version: '0.0.1' } }),
      'is not a chart',
    ],
  ])('refuses %s', async (_, text, says) => {
    if (text !== undefined) writeFileSync(join(place, 'chart.json'), text);
    const run = await runCaught(['card', place]);
    expect(run.exitCode).toBe(2);
    expect(run.err).toContain(says);
  });
});

describe('the Chromium', () => {
  it('is CHROME_PATH, else the first on the search path', () => {
    const path = fakeChromium();
    expect(findChromium({ CHROME_PATH: path })).toBe(path);
    expect(findChromium({ PATH: `/nowhere:${place}` })).toBe(path);
    expect(findChromium({})).toBe(undefined);
    expect(() => findChromium({ CHROME_PATH: '/nowhere/chromium' })).toThrow(
      'CHROME_PATH is /nowhere/chromium, and no program stands there',
    );
  });

  it.skipIf(noBrowser !== undefined)('prints each card on one sheet of A5 and draws it', async () => {
    const chart = fixtureChart();
    const [upper] = chart.runs;
    // A derived gauge: the longest card that there is.
    const gauges = upper!.gauges.slice(0, 1).map((one) => ({
      ...one,
      gauge: {
        ...one.gauge,
        madeOf:
          'No station shows this flow: take the flow of the Ombrel River at Low Bridge minus that of Garn Brook at the mill 2.5 hours earlier (its m³/s times 35.31 are ft³/s).',
      },
    }));
    const folder = chartIn(join(place, 'made'), { ...chart, runs: [{ ...upper!, gauges }] });
    await cardFolder(folder);
    const pdf = readFileSync(join(folder, 'card.pdf'), 'latin1');
    expect(pdf.match(/\/Type \/Page\b/g)?.length).toBe(1);
    const [, width, height] = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!;
    // 148 × 210 mm in points, give or take the browser's rounding to whole pixels.
    expect(Math.abs(Number(width) - (148 / 25.4) * 72)).toBeLessThan(1);
    expect(Math.abs(Number(height) - (210 / 25.4) * 72)).toBeLessThan(1);
    const png = readFileSync(join(folder, 'card-1.png'));
    const drawn = / width="(\d+)" height="(\d+)"/.exec(readFileSync(join(folder, 'card-1.svg'), 'utf8'))!;
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([3 * Number(drawn[1]), 3 * Number(drawn[2])]);
  });

  it.skipIf(noBrowser !== undefined)('shows the page on a phone without scrolling sideways', async () => {
    const folder = chartIn(join(place, 'made'));
    await cardFolder(folder, { pictures: false });
    const browser = await startBrowser();
    try {
      const tab = await browser.newPage({ viewport: { width: 390, height: 800 } });
      const said: string[] = [];
      tab.on('console', (message) => said.push(message.text()));
      await tab.goto(pathToFileURL(join(folder, 'card.html')).href);
      expect(await tab.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
      expect(said).toEqual([]);
    } finally {
      await browser.close();
    }
  });
});
