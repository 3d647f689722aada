import { BANK } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import type { GaugesContent } from './gaugesContent.js';
import { loggerPieces } from './loggerPieces.js';
import { staffPieces } from './staffPieces.js';

/** What else tells of a run than visits and official gauges: loggers that stood there, staffs that people read. Undefined where there is none. */
export function otherPart(content: GaugesContent, cautions: readonly string[]): Html | undefined {
  const { id, gauges, details } = content;
  const { loggers, staffs } = gauges;
  if (loggers.length + staffs.length === 0) return undefined;
  return html`<section class="else" aria-labelledby="${id}-else">
    <h3 id="${id}-else">What else tells of this run</h3>
    ${
      details
        ? html`${loggers.map((logger, l) => loggerPieces(content, { logger, index: l }))}
          ${staffs.map((staff, s) => staffPieces(content, { staff, index: s }))}`
        : html`<p class="note">Loggers and staffs are left out to keep the page small; they are in gauges.json.</p>`
    }
    <p class="heed">${cautions[0]} ${BANK}</p>
  </section>`;
}
