import { html, type Html } from '../html.js';
import type { PanelContent } from '../pageFigures.js';
import type { Panel } from '../panel.js';
import type { Judgement } from '../../../judge/judgement.js';
import { sentence } from '../sentence.js';

/** What every fold of the part is made from. */
export interface TrustContent {
  readonly panel: Panel;
  readonly judgement: Judgement;
  readonly figures: PanelContent['figures'];
  readonly cautions: readonly string[];
}

/**
 * A folded piece of the part: what to look for, the detail, and what was seen. What was seen also stands beside the title while
 * the piece is closed, on paper too.
 */
export function trustFold(title: string, { look, body, seen }: { look: string; body: Html; seen: string }): Html {
  return html`<details class="piece">
    <summary><span class="what">${title}</span> <span class="finding">${sentence(seen)}</span></summary>
    <p><b>Look for</b> ${look}</p>
    ${body}
    <p class="seen"><b>Seen:</b> ${sentence(seen)}</p>
  </details>`;
}

/** Why a piece that needs fits of its own is not there. */
export function leftAway(depth: Judgement['depth']): string {
  return depth === 'quick'
    ? 'Not worked out in the quick judgement; it takes fits of its own. Make the chart without the quick option to see it.'
    : 'There was too little to work it out from.';
}

/** Said beside whatever could send someone to the water. */
export const BANK = 'A look from the bank counts, and it counts more than any number here.';
