import { createHash } from 'node:crypto';
import type { Browser, Page } from 'playwright-core';
import { RAN } from './payloads.js';

/** What a page did when it was opened, drawn and touched. */
export interface Audited {
  /** Whether any payload set its mark. */
  readonly ran: boolean;
  /** Console messages, errors, dialogs: also what the policy of the page refused. */
  readonly said: readonly string[];
  /** Addresses asked for, besides the file itself and data in it. */
  readonly asked: readonly string[];
  /** Elements and attributes that no page of ours has. */
  readonly audit: readonly string[];
}

/** Run in the page: everything that could act or lead away and that we do not write ourselves. */
const AUDIT = `(() => {
  const strange = [];
  const own = /^(?:#|data:|$)/;
  for (const element of document.querySelectorAll('*')) {
    const name = element.localName;
    if (['iframe', 'object', 'embed', 'base', 'foreignobject', 'frame', 'applet', 'portal', 'template', 'img', 'video', 'audio', 'source', 'animate', 'set'].includes(name.toLowerCase()))
      strange.push('<' + name + '>');
    if (name === 'meta' && /refresh/i.test(element.httpEquiv)) strange.push('<meta refresh>');
    if (name === 'form' && element.hasAttribute('action')) strange.push('<form action>');
    for (const { name: key, value } of element.attributes) {
      if (/^on/i.test(key)) strange.push(name + ' ' + key);
      if (['href', 'xlink:href', 'src', 'srcdoc', 'srcset', 'action', 'formaction', 'data', 'ping', 'poster', 'autofocus'].includes(key) && !own.test(value))
        strange.push(name + ' ' + key + '=' + value);
      if (key === 'style' && /url\\((?!['"]?(?:data:|#))|expression|@import/i.test(value)) strange.push(name + ' style=' + value);
    }
  }
  for (const style of document.querySelectorAll('style'))
    if (/@import|url\\((?!['"]?(?:data:|#))/i.test(style.textContent)) strange.push('style ' + style.textContent.slice(0, 80));
  return strange;
})()`;

/** Folds opened, everything scrolled past and pointed at, so that all figures are drawn and their labels shown. */
const TOUCH = `(async () => {
  for (const fold of document.querySelectorAll('details')) fold.open = true;
  for (let y = 0; y < document.documentElement.scrollHeight; y += 600) {
    scrollTo(0, y);
    await new Promise((done) => setTimeout(done, 20));
  }
  for (const element of document.querySelectorAll('.plot, figure, summary, a, input, [role=tab]'))
    for (const type of ['mouseover', 'mousemove', 'mouseenter', 'focus']) element.dispatchEvent(new MouseEvent(type, { bubbles: true, clientX: 300, clientY: 300 }));
  await new Promise((done) => setTimeout(done, 100));
})()`;

async function watched(browser: Browser, open: (page: Page) => Promise<string>): Promise<Audited> {
  const context = await browser.newContext({ viewport: { width: 1000, height: 900 } });
  const page = await context.newPage();
  const said: string[] = [];
  const asked: string[] = [];
  page.on('console', (message) => said.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => said.push(`error: ${error.message}`));
  page.on('dialog', (dialog) => {
    said.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('request', (request) => asked.push(request.url()));
  context.on('page', (other) => said.push(`window: ${other.url()}`));
  const address = await open(page);
  await page.evaluate(TOUCH);
  const ran = await page.evaluate(`window.${RAN} !== undefined`);
  const audit = await page.evaluate(AUDIT);
  const at = page.url();
  if (at !== address) said.push(`went to ${at}`);
  await context.close();
  return {
    ran: ran as boolean,
    said,
    asked: asked.filter((url) => url !== address && !url.startsWith('data:') && !url.startsWith('about:')),
    audit: audit as string[],
  };
}

/** Opens a written page or picture as a reader does. */
export function openHostile(browser: Browser, address: string): Promise<Audited> {
  return watched(browser, async (page) => {
    await page.goto(address);
    return address;
  });
}

/** Pieces of HTML put into an empty page without any policy, their scripts run, as a notebook's front end does it. */
export function auditPage(browser: Browser, pieces: readonly string[]): Promise<Audited> {
  return watched(browser, async (page) => {
    await page.setContent(
      `<!doctype html><title>notebook</title>${pieces.map((piece) => `<div>${piece}</div>`).join('\n')}`,
    );
    return page.url();
  });
}

/** The policy that a page carries, by directive; and the hashes of the scripts that it does carry. */
export function policyOf(html: string): {
  readonly policy: ReadonlyMap<string, string>;
  readonly hashes: readonly string[];
} {
  const content = /<meta http-equiv="Content-Security-Policy" content="([^"]*)">/.exec(html)?.[1] ?? '';
  const policy = new Map(
    content
      .split(';')
      .map((part) => part.trim())
      .filter((part) => part !== '')
      .map((part) => [part.split(' ')[0]!, part.split(' ').slice(1).join(' ')]),
  );
  const hashes = [...html.matchAll(/<script>([\s\S]*?)<\/script>/g)].map(
    ([, script]) => `'sha256-${createHash('sha256').update(script!, 'utf8').digest('base64')}'`,
  );
  return { policy, hashes };
}
