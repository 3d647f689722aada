/** Takes docs/picture.png from the sample's own chart.html, the way a reader sees it first. Needs Chromium and `npm start` before. */
import { existsSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { loadCreekFolder } from '../src/show/creekFolder.js';
import { creekSlug } from '../src/show/write/creekSlug.js';
import { startBrowser } from '../tests/browser/chromium.js';

const at = (path: string) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const page = at(`out/${creekSlug(loadCreekFolder(at('data-sample')).creek?.name ?? '')}/chart.html`);
if (!existsSync(page)) throw new Error('picture: no chart.html of the sample; run npm start first');

const browser = await startBrowser();
try {
  const tab = await browser.newPage({ viewport: { width: 1000, height: 860 } });
  await tab.goto(pathToFileURL(page).href);
  await tab.screenshot({ path: at('docs/picture.png') });
} finally {
  await browser.close();
}
