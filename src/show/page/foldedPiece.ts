import { html, type Html } from './html.js';
import { sentence } from './sentence.js';

/**
 * A folded piece of a part: what to look for, the detail, and what was seen. What was seen also stands beside the title while the piece is closed, on
 * paper too.
 */
export function foldedPiece(title: string, { look, body, seen }: { look: string; body: Html; seen: string }): Html {
  return html`<details class="piece">
    <summary><span class="what">${title}</span> <span class="finding">${sentence(seen)}</span></summary>
    <p><b>Look for</b> ${look}</p>
    ${body}
    <p class="seen"><b>Seen:</b> ${sentence(seen)}</p>
  </details>`;
}

/** Said beside whatever could send someone to the water. */
export const BANK = 'A look from the bank counts, and it counts more than any number here.';
