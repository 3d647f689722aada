import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { oddsAt } from '../../src/chart/figures/oddsAt.js';
import { wholePercents } from '../../src/chart/figures/wholePercents.js';
import type { CreekGauges } from '../../src/chart/gauges/types.js';
import type { CreekChart } from '../../src/chart/types.js';
import type { CreekTrust } from '../../src/judge/judgement.js';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readVisits } from '../../src/read/readVisits.js';
import { CAUTIONS } from '../../src/series/cautions.js';
import { chartPage } from '../../src/show/page/renderPage.js';
import { fixtureChart } from '../show/fixtureChart.js';
import { frozenSample } from '../show/frozenSample.js';
import { startBrowser, whyNoBrowser } from './chromium.js';

const missing = whyNoBrowser();
if (missing !== undefined) {
  if (process.env.SIGHTSTAGE_REQUIRE_TOOLS === '1')
    throw new Error(`browser tests must run here, but there is ${missing}`);
  process.stderr.write(`skipped: browser tests, ${missing}\n`);
}

const require = createRequire(import.meta.url);
const AXE = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const PHONE = { width: 390, height: 844 };
const DESK = { width: 1280, height: 900 };

/** A page opened from a file, with everything it said and asked for. */
interface Opened {
  readonly page: Page;
  /** Console messages, errors, and every address asked for besides the file itself. */
  readonly said: readonly string[];
}

interface Shown {
  readonly chart: CreekChart;
  readonly trust?: CreekTrust;
  readonly gauges?: CreekGauges;
}

