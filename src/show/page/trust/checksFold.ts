import { plural } from '../../text/trustTexts.js';
import { checksHtml } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import type { TrustContent } from './trustContent.js';

/** The numbers that the grade is made from. */
export function checksFold({ judgement }: TrustContent): Html {
  const { checks, grade } = judgement;
  const failed = checks.filter(({ pass }) => !pass);
  return foldedPiece('What the grade stands on', {
    look: '“no”: each one caps the grade. An essential one that fails leaves no usable grade.',
    body: html`${checksHtml(judgement)}
      <p class="note">Every threshold has its reason in docs/trust.md.</p>`,
    seen:
      checks.length === 0
        ? `nothing could be checked: ${grade}`
        : failed.length === 0
          ? `all ${plural(checks.length, 'check')} passed: ${grade}`
          : `${failed.length} of ${plural(checks.length, 'check')} failed: ${grade}`,
  });
}
