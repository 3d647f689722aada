import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { clubPage } from '../../src/show/page/clubPage.js';
import type { ClubRow } from '../../src/tell/clubDocument.js';
import { startBrowser, whyNoBrowser } from './chromium.js';

const missing = whyNoBrowser();
if (missing !== undefined && process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1')
  throw new Error(`browser tests must run here, but there is ${missing}`);

const row = (creek: string, more: Partial<ClubRow>): ClubRow => ({
  ...{ creek, folder: creek, timeZone: 'UTC', run: 'Main run', gauge: 'Weir', instruction: 'Take the flow.' },
  ...{ good: '2 to 3 m³/s', grade: 'fair guide', today: 'good 62 % (reading 1 h old)', lastVisitMs: 1e12 },
  ...{ missing: null, page: `${creek}/chart.html#run-main`, problem: null },
  ...more,
});
const ROWS: readonly ClubRow[] = [
  row('Larch', { grade: 'good guide', lastVisitMs: 3e12 }),
  row('Alder', { grade: 'rough guide', today: null, lastVisitMs: 2e12 }),
  row('Rowan', { grade: null, gauge: null, good: null, problem: 'No level is given: too thin.', lastVisitMs: null }),
];

describe.skipIf(missing !== undefined)('a list of runs in a browser', () => {
  let browser: Browser;
  let folder: string;
  let page: Page;
  const said: string[] = [];
  const shown = () =>
    page.$$eval('[data-row]:not([hidden]) td:first-child small', (cells) => cells.map((cell) => cell.textContent));
  beforeAll(async () => {
    browser = await startBrowser();
    folder = mkdtempSync(join(tmpdir(), 'sightstage-list-'));
    writeFileSync(join(folder, 'index.html'), clubPage(ROWS));
    page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    page.on('console', (message) => said.push(message.text()));
    page.on('pageerror', (error) => said.push(error.message));
    await page.goto(pathToFileURL(join(folder, 'index.html')).href);
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true });
  });

  it('is sorted by a column and back, what has no value last when upwards', async () => {
    const visits = page.getByRole('button', { name: 'last visit' });
    await visits.click();
    expect(await shown()).toEqual(['Rowan', 'Alder', 'Larch']);
    expect(await page.getAttribute('th[aria-sort]', 'aria-sort')).toBe('ascending');
    await visits.click();
    expect(await shown()).toEqual(['Larch', 'Alder', 'Rowan']);
    await page.getByRole('button', { name: 'trust' }).click();
    expect((await shown()).slice(0, 2)).toEqual(['Larch', 'Alder']);
  });

  it('is searched by words in any order and narrowed to a grade, and says how many are left', async () => {
    await page.fill('#search', 'run alder');
    expect(await shown()).toEqual(['Alder']);
    expect(await page.textContent('#count')).toBe('1 of 3');
    await page.fill('#search', '');
    await page.selectOption('#grade', 'good guide');
    expect(await shown()).toEqual(['Larch']);
    await page.selectOption('#grade', '');
    expect((await shown()).length).toBe(3);
  });

  it('fits a phone, one card a run, links to the charts, and says nothing', async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(390);
    expect(await page.isVisible('thead')).toBe(false);
    expect(await page.getAttribute('a:has-text("Main run")', 'href')).toMatch(/chart\.html#run-main$/);
    expect(await page.isVisible('.heed')).toBe(true);
    await page.emulateMedia({ media: 'print' });
    expect(await page.isVisible('.find')).toBe(false);
    expect(said).toEqual([]);
  });
});
