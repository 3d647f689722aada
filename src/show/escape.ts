/*
 * Everything from visits.csv, creek.json and the gauge files is text from outside. Each place it goes to has its own rule, and
 * these are the only functions that write it there.
 */
import { withoutUnseen } from '../series/unseen.js';

export { plotlyText } from '../chart/figures/plotlyText.js';
export { plainText as terminalText } from './text/plainText.js';

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
  return withoutUnseen(text).replace(/[&<>"'`]/g, (c) => ENTITIES[c]!);
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
 * what a text that starts with = + - @, a tab or a line end does, and what a part of it does that a spreadsheet cuts off at
 * its own country's character between cells. Such a start gets an apostrophe. For texts only: a number that is one is
 * written as it stands.
 * @param options.between what stands between cells. Default a comma.
 * @example csvCell('=1+1') // "'=1+1"
 */
export function csvCell(text: string, { between = ',' }: { between?: string } = {}): string {
  const first = /^(?:[\t\r\n]|\s*[=+\-@\uff1d\uff0b\uff0d\uff20])/.test(text) ? `'${text}` : text;
  // A spreadsheet of another country cuts at another character than this file does, and quotes do not hold it there.
  const tame = first.replace(/[,;\t](?=["\s]*[=+\-@\uff1d\uff0b\uff0d\uff20])/g, (cut) =>
    cut === between ? cut : `${cut}'`,
  );
  return tame.includes(between) || /[",\r\n\t]|^\s|\s$/.test(tame) ? `"${tame.replaceAll('"', '""')}"` : tame;
}
