/** Takes docs/picture.png from the sample's own chart.html, the way a reader sees it first. Needs Chromium and `npm start` before. */
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import { creekSlug } from '../src/show/write/creekSlug.js';
import { loadCreekFolder } from '../src/show/creekFolder.js';

const at = (path: string) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const name = loadCreekFolder(at('data-sample')).creek?.name ?? '';
const page = at(`out/${creekSlug(name)}/chart.html`);
if (!existsSync(page)) throw new Error('picture: no chart.html of the sample; run npm start first');

const folders = (process.env['PATH'] ?? '').split(delimiter);
const executablePath = folders.map((folder) => join(folder, 'chromium')).find((path) => existsSync(path));
if (executablePath === undefined) throw new Error('picture: chromium is not installed');

const browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] });
try {
  const tab = await browser.newPage({ viewport: { width: 1100, height: 1400 }, deviceScaleFactor: 1 });
  await tab.goto(pathToFileURL(page).href);
  await tab.waitForSelector('.js-plotly-plot .main-svg');
  await tab.screenshot({ path: at('docs/picture.png') });
} finally {
  await browser.close();
}
