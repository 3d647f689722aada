import { execFile } from 'node:child_process';
import { accessSync, constants, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { WrongUse } from '../cli/exitCodes.js';

/** Names that a Chromium goes by on a search path. */
const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome', 'chrome.exe'];

const SECONDS = 120;

/** Said where pictures were left out. */
export const NO_CHROMIUM =
  'no Chromium on the search path (install one, or set CHROME_PATH to its program): no PNG and no PDF';

/**
 * The Chromium that makes PNG and PDF: CHROME_PATH where it is set, else the first one on the search path.
 * @returns its path; undefined where there is none
 * @throws WrongUse when CHROME_PATH names no program
 */
export function findChromium(env: Readonly<Record<string, string | undefined>>): string | undefined {
  const named = env['CHROME_PATH'];
  if (named !== undefined && named !== '') {
    if (!isProgram(named)) throw new WrongUse(`CHROME_PATH is ${named}, and no program stands there`);
    return named;
  }
  const folders = (env['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
  return folders.flatMap((folder) => NAMES.map((name) => join(folder, name))).find(isProgram);
}

function isProgram(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}

/** A file as a picture, `scale` pixels of it to one CSS pixel. */
export async function takePng(
  chromium: string,
  { file, png, width, height, scale }: { file: string; png: string; width: number; height: number; scale: number },
): Promise<void> {
  await run(chromium, [
    `--screenshot=${png}`,
    '--hide-scrollbars',
    `--window-size=${width},${height}`,
    `--force-device-scale-factor=${scale}`,
    pathToFileURL(file).href,
  ]);
}

/** A page as PDF, on the paper that its own style asks for. */
export async function printPdf(chromium: string, { file, pdf }: { file: string; pdf: string }): Promise<void> {
  await run(chromium, [`--print-to-pdf=${pdf}`, '--no-pdf-header-footer', pathToFileURL(file).href]);
}

/** One call of the browser, without a window, with a profile of its own that goes again, talking to nobody. */
async function run(chromium: string, args: readonly string[]): Promise<void> {
  const profile = mkdtempSync(join(tmpdir(), 'sightstage-browser-'));
  // The browser's own sandbox does not start for root; what is opened is our own page, without a script.
  const asRoot = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  const quiet = [
    '--headless',
    '--disable-gpu',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--no-first-run',
    `--user-data-dir=${profile}`,
  ];
  try {
    await new Promise<void>((resolve, reject) => {
      execFile(chromium, [...asRoot, ...quiet, ...args], { timeout: SECONDS * 1000 }, (error) => {
        if (error === null) resolve();
        else
          reject(
            new Error(
              `${chromium} could not make the picture (${error.killed ? 'no answer' : error.message.split('\n')[0]!})`,
            ),
          );
      });
    });
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 });
  }
}
