import { withoutUnseen } from '../../series/unseen.js';

/*
 * Plotly reads a small HTML (<b>, <a href>, <br>, &entities;) in every text it draws, so a name from a log must be escaped for
 * it too. Controls and the marks that reorder text go: they could swap the digits of a label.
 */

/**
 * Text from outside made safe for any text of a plotly figure: `&`, `<` and `>` become entities, control characters go, and
 * with `maxChars` a long text is cut with an ellipsis (counted before escaping).
 *
 * Never put such a text inside a hovertemplate or texttemplate, where `%{…}` is read too; put it into `text` or `customdata`.
 * @example plotlyText('<b>low</b>') // '&lt;b&gt;low&lt;/b&gt;'
 */
export function plotlyText(text: string, { maxChars = Infinity }: { maxChars?: number } = {}): string {
  const clean = [...withoutUnseen(text).replace(/\s+/g, ' ').trim()];
  const short =
    clean.length > maxChars
      ? `${clean
          .slice(0, Math.max(1, maxChars - 1))
          .join('')
          .trimEnd()}…`
      : clean.join('');
  return short.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
