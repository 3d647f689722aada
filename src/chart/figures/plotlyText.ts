/*
 * Plotly reads a small HTML (<b>, <a href>, <br>, &entities;) in every text it draws, so a name from a log must be escaped for
 * it too. Controls and the marks that reorder text go: they could swap the digits of a label.
 */

const UNSEEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069]/gu;

/**
 * Text from outside made safe for any text of a plotly figure: `&`, `<` and `>` become entities, control characters go, and
 * with `maxChars` a long text is cut with an ellipsis (counted before escaping).
 *
 * Never put such a text inside a hovertemplate or texttemplate, where `%{…}` is read too; put it into `text` or `customdata`.
 * @example plotlyText('<b>low</b>') // '&lt;b&gt;low&lt;/b&gt;'
 */
export function plotlyText(text: string, { maxChars = Infinity }: { maxChars?: number } = {}): string {
  const clean = [...text.replace(UNSEEN, '').replace(/\s+/g, ' ').trim()];
  const short =
    clean.length > maxChars
      ? `${clean
          .slice(0, Math.max(1, maxChars - 1))
          .join('')
          .trimEnd()}…`
      : clean.join('');
  return short.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
