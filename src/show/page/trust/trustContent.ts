import type { Judgement } from '../../../judge/judgement.js';
import type { PanelContent } from '../pageFigures.js';
import type { Panel } from '../panel.js';

/** What every fold of the part is made from. */
export interface TrustContent {
  readonly panel: Panel;
  readonly judgement: Judgement;
  readonly figures: PanelContent['figures'];
  readonly cautions: readonly string[];
}

/** Why a piece that needs fits of its own is not there. */
export function leftAway(depth: Judgement['depth']): string {
  return depth === 'quick'
    ? 'Not worked out in the quick judgement; it takes fits of its own. Make the chart without the quick option to see it.'
    : 'There was too little to work it out from.';
}