describe.skipIf(missing !== undefined)('chart.html in a browser', () => {
  let browser: Browser;
  let folder: string;
  const sample = frozenSample();
  const fixture = { chart: fixtureChart() };

  beforeAll(async () => {
    browser = await startBrowser();
    folder = mkdtempSync(join(tmpdir(), 'sightstage-page-'));
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true });
  });

  const files = new Map<Shown, string>();
  function fileOf(shown: Shown): string {
    const known = files.get(shown);
    if (known !== undefined) return known;
    const file = join(folder, `${files.size}.html`);
    writeFileSync(file, chartPage(shown.chart, shown));
    files.set(shown, file);
    return file;
  }

  async function open(
    shown: Shown,
    viewport: { width: number; height: number },
    options: BrowserContextOptions = {},
  ): Promise<Opened> {
    const url = pathToFileURL(fileOf(shown)).href;
    const context = await browser.newContext({ viewport, hasTouch: viewport.width < 600, ...options });
    const page = await context.newPage();
    const said: string[] = [];
    page.on('console', (message) => said.push(`${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => said.push(`error: ${error.message}`));
    page.on('request', (request) => {
      if (request.url() !== url && !request.url().startsWith('data:')) said.push(`asked for ${request.url()}`);
    });
    await page.goto(url);
    return { page, said };
  }

  const unfold = (page: Page) =>
    page.evaluate('for (const fold of document.querySelectorAll("details")) fold.open = true');
  const sizeOf = (page: Page) =>
    page.evaluate('[document.documentElement.scrollWidth, document.documentElement.scrollHeight]') as Promise<
      [number, number]
    >;
  const faults = async (page: Page, rules?: readonly string[]) => {
    // The policy of the page lets no script in; the checker comes in by the debugger, which stands above it.
    await page.evaluate(AXE);
    const { violations } = (await page.evaluate(
      `axe.run({ exclude: ['.fig svg'] }, ${JSON.stringify({ resultTypes: ['violations'], ...(rules && { runOnly: rules }) })})`,
    )) as {
      violations: { id: string; nodes: { target: string[] }[] }[];
    };
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`);
  };
  const topOf = async (page: Page, selector: string) => (await page.locator(selector).first().boundingBox())!.y;

  it('answers on the first screen of a phone: gauge, instruction, good range, grade, and the calculator begins', async () => {
    const { page } = await open(sample, PHONE);
    for (const part of ['.by', '.how', '.good', '.grade']) expect(await topOf(page, `.run ${part}`)).toBeLessThan(780);
    expect(await topOf(page, '.calc input')).toBeLessThan(PHONE.height - 44);
    await page.context().close();
  });

  it('keeps the first caution in sight, the others one tap away', async () => {
    const { page } = await open(sample, PHONE);
    const heed = page.locator('.heed summary');
    for (const y of [0, 1500, 4000]) {
      await page.evaluate(`scrollTo(0, ${y})`);
      expect(await heed.textContent()).toContain(CAUTIONS[0]);
      expect((await heed.boundingBox())!.y).toBe(0);
    }
    await heed.click();
    for (const caution of CAUTIONS.slice(1))
      expect(await page.locator('.heed li', { hasText: caution }).isVisible(), caution).toBe(true);
    await page.context().close();
  });

  it.each([
    [PHONE, 5000],
    [DESK, 3500],
  ])('is at most so high with its folds closed, and scrolls in one direction, at %j', async (viewport, most) => {
    const { page, said } = await open(sample, viewport);
    const [width, height] = await sizeOf(page);
    expect(width).toBe(viewport.width);
    expect(height).toBeLessThanOrEqual(most);
    await unfold(page);
    expect((await sizeOf(page))[0]).toBe(viewport.width);
    // Labels of the drawings stay on their paper.
    const out = await page.evaluate(`[...document.querySelectorAll('.fig svg')].flatMap((svg) => {
      const paper = svg.getBoundingClientRect();
      return [...svg.querySelectorAll('text')]
        .map((text) => [text.textContent, text.getBoundingClientRect()])
        .filter(([, at]) => at.width > 0 && (at.left < paper.left - 2 || at.right > paper.right + 2 || at.bottom > paper.bottom + 2))
        .map(([text]) => text);
    })`);
    expect(out).toEqual([]);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('keeps its width with text twice as large', async () => {
    const { page } = await open(sample, PHONE);
    await page.fill('[name=now0] >> nth=0', '4');
    await page.evaluate('document.documentElement.style.fontSize = "32px"');
    expect((await sizeOf(page))[0]).toBe(PHONE.width);
    await page.context().close();
  });

  it('has no fault of accessibility, folded and unfolded', async () => {
    const { page, said } = await open(sample, PHONE);
    await page.fill('[name=now0] >> nth=0', '4');
    expect(await faults(page)).toEqual([]);
    await unfold(page);
    expect(await faults(page)).toEqual([]);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('has contrast enough in dark colours too, the only fault that colours can bring', async () => {
    const { page, said } = await open(sample, PHONE, { colorScheme: 'dark' });
    await page.fill('[name=now0] >> nth=0', '4');
    await unfold(page);
    expect(await faults(page, ['color-contrast'])).toEqual([]);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('turns its drawings dark with the page, and leaves the classes their colours', async () => {
    const colours = async (colorScheme: 'light' | 'dark') => {
      const { page } = await open(fixture, DESK, { colorScheme });
      const found = await page.evaluate(`(() => {
        const svg = document.querySelector('.fig .wide svg');
        const fill = (selector) => getComputedStyle(svg.querySelector(selector)).fill;
        return [fill(':scope > rect'), fill('text'), getComputedStyle(document.querySelector('.staff .class .block span')).backgroundColor];
      })()`);
      await page.context().close();
      return found as [string, string, string];
    };
    const [light, dark] = [await colours('light'), await colours('dark')];
    expect(light[0]).toBe('rgb(255, 255, 255)');
    expect(dark[0]).not.toBe(light[0]);
    expect(dark[1]).not.toBe(light[1]);
    expect(dark[2]).toBe(light[2]);
  });

  const level = fixture.chart.runs[0]!.gauges[0]!.level!;
  const form = '[data-calc=c0]';
  const percentsIn = (page: Page) =>
    page.locator(`${form} .bars li`).evaluateAll((rows) =>
      rows
        .map(
          (row) => [Number((row as HTMLElement).dataset.class), row.querySelector('.percent')!.textContent!] as const,
        )
        .sort(([a], [b]) => a - b)
        .map(([, text]) => text),
    );

  it('answers a typed reading with the odds of the chart, their intervals and the visits near', async () => {
    const still = {
      chart: {
        ...fixture.chart,
        runs: fixture.chart.runs.map((run) => ({
          ...run,
          gauges: run.gauges.map((gauge) => ({
            ...gauge,
            ...(gauge.level && { level: { ...gauge.level, reading: { ...gauge.level.reading, storageHours: 0 } } }),
          })),
        })),
      },
    };
    const { page, said } = await open(still, PHONE);
    const says = page.locator(`${form} .said`);
    for (const value of [136, 150, 240, 312, 419.5, 640, 840]) {
      await page.fill('#c0-now0', String(value));
      const percents = wholePercents(oddsAt(level.odds, value)!);
      const shown = await percentsIn(page);
      percents.forEach((percent, k) => {
        const [, low, high] = /\((\d+) to (\d+)\)/.exec(shown[k]!) ?? [];
        expect(shown[k]).toMatch(
          percent === 0 ? /^under 1 %/ : percent === 100 ? /^over 99 %/ : new RegExp(`^${percent} %`),
        );
        if (low !== undefined) expect(Number(low) <= percent && percent <= Number(high)).toBe(true);
      });
      expect(await page.locator(`${form} .near`).textContent()).toMatch(
        /^Visits near: \d+ of \d+, between [\d.]+ and [\d.]+ ft³\/s\./,
      );
    }
    expect(await says.textContent()).toMatch(/^840 ft³\/s \(23\.8 m³\/s\): most likely “too high”, \d+ %\.$/);
    expect(await page.locator('[data-mark=c0] .typed:visible').count()).toBe(1);
    // 312 ft³/s are 8.834856 m³/s.
    await page.fill('#c0-now0', '312');
    const own = await percentsIn(page);
    await page.selectOption(`${form} select`, 'm3/s');
    await page.fill('#c0-now0', '8,834856');
    expect(await percentsIn(page)).toEqual(own);
    await page.selectOption(`${form} select`, 'ft3/s');
    for (const [typed, words] of [
      ['1,200', /^The comma could mean thousands or decimals: write 1200 or 1\.2\.$/],
      ['low', /^That is no number: write it like 312 or 8\.5\.$/],
      ['-5', /^A flow of zero or less says nothing here\.$/],
      ['0', /^A flow of zero or less says nothing here\.$/],
      ['900000', /is far from anything that was met .*: check the number and its unit\.$/],
      [
        '1000',
        /^1000 ft³\/s .*: not seen\. No visit has met a reading above .*\. Take it as at least “too high”; how much more, nobody knows\.$/,
      ],
      ['60', /not seen\. No visit has met a reading below .*\. Take it as at most “too low”\.$/],
      ['', /^Type a reading\.$/],
    ] as const) {
      await page.fill('#c0-now0', typed);
      expect(await says.textContent(), typed).toMatch(words);
      expect(await page.locator(`${form} .bars`).isVisible(), typed).toBe(false);
    }
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('works out a change and a mean as the fit does, a steep fall held by the floor', async () => {
    const { page } = await open(fixture, DESK);
    const stage = page.locator('form[aria-label^="Garn Brook"]');
    await page
      .locator('details', { has: stage })
      .first()
      .evaluate((fold) => {
        for (let at: Element | null = fold; at !== null; at = at.parentElement)
          if (at instanceof HTMLDetailsElement) at.open = true;
      });
    await page.evaluate('for (const fold of document.querySelectorAll("details")) fold.open = true');
    expect(fixture.chart.runs[0]!.gauges[1]!.level!.reading.storageHours).toBe(-8);
    const says = stage.locator('.said');
    await stage.locator('[name=now0]').fill('1.00');
    expect(await says.textContent()).toBe('And the other reading?');
    await stage.locator('[name=before0]').fill('0.98');
    // 1.00 + 8 × 0.02 = 1.16
    expect(await says.textContent()).toMatch(/^Worked out: 1\.16 m \(3\.81 ft\): most likely/);
    await stage.locator('[name=before0]').fill('1.3');
    // 1.00 - 8 × 0.3 is below the floor of a tenth of 1.00.
    expect(await says.textContent()).toMatch(/^Worked out: 0\.1 m/);
    await page.context().close();
  });

  it('goes on from the gauge with what is seen on the way, and ends as lines that the log takes', async () => {
    const { page, said } = await open(sample, PHONE, { timezoneId: 'America/Denver' });
    const way = page.locator('.way').last();
    const run = sample.chart.runs.at(-1)!;
    const read = run.gauges.find(({ gauge }) => gauge.id === run.recommended)!.level!;
    await way.locator('summary').focus();
    await page.keyboard.press('Enter');
    const [first, second] = [way.locator('select').nth(0), way.locator('select').nth(1)];
    await first.selectOption({ index: 2 });
    expect(await way.locator('.told').textContent()).toMatch(/^Type a reading that visits have met/);
    const form = page.locator('form.calc').nth(sample.chart.runs.length - 1);
    const typed = 0.6 * read.seen.to;
    for (const field of await form.locator('.fields input[name]').all()) await field.fill(typed.toFixed(1));
    const odds = async () =>
      [...(await way.locator('.told').textContent())!.matchAll(/(under 1|over 99|\d+) %/g)]
        .slice(0, run.classes.length)
        .map(([, one]) => (one!.startsWith('u') ? 0.5 : one!.startsWith('o') ? 99.5 : Number(one)));
    const mean = (shares: readonly number[]) => shares.reduce((sum, p, k) => sum + p * k, 0);
    await first.selectOption({ index: 1 });
    const low = mean(await odds());
    await first.selectOption({ index: run.features[0]!.classes.length });
    const high = mean(await odds());
    expect(high).toBeGreaterThan(low);
    // The highest at the first feature and the lowest at the second: the creek cannot be both.
    await second.selectOption({ index: 1 });
    expect(await way.locator('.told').textContent()).toMatch(/so little is seen at .* seems to lose water on the way/);
    await way.locator('[type=time]').nth(0).fill('10:05');
    await way.locator('[type=time]').nth(1).fill('11:40');
    await way.locator('[data-who]').fill('Ilse, "the" elder');
    const text = await way.locator('textarea').inputValue();
    const href = (await way.locator('a[download]').getAttribute('href'))!;
    expect(decodeURIComponent(href.slice(href.indexOf(',') + 1))).toBe(text);
    const bytes = (name: string, of: string | Buffer) => ({ name, bytes: new Uint8Array(Buffer.from(of)) });
    const creekJson = readFileSync(new URL('../../data-sample/creek.json', import.meta.url));
    const folder = readVisits(bytes('visits.csv', text), parseCreek(bytes('creek.json', creekJson)).creek!);
    expect(folder.issues.filter(({ severity }) => severity !== 'note')).toEqual([]);
    const seen = folder.visits.flatMap(({ sightings }) => sightings);
    expect(seen.map(({ feature }) => feature)).toEqual(run.features.slice(0, 2).map(({ id }) => id));
    expect(seen.map(({ classIndex }) => classIndex)).toEqual([run.features[0]!.classes.length - 1, 0]);
    expect(folder.visits).toHaveLength(1);
    expect(seen[0]!.observer).toBe('Ilse, "the" elder');
    expect(seen[1]!.timeMs - seen[0]!.timeMs).toBe(95 * 60_000);
    expect(await faults(page)).toEqual([]);
    expect((await sizeOf(page))[0]).toBe(PHONE.width);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it.each([PHONE, DESK])('gives the odds at the place pointed at, at %j', async (viewport) => {
    const { page, said } = await open(fixture, viewport);
    const plot = page.locator('.is-figure .paper').first();
    const readout = page.locator('[data-cursor=c0]');
    await plot.scrollIntoViewIfNeeded();
    const box = (await plot.boundingBox())!;
    const seen: number[] = [];
    for (const share of [0.3, 0.45, 0.6, 0.7]) {
      const [x, y] = [box.x + share * box.width, box.y + 120];
      if (viewport.width < 600) await page.touchscreen.tap(x, y);
      else await page.mouse.move(x, y);
      const text = (await readout.textContent())!;
      if (/not seen|^Point at/.test(text)) continue;
      seen.push(Number(/^([\d.]+) ft³\/s/.exec(text)![1]));
      const shown = [...text.matchAll(/(under 1|over 99|\d+) %/g)].map(
        ([, one]) => Number(one!.replace(/\D+(?=1)/, '0.')) || 0,
      );
      expect(shown).toHaveLength(5);
      // The value is shown with three digits, so the odds may differ by what the fourth is worth.
      wholePercents(oddsAt(level.odds, seen.at(-1)!)!).forEach((percent, k) =>
        expect(Math.abs(percent - shown[k]!)).toBeLessThanOrEqual(3),
      );
    }
    expect(seen.length).toBeGreaterThanOrEqual(2);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
    expect(said).toEqual([]);
    await page.context().close();
  });

  it('opens what a link leads into', async () => {
    const { page } = await open(sample, DESK);
    await page.evaluate('location.hash = "#source"');
    await page.locator('#source li').first().waitFor({ state: 'visible' });
    await page.context().close();
  });

  it('shows everything but the calculator without script', async () => {
    const { page } = await open(sample, PHONE, { javaScriptEnabled: false });
    expect(await page.locator('.calc noscript').first().isVisible()).toBe(true);
    expect(await page.locator('.staff').first().isVisible()).toBe(true);
    expect(await page.locator('.fig svg').filter({ visible: true }).count()).toBe(sample.chart.runs.length);
    await page.context().close();
  });

  it('prints on at most four pages of A4, cautions in full, without an empty heading', async () => {
    const { page } = await open(sample, DESK);
    const pdf = (await page.pdf({ format: 'A4', preferCSSPageSize: true })).toString('latin1');
    expect(pdf.match(/\/Type\s*\/Page\b/g)!.length).toBeLessThanOrEqual(4);
    await page.emulateMedia({ media: 'print' });
    for (const caution of CAUTIONS)
      expect(await page.locator('.cautions', { hasText: caution }).isVisible()).toBe(true);
    const empty = await page.evaluate(`[...document.querySelectorAll('h1, h2, h3, h4')]
      .filter((heading) => heading.checkVisibility() && !(heading.nextElementSibling?.checkVisibility() ?? false))
      .map((heading) => heading.textContent)`);
    expect(empty).toEqual([]);
    await page.context().close();
  });

  it('runs nothing of hostile names, and stops a script that gets in all the same', async () => {
    const evil = '"><img src=x onerror="window.hacked=1"><script>window.hacked=1</script>';
    const hostile = {
      chart: fixtureChart({ creekName: evil, runName: evil, gaugeName: evil, observer: evil, note: evil }),
    };
    const { page, said } = await open(hostile, PHONE);
    await page.fill('#c0-now0', '312');
    await unfold(page);
    expect(await page.evaluate('window.hacked')).toBeUndefined();
    expect(await page.locator('img').count()).toBe(0);
    expect(said).toEqual([]);
    await page.evaluate(`document.body.insertAdjacentHTML('beforeend', '<img src="x:" onerror="window.hacked=1">')`);
    await expect.poll(() => said.some((line) => /Content Security Policy/.test(line)), { timeout: 60_000 }).toBe(true);
    expect(await page.evaluate('window.hacked')).toBeUndefined();
    await page.context().close();
  });
});
