import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { oddsAt } from '../../src/chart/figures/oddsAt.js';
import { wholePercents } from '../../src/chart/figures/wholePercents.js';
import type { CreekChart } from '../../src/chart/types.js';
import { plotlySource } from '../../src/show/cli/plotlySource.js';
import { chartPage } from '../../src/show/page/renderPage.js';
import { fixtureChart } from '../show/fixtureChart.js';
import { startBrowser, whyNoBrowser } from './chromium.js';

const missing = whyNoBrowser();
if (missing !== undefined) {
  if (process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1')
    throw new Error(`browser tests must run here, but there is ${missing}`);
  process.stderr.write(`skipped: browser tests, ${missing}\n`);
}

const require = createRequire(import.meta.url);
const AXE = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const WIDTHS = [1280, 390];

/** A page opened from a file, with everything it said and asked for. */
interface Opened {
  readonly page: Page;
  readonly said: string[];
  readonly asked: string[];
}

describe.skipIf(missing !== undefined)('chart.html in a browser', () => {
  let browser: Browser;
  let folder: string;
  const chart = fixtureChart();
  const level = chart.runs[0]!.gauges[0]!.level!;

  beforeAll(async () => {
    browser = await startBrowser();
    folder = mkdtempSync(join(tmpdir(), 'sightstage-page-'));
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true });
  });

  const files = new Map<CreekChart, string>();
  function fileOf(shown: CreekChart): string {
    const known = files.get(shown);
    if (known !== undefined) return known;
    const file = join(folder, `${files.size}.html`);
    writeFileSync(file, chartPage(shown, { plotly: plotlySource() }));
    files.set(shown, file);
    return file;
  }

  async function open(shown: CreekChart, { width, height = 900 }: { width: number; height?: number }): Promise<Opened> {
    const file = fileOf(shown);
    const context = await browser.newContext({ viewport: { width, height }, hasTouch: width < 600 });
    const page = await context.newPage();
    const said: string[] = [];
    const asked: string[] = [];
    page.on('console', (message) => said.push(`${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => said.push(`error: ${error.message}`));
    page.on('request', (request) => asked.push(request.url()));
    await page.goto(pathToFileURL(file).href);
    return { page, said, asked: asked.filter((url) => url !== pathToFileURL(file).href && !url.startsWith('data:')) };
  }

  /** Scrolls through everything, so that all figures are drawn. */
  async function drawAll(page: Page): Promise<void> {
    await page.evaluate(`(async () => {
      for (const fold of document.querySelectorAll('details')) fold.open = true;
      for (let y = 0; y < document.documentElement.scrollHeight; y += 400) {
        scrollTo(0, y);
        await new Promise((done) => setTimeout(done, 30));
      }
      scrollTo(0, 0);
    })()`);
    await page.waitForFunction(
      `[...document.querySelectorAll('.plot')].every((plot) => plot.clientWidth === 0 || plot.querySelector('.main-svg'))`,
    );
  }

  const numbersIn = (text: string) => [...text.matchAll(/(\d+)\s%/g)].map((match) => Number(match[1]));
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

  it.each(WIDTHS)(
    'says nothing on the console, asks for nothing and scrolls in one direction at %i px',
    async (width) => {
      const { page, said, asked } = await open(chart, { width });
      await drawAll(page);
      const idsOf = (selector: string) => page.locator(selector).evaluateAll((all) => all.map((one) => one.id));
      for (const gauge of await idsOf('#run0 > .tabs > .tablist [role=tab]')) {
        await page.click(`#${gauge}`);
        for (const way of await idsOf('.ways:visible > .tablist [role=tab]')) {
          await page.click(`#${way}`);
          await drawAll(page);
          expect(await page.evaluate('document.documentElement.scrollWidth'), `${gauge} ${way}`).toBe(width);
        }
      }
      expect(said).toEqual([]);
      expect(asked).toEqual([]);
      await page.context().close();
    },
  );

  it('answers a typed reading with the odds of the table, in percents that sum to 100', async () => {
    const { page, said } = await open(chart, { width: 390 });
    const answer = page.locator('[data-answer="r0g0e"]');
    for (const value of [136, 150, 240, 312, 419.5, 640, 840]) {
      await page.fill('#r0g0e-value', String(value));
      const shown = await answer
        .locator('.bars li')
        .evaluateAll((rows) =>
          rows.map((row) => [
            Number((row as HTMLElement).dataset.class),
            parseInt(row.querySelector('.percent')!.textContent!, 10),
          ]),
        );
      const percents = shown.sort(([a], [b]) => a! - b!).map(([, percent]) => percent!);
      expect(sum(percents)).toBe(100);
      expect(percents).toEqual(wholePercents(oddsAt(level.odds, value)!));
    }
    expect(await answer.locator('.says').textContent()).toMatch(
      /^840 ft³\/s \(23\.8 m³\/s\): most likely “too high”, \d+ in 100\.$/,
    );
    expect(await page.locator('.plotwrap:has([data-figure="r0g0e-odds"]) .mark.typed').count()).toBeLessThanOrEqual(1);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('takes the other unit, a decimal comma, and asks back what it cannot read', async () => {
    const { page } = await open(chart, { width: 1280 });
    const says = page.locator('[data-answer="r0g0e"] .says');
    const bars = page.locator('[data-answer="r0g0e"] .bars');
    await page.fill('#r0g0e-value', '312');
    const own = await bars.textContent();
    await page.selectOption('#r0g0e-unit', 'm3/s');
    // 312 ft³/s are 8.834856 m³/s.
    await page.fill('#r0g0e-value', '8,834856');
    expect(await bars.textContent()).toBe(own);
    for (const [typed, words] of [
      ['1,200', 'The comma could mean thousands or decimals: write 1200 or 1.2.'],
      ['low', 'That is no number: write it like 312 or 8.5.'],
      ['0', 'A flow of zero or less says nothing here.'],
      ['', 'Type a reading, or point at the figure.'],
    ] as const) {
      await page.fill('#r0g0e-value', typed);
      expect(await says.textContent()).toBe(words);
      expect(await bars.isVisible()).toBe(false);
    }
    await page.context().close();
  });

  it('gives no class beyond what was seen but "at least" and "at most"', async () => {
    const { page } = await open(chart, { width: 1280 });
    const says = page.locator('[data-answer="r0g0e"] .says');
    await page.fill('#r0g0e-value', '5000');
    expect(await says.textContent()).toMatch(
      /^5000 ft³\/s \(142 m³\/s\): not seen\. Nobody has logged a visit above 841 ft³\/s \(23\.8 m³\/s\)\. Take it as at least “too high”; how much more, nobody here knows\.$/,
    );
    expect(await page.locator('[data-answer="r0g0e"] .bars').isVisible()).toBe(false);
    await page.fill('#r0g0e-value', '20');
    expect(await says.textContent()).toMatch(
      /not seen\. Nobody has logged a visit below .+ Take it as at most “too low”\.$/,
    );
    await page.context().close();
  });

  it('works the change of the last hour into the effective reading', async () => {
    const { page } = await open(chart, { width: 1280 });
    await page.locator('[role=tab]', { hasText: 'Garn Brook' }).click();
    const says = page.locator('[data-answer="r0g1e"] .says');
    const storage = chart.runs[0]!.gauges[1]!.level!.reading.storageHours;
    expect(storage).toBe(-8);
    await page.fill('#r0g1e-value', '1.00');
    expect(await says.textContent()).toBe('And what did it read one hour earlier?');
    await page.fill('#r0g1e-before', '0.98');
    // 1.00 + 8 × 0.02 = 1.16
    expect(await says.textContent()).toMatch(/^Effective reading 1\.16 m \(3\.81 ft\): most likely/);
    await page.fill('#r0g1e-before', '1.02');
    expect(await says.textContent()).toMatch(/^Effective reading 0\.84 m/);
    await page.context().close();
  });

  it.each(WIDTHS)('gives odds at the place pointed at that sum to 100, at %i px', async (width) => {
    const { page, said } = await open(chart, { width });
    const plot = page.locator('[data-figure="r0g0e-odds"]');
    const readout = page.locator('[data-cursor="r0g0e"]');
    await plot.scrollIntoViewIfNeeded();
    await plot.locator('.main-svg').first().waitFor();
    const box = (await plot.boundingBox())!;
    const seen: number[] = [];
    for (const share of [0.2, 0.3, 0.45, 0.6, 0.75, 0.85]) {
      const [x, y] = [box.x + share * box.width, box.y + 120];
      if (width < 600) await page.touchscreen.tap(x, y);
      else await page.mouse.move(x, y);
      const text = (await readout.textContent())!;
      if (text.includes('not seen') || text.startsWith('Point at')) continue;
      expect(sum(numbersIn(text)), text).toBe(100);
      expect(numbersIn(text)).toHaveLength(5);
      seen.push(Number(/^([\d.]+) ft³\/s/.exec(text)![1]));
      const odds = oddsAt(level.odds, seen[seen.length - 1]!)!;
      // The value is shown with three digits, so the odds may differ by what the fourth is worth.
      wholePercents(odds).forEach((percent, k) =>
        expect(Math.abs(percent - numbersIn(text)[k]!)).toBeLessThanOrEqual(3),
      );
    }
    expect(seen.length).toBeGreaterThanOrEqual(4);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('points to the value under the pointer: the edge of low and good is where both are as likely', async () => {
    const { page } = await open(chart, { width: 1280 });
    const plot = page.locator('[data-figure="r0g0e-odds"]');
    await plot.scrollIntoViewIfNeeded();
    await plot.locator('.main-svg').first().waitFor();
    const line = (await plot.locator('.shapelayer path').nth(1).boundingBox())!;
    await page.mouse.move(line.x + line.width / 2, (await plot.boundingBox())!.y + 100);
    const percents = numbersIn((await page.locator('[data-cursor="r0g0e"]').textContent())!);
    expect(Math.abs(percents[1]! - percents[2]!)).toBeLessThanOrEqual(2);
    await page.context().close();
  });

  // Narrow is the harder case: the same document with less room.
  it.each([390])('has no serious fault of accessibility at %i px, folded and unfolded', async (width) => {
    const { page } = await open(chart, { width });
    await page.fill('#r0g0e-value', '312');
    // The policy of the page lets no script in; the checker comes in by the debugger, which stands above it.
    await page.evaluate(AXE);
    const check = async () => {
      const { violations } = (await page.evaluate('axe.run(document, { resultTypes: ["violations"] })')) as {
        violations: { id: string; impact: string; nodes: { target: string[] }[] }[];
      };
      return violations
        .filter(({ impact }) => impact === 'serious' || impact === 'critical')
        .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`);
    };
    expect(await check()).toEqual([]);
    await drawAll(page);
    expect(await check()).toEqual([]);
    await page.context().close();
  });

  it('changes tabs by mouse and by keyboard, one section at a time', async () => {
    const { page } = await open(chart, { width: 1280 });
    const shown = () => page.locator('#run0 .gauge:visible').evaluateAll((all) => all.map((one) => one.id));
    expect(await shown()).toEqual(['r0g0']);
    await page.locator('#r0g2-tab').click();
    expect(await shown()).toEqual(['r0g2']);
    await page.keyboard.press('ArrowRight');
    expect(await shown()).toEqual(['r0g0']);
    expect(await page.evaluate('document.activeElement.id')).toBe('r0g0-tab');
    await page.keyboard.press('ArrowLeft');
    expect(await shown()).toEqual(['r0g2']);
    await page.context().close();
  });

  it('shows everything without script, the odds as a table', async () => {
    const context = await browser.newContext({ javaScriptEnabled: false, viewport: { width: 390, height: 900 } });
    const page = await context.newPage();
    await page.goto(pathToFileURL(fileOf(chart)).href);
    expect(await page.locator('.gauge:visible').count()).toBe(4);
    expect(await page.locator('.key:visible').count()).toBe(4);
    await page.locator('summary', { hasText: 'Odds as a table' }).first().click();
    expect(await page.locator('caption', { hasText: 'Odds in percent' }).first().isVisible()).toBe(true);
    await context.close();
  });

  it('prints the card of a run on one page, with the cautions on it', async () => {
    const { page } = await open(chart, { width: 1280 });
    await page.emulateMedia({ media: 'print' });
    // A4 less the margins of 11 mm: 188 × 275 mm at 96 px an inch.
    await page.setViewportSize({ width: 711, height: 1039 });
    const heights = (await page.evaluate(
      `['.top', '#run0 h2', '.key'].map((name) => document.querySelector(name).getBoundingClientRect().height)`,
    )) as number[];
    expect(sum(heights)).toBeLessThan(1000);
    expect(await page.locator('.key:visible .cautions').first().isVisible()).toBe(true);
    for (const hidden of ['.now', '.tablist', '.cursor'])
      expect(await page.locator(`${hidden}:visible`).count()).toBe(0);
    await page.emulateMedia({ media: null });
    const pdf = await page.pdf({ format: 'A4' });
    const pages = pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)!.length;
    // Card, odds, record and lags, then the second run: nothing folded is printed.
    expect(pages).toBe(4);
    await page.context().close();
  });

  it('draws the printed figures as wide as the paper', async () => {
    const { page } = await open(chart, { width: 1280 });
    await page.evaluate('dispatchEvent(new Event("beforeprint"))');
    const widths = await page
      .locator('#r0g0 .plot:visible .main-svg:first-child')
      .evaluateAll((all) => all.map((svg) => Math.round(svg.getBoundingClientRect().width)));
    expect(widths).toEqual([690, 690, 335, 335]);
    await page.evaluate('dispatchEvent(new Event("afterprint"))');
    const wide = await page.locator('[data-figure="r0g0e-odds"] .main-svg').first().boundingBox();
    expect(wide!.width).toBeGreaterThan(800);
    await page.context().close();
  });

  describe('with hostile names', () => {
    const evil = `"><img src=x onerror="document.title='broken'"></script><script>document.title='broken'</script><!--'\`{{1}}`;
    const hostile = fixtureChart({
      creekName: evil,
      runName: evil,
      gaugeName: `<b>${evil}</b><a href="javascript:document.title='broken'">go</a>`,
      observer: evil,
      classes: ['too low', evil, `<b>good</b>`, '&lt;high&gt;', 'too high'],
    });

    it.each(WIDTHS)('runs nothing at %i px', async (width) => {
      const { page, said, asked } = await open(hostile, { width });
      await drawAll(page);
      await page.fill('#r0g0e-value', '312');
      await page.locator('[data-figure="r0g0e-odds"]').hover({ position: { x: width / 3, y: 120 } });
      expect(await page.title()).toBe(`${evil}: level chart`);
      expect(await page.locator('img, iframe, object, embed').count()).toBe(0);
      expect(await page.locator('svg a, svg b').count()).toBe(0);
      expect(await page.locator('script').count()).toBe(3);
      expect(await page.locator('h1').textContent()).toBe(evil);
      expect(await page.locator('.plot svg text', { hasText: '<b>good</b>' }).count()).toBeGreaterThan(0);
      expect(await page.locator('.plot svg text', { hasText: '&lt;high&gt;' }).count()).toBeGreaterThan(0);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(width);
      expect(said).toEqual([]);
      expect(asked).toEqual([]);
      await page.context().close();
    });
  });

  it('stops a script that gets in all the same', async () => {
    const { page, said } = await open(chart, { width: 1280 });
    await page.evaluate(`(() => {
      const script = document.createElement('script');
      script.textContent = 'document.title = "broken"';
      document.body.append(script);
      const image = document.createElement('img');
      image.src = 'http://127.0.0.1:9/x.png';
      document.body.append(image);
    })()`);
    expect(await page.title()).toBe('Ombrel Creek: level chart');
    expect(said.filter((line) => /Content Security Policy/.test(line)).length).toBeGreaterThanOrEqual(2);
    await page.context().close();
  });
});
