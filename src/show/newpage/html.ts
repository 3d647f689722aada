import { escapeHtml } from '../escape.js';

/** A piece of page that is HTML already. Only `html` and `trustedHtml` make one, so no text gets in unescaped. */
export interface Html {
  readonly html: string;
}

export type HtmlValue = Html | string | number | false | undefined | readonly HtmlValue[];

/**
 * Template tag: every text put in is escaped for content and quoted attributes; pieces that are HTML already go in as they
 * are; `false` and `undefined` leave nothing.
 * @example html`<p title="${'"'}">${'<b>'}</p>`.html // '<p title="&quot;">&lt;b&gt;</p>'
 */
export function html(parts: TemplateStringsArray, ...values: readonly HtmlValue[]): Html {
  // Indentation of the source is no part of the page.
  const lean = parts.map((part) => part.replace(/\n\s+/g, '\n'));
  return { html: lean.map((part, i) => part + (i < values.length ? written(values[i]) : '')).join('') };
}

/** HTML that this program wrote itself: never for a text that came from a file. */
export function trustedHtml(text: string): Html {
  return { html: text };
}

function written(value: HtmlValue): string {
  if (value === undefined || value === false) return '';
  if (typeof value === 'string') return escapeHtml(value);
  if (typeof value === 'number') return String(value);
  return 'html' in value ? value.html : value.map(written).join('');
}
