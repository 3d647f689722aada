import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { plotlySource } from '../../src/show/cli/plotlySource.js';
import { chartPage } from '../../src/show/page/renderPage.js';
import { fixtureChart } from '../show/fixtureChart.js';
import { fixtureGauges } from '../show/fixtureGauges.js';
import { fixtureTrust } from '../show/fixtureTrust.js';
import { startBrowser, whyNoBrowser } from './chromium.js';

const missing = whyNoBrowser();
if (missing !== undefined) {
  if (process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1')
    throw new Error(`browser tests must run here, but there is ${missing}`);
  process.stderr.write(`skipped: browser tests of the part on trust, ${missing}\n`);
}

const require = createRequire(import.meta.url);
const AXE = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

describe.skipIf(missing !== undefined)('how far to trust it and which gauge to read, in a browser', () => {
  let browser: Browser;
  let folder: string;
  let url: string;
  const evil = `<b>good</b><img src=x onerror="document.title='broken'">'"`;
  const whole = fixtureChart({ classes: ['too low', 'low', evil, 'high', 'too high'], observer: evil });
  // One run and its first gauge: what is tested stands in one part of the page.
  const chart = { ...whole, runs: whole.runs.slice(0, 1).map((run) => ({ ...run, gauges: run.gauges.slice(0, 1) })) };
  const trust = fixtureTrust(chart, (judgement) => ({
    ...judgement,
    observers: {
      ...judgement.observers,
      rows: judgement.observers.rows.map((row, i) => (i === 0 ? { ...row, observer: evil } : row)),
    },
  }));

  const { runs, ...rest } = fixtureGauges();
  const [run] = runs;
  const gauges = {
    ...rest,
    runs: [
      {
        ...run!,
        ranking: {
          ...run!.ranking!,
          aside: [{ id: 'tarn', name: evil, reason: evil }],
          confirming: run!.ranking!.confirming.map((one) => ({ ...one, name: evil })),
        },
        loggers: run!.loggers.map((logger) => ({ ...logger, name: evil })),
        staffs: run!.staffs.map((staff) => ({ ...staff, name: evil, unit: evil })),
      },
    ],
  };

  beforeAll(async () => {
    browser = await startBrowser();
    folder = mkdtempSync(join(tmpdir(), 'sightstage-trust-'));
    const file = join(folder, 'chart.html');
    writeFileSync(file, chartPage(chart, { plotly: plotlySource(), trust, gauges }));
    url = pathToFileURL(file).href;
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true });
  });

  async function open(width: number): Promise<{ page: Page; said: string[] }> {
    const page = await (
      await browser.newContext({ viewport: { width, height: 900 }, hasTouch: width < 600 })
    ).newPage();
    const said: string[] = [];
    page.on('console', (message) => said.push(`${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => said.push(`error: ${error.message}`));
    page.on('request', (request) => {
      if (request.url() !== url && !request.url().startsWith('data:')) said.push(`asked for ${request.url()}`);
    });
    await page.goto(url);
    return { page, said };
  }

  const unfold = (page: Page, selector: string) =>
    page.evaluate(`for (const fold of document.querySelectorAll('${selector}')) fold.open = true`);

  it.each([1280, 390])('draws a figure when its fold opens, fits %i px, and holds no serious fault', async (width) => {
    const { page, said } = await open(width);
    const plots = page.locator('.trust .plot, .which .plot, .else .plot');
    // Seven of trust; the ranking, a logger's levels and correlations, a staff against words and against a gauge.
    expect(await plots.count()).toBe(12);
    expect(await page.locator(':is(.trust, .which, .else) .main-svg').count()).toBe(0);
    expect(await page.locator('.trust .finding:visible').count()).toBe(12);
    await unfold(page, '.piece');
    for (const plot of await plots.all()) {
      await plot.scrollIntoViewIfNeeded();
      await plot.locator('.main-svg').first().waitFor();
      // Labels of the axes and of the figure itself stay on the paper.
      const out = (await plot.evaluate((box) => {
        const paper = box.getBoundingClientRect();
        return [...box.querySelectorAll('text')]
          .filter((text) => text.textContent.trim() !== '')
          .map((text) => ({ text: text.textContent, at: text.getBoundingClientRect() }))
          .filter(({ at }) => at.left < paper.left - 1 || at.right > paper.right + 1 || at.bottom > paper.bottom + 1)
          .map(({ text }) => text);
      })) as string[];
      expect(out, (await plot.getAttribute('data-figure')) ?? '').toEqual([]);
    }
    expect(await page.locator('.trust .finding:visible').count()).toBe(0);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(width);
    // The policy of the page lets no script in; the checker comes in by the debugger, which stands above it.
    await page.evaluate(AXE);
    const { violations } = (await page.evaluate(
      `axe.run({ include: [['.trust'], ['.which'], ['.else']] }, { resultTypes: ['violations'] })`,
    )) as { violations: { id: string; impact: string; nodes: { target: string[] }[] }[] };
    expect(
      violations
        .filter(({ impact }) => impact === 'serious' || impact === 'critical')
        .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`),
    ).toEqual([]);
    expect(await page.title()).toBe('Ombrel Creek: level chart');
    expect(await page.locator('img, svg b, svg a').count()).toBe(0);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('prints each closed fold as its sentence and an open one whole', async () => {
    const { page } = await open(1280);
    await page.locator('.piece summary', { hasText: 'Suspect sightings' }).click();
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.trust .finding:visible').count()).toBe(11);
    expect(await page.locator('caption:visible', { hasText: 'Visits that look wrong' }).count()).toBe(1);
    expect(await page.locator('caption:visible', { hasText: 'What rules would have cost' }).count()).toBe(0);
    expect(await page.locator('.heed:visible').first().isVisible()).toBe(true);
    await page.context().close();
  });
});
