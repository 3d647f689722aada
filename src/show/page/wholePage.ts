import { createHash } from 'node:crypto';
import { html, type Html } from './html.js';

/** The caution that stays in sight, its other sentences one tap away. */
export function heed([first, ...others]: readonly string[]): Html {
  return html`<aside class="heed" aria-label="Caution">
    <details>
      <summary>${first} <span>More</span></summary>
      <ul>
        ${others.map((caution) => html`<li>${caution}</li>`)}
      </ul>
    </details>
  </aside>`;
}

/**
 * A page in one file that asks nothing of any network: a content security policy forbids it, and lets run the one script by its hash.
 * @param of.data JSON that is safe in a script element; the script finds it as `page-data`.
 */
export function wholePage(
  title: string,
  { styles, script, data, body }: { styles: string; script: string; data?: string; body: Html },
): string {
  const hash = createHash('sha256').update(script, 'utf8').digest('base64');
  const styleOnly = "style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";
  const policy = `default-src 'none'; script-src 'sha256-${hash}'; ${styleOnly}`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<meta name="format-detection" content="telephone=no">
<link rel="icon" href="data:,">
${html`<title>${title}</title>`.html}
<style>${styles}</style>
</head>
<body>
${body.html}
${data === undefined ? '' : `<script type="application/json" id="page-data">${data}</script>\n`}<script>${script}</script>
</body>
</html>
`;
}

/**
 * A function of this program as the script of a page: by its own source, called once.
 * @param with.before sources that it needs. @param with.given what it is called with, as source.
 */
export function scriptOf(
  start: (...given: never[]) => void,
  { before = '', given = '' }: { before?: string; given?: string } = {},
): string {
  const call = `(()=>{${before}\n(${start.toString()})(${given})})();`;
  // A loader that keeps function names wraps inner functions in a helper of its own, which the page has not got.
  return call.includes('__name(') ? `{const __name=(f)=>f;${call}}` : call;
}
