import { existsSync } from 'node:fs';
import { chromium, type Browser } from 'playwright-core';

const PLACES = [
  process.env.SIGHTSTAGE_CHROMIUM,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
];

/** Path of a browser that can be driven, or undefined. */
export function browserPath(): string | undefined {
  return PLACES.find((path) => path !== undefined && path !== '' && existsSync(path));
}

/** Why the browser tests can't run, for people to read; undefined where they can. */
export function whyNoBrowser(): string | undefined {
  return browserPath() === undefined
    ? `no Chromium at ${PLACES.slice(1).join(', ')} (set SIGHTSTAGE_CHROMIUM to its path)`
    : undefined;
}

/** Starts the browser with everything off that would talk to a network of its own accord. */
export async function startBrowser(): Promise<Browser> {
  const executablePath = browserPath();
  if (executablePath === undefined) throw new RangeError(`startBrowser: ${whyNoBrowser() ?? 'no browser'}`);
  return chromium.launch({
    executablePath,
    args: [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--disable-quic',
      '--no-first-run',
    ],
  });
}
