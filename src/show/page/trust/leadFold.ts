import { measuredText } from '../../../chart/figures/percentText.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { leftAway, type TrustContent } from './trustContent.js';

/** What deciding some hours before being on the water costs. */
export function leadFold({ panel, judgement, figures }: TrustContent): Html {
  const { leadCurve, depth } = judgement;
  const title = 'Deciding earlier';
  const look = 'how fast the lines fall: that is what it costs to decide at home instead of at the car park.';
  if (leadCurve === null) return foldedPiece(title, { look, body: html``, seen: leftAway(depth) });
  return foldedPiece(title, {
    look,
    body: html`${picture(
      figures,
      `${panel.id}-lead`,
      'Share of the guesswork taken away on floods left out. Grey band and bars: 80 % intervals. Dashed line at zero: no better than how often each class was logged.',
    )}
    ${table(
      'Guesswork taken away (80 % intervals)',
      ['Hours before', 'Effective reading', 'One reading'],
      leadCurve.points.map(({ leadHours, effective, 'one-reading': oneReading }) => [
        String(leadHours),
        measuredText(effective),
        measuredText(oneReading),
      ]),
    )}`,
    seen: leadCurve.sentence,
  });
}
