/** Takes the README's pictures from the sample's own chart.html and notebook, the way a reader sees it. Needs Chromium and `npm start` before. */
import { existsSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { loadCreekFolder } from '../src/show/creekFolder.js';
import { creekSlug } from '../src/show/write/creekSlug.js';
import { joined, readNotebook } from './notebooks/notebookFile.js';
import { startBrowser } from '../tests/browser/chromium.js';

const at = (path: string) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const page = at(`out/${creekSlug(loadCreekFolder(at('data-sample')).creek?.name ?? '')}/chart.html`);
if (!existsSync(page)) throw new Error('picture: no chart.html of the sample; run npm start first');

const browser = await startBrowser();
try {
  const tab = await browser.newPage({ viewport: { width: 1000, height: 860 } });
  await tab.goto(pathToFileURL(page).href);
  await tab.screenshot({ path: at('docs/picture.png') });
  // A morning in May, from the notebook that asks whether it is on.
  const cells = readNotebook(at('notebooks/5-is-it-on.ipynb')).cells.flatMap(({ outputs }) => outputs ?? []);
  const fan = cells
    .map(({ data }) => joined(data?.['image/svg+xml'] as readonly string[] | undefined))
    .find((svg) => svg !== '');
  await tab.setViewportSize({ width: 760, height: 400 });
  await tab.setContent(fan ?? '');
  await tab
    .locator('svg')
    .first()
    .screenshot({ path: at('docs/picture-ahead.png') });
} finally {
  await browser.close();
}
