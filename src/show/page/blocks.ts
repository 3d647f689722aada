import type { Block, FigureBlock, Fold, Heading, Says } from '../../tell/document.js';
import type { RunAnswer } from '../../tell/runAnswer.js';
import { texts, type AnyTable } from '../../tell/table.js';
import { figureSvg } from '../svg/figureSvg.js';
import { html, trustedHtml, type Html } from './html.js';

/** What a page adds to blocks: how it lays out a card, and the heading that the blocks stand under. */
export interface Frame {
  readonly card: (answer: RunAnswer) => Html;
  /** Level of the heading above: those of the blocks follow it without a step left out. */
  readonly under: 1 | 2 | 3;
  /** Put before every id, so that two documents can stand on one page. */
  readonly prefix: string;
}

/** Blocks as HTML: the one place where a document becomes a page. It knows blocks and no river; every text is escaped on its way. */
export function blocksHtml(blocks: readonly Block[], frame: Frame): Html {
  let last: number = frame.under;
  return html`${blocks.map((block) => {
    if (block.kind !== 'heading') return blockHtml(block, { ...frame, under: Math.min(3, last) as 3 });
    last = Math.min(block.level, last + 1);
    return headingHtml(block, last, frame.prefix);
  })}`;
}

function blockHtml(block: Exclude<Block, Heading>, frame: Frame): Html {
  switch (block.kind) {
    case 'says':
      return saysHtml(block);
    case 'list':
      return html`<ul>
        ${block.items.map((item) => html`<li>${item}</li>`)}
      </ul>`;
    case 'table':
      return tableHtml(block.table);
    case 'figure':
      return figureHtml(block, frame);
    case 'card':
      return frame.card(block.answer);
    case 'fold':
      return foldHtml(block, frame);
  }
}

function headingHtml({ text, id }: Heading, level: number, prefix: string): Html {
  const tag = trustedHtml(`h${level}`);
  return html`<${tag}${id !== undefined && html` id="${prefix}${id}"`}>${text}</${tag}>`;
}

function saysHtml({ text, tone }: Says): Html {
  return html`<p${tone !== undefined && html` class="${tone}"`}>${text}</p>`;
}

/** A table that scrolls sideways inside itself on a phone, so that the page never does. */
export function tableHtml(table: AnyTable): Html {
  const { caption, heads, rows } = texts(table);
  if (rows.length === 0) return html`<p class="note">${caption}: none.</p>`;
  const right = heads.map((head) => head.right && html` class="n"`);
  return html`<div class="scroll" tabindex="0" role="group" aria-label="${caption}">
    <table class="plain">
      <caption>
        ${caption}
      </caption>
      <thead>
        <tr>
          ${heads.map(({ text }, c) => (text === '' ? html`<td></td>` : html`<th scope="col" ${right[c]}>${text}</th>`))}
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          (cells) =>
            html`<tr>
              ${cells.map((cell, c) => (c === 0 ? html`<th scope="row" ${right[c]}>${cell}</th>` : html`<td${right[c]}>${cell}</td>`))}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

/**
 * A picture drawn for a wide and for a narrow place, with its words for whoever can't see it.
 * @param options.over what lies on it. @param options.below what belongs to it and stands under it.
 */
export function figureHtml(
  { id, figure, caption }: FigureBlock,
  { prefix, over, below }: { prefix: string; over?: Html; below?: Html },
): Html {
  const drawing = (narrow: boolean) =>
    trustedHtml(figureSvg(figure, { narrow, within: idSafe(`${prefix}${id}${narrow ? '-n' : '-w'}`) }));
  return html`<figure>
    <div class="paper">
      <div class="fig" role="img" aria-label="${figure.alt}">
        <div class="wide">${drawing(false)}</div>
        <div class="narrow">${drawing(true)}</div>
      </div>
      ${over}
    </div>
    ${below}
    <figcaption>${caption}</figcaption>
  </figure>`;
}

/** An id that can stand in `url(#…)` of a drawing, whatever a file called its gauge. */
function idSafe(id: string): string {
  return id.replace(/[^\w-]/g, (c) => `_${c.codePointAt(0)!.toString(36)}`);
}

function foldHtml({ id, title, body }: Fold, frame: Frame): Html {
  return html`<details id="${frame.prefix}${id}">
    <summary>${title}</summary>
    ${blocksHtml(body, frame)}
  </details>`;
}
