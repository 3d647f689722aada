/*
 * Everything from visits.csv, creek.json and the gauge files is text from outside. Each place it goes to has its own rule, and
 * these are the only functions that write it there.
 */
export { plotlyText } from '../chart/figures/plotlyText.js';
export { plainText as terminalText } from './text/plainText.js';

/** Controls (except tab and line ends) and the marks that reorder text: they could swap the digits of a number on a page. */

const UNSEEN =
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]/g;

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
  '`': '&#96;',
};

/**
 * Text made safe for HTML content and for attribute values in quotes; control and reordering characters go.
 * @example escapeHtml('<b title="x">') // '&lt;b title=&quot;x&quot;&gt;'
 */
export function escapeHtml(text: string): string {
  return text.replace(UNSEEN, '').replace(/[&<>"'`]/g, (c) => ENTITIES[c]!);
}

/**
 * A value as JSON that may stand inside a `<script>` element: no character of it can end the element, open a comment or end a
 * line of script. `JSON.parse` gives the value back.
 * @throws TypeError for a value that JSON cannot hold (undefined, a function).
 * @example jsonForScript('</script>') // '"\\u003c/script\\u003e"'
 */
export function jsonForScript(value: unknown): string {
  const text = JSON.stringify(value) as string | undefined;
  if (text === undefined) throw new TypeError(`jsonForScript: JSON cannot hold a value of type ${typeof value}`);
  return text.replace(/[<>&\u2028\u2029]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
}

/**
 * Text as one cell of a CSV file: quoted where it must be, and kept from acting as a formula in a spreadsheet, which is
 * what a text that starts with = + - @, a tab or a line end does. Such a cell starts with an apostrophe. For texts only: a
 * number that is one is written as it stands.
 * @example csvCell('=1+1') // "'=1+1"
 */
export function csvCell(text: string): string {
  const tame = /^(?:[\t\r\n]|\s*[=+\-@\uff1d\uff0b\uff0d\uff20])/.test(text) ? `'${text}` : text;
  return /[",\r\n\t]|^\s|\s$/.test(tame) ? `"${tame.replaceAll('"', '""')}"` : tame;
}
