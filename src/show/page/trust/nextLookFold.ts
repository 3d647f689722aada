import { percentText } from '../../../chart/figures/percentText.js';
import { valueText } from '../../../chart/figures/valueText.js';
import type { JudgedNextLook } from '../../../judge/judgement.js';
import { unitLabel, type GaugeUnit } from '../../../series/units.js';
import { table } from '../details.js';
import { BANK, foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { sentence } from '../sentence.js';
import type { TrustContent } from './trustContent.js';

/** Where one more look would tell most. */
export function nextLookFold({ panel, judgement, figures, cautions }: TrustContent): Html {
  const { nextLook, unit, grade } = judgement;
  const title = 'Next best look';
  const look = 'the top of the curve: a look at such a reading tells most about where good begins and ends.';
  if (grade === 'no usable relation')
    return foldedPiece(title, {
      look,
      body: html``,
      seen: 'More looks will not make this gauge know the creek: try another one.',
    });
  if (nextLook === null)
    return foldedPiece(title, { look, body: html``, seen: 'Nothing was fitted: every visit on a new flood helps.' });
  return foldedPiece(title, {
    look,
    body: html`${picture(
        figures,
        `${panel.id}-look`,
        'How much narrower the edges of the good range would get by one more verdict at each reading. Hatched: those edges’ 80 % intervals. Ticks: the visits so far.',
      )}
      ${
        nextLook.looks.length > 0 &&
        html`<ol>
          ${nextLook.looks.map((one) => html`<li>${sentence(one.sentence)}</li>`)}
        </ol>`
      }
      <p class="heed">${cautions[0]} ${BANK} Nobody needs to be on the water to log it.</p>
      ${table(
        'What one more sighting of each feature is worth, at its own best reading',
        ['Feature', `At, ${unitLabel(unit)}`, 'Narrower by'],
        nextLook.byFeature.map(({ name, gaugeValue, shrinkage }) => [
          name,
          valueText(gaugeValue),
          percentText(shrinkage),
        ]),
      )}`,
    seen: nextLookSeen(nextLook, unit),
  });
}

function nextLookSeen({ looks: [best], byValue }: JudgedNextLook, unit: GaugeUnit): string {
  if (best === undefined) {
    const most = Math.max(0, ...byValue.map(({ shrinkage }) => shrinkage));
    return `no single look stands out${most > 0 ? `: at best the edges would get ${percentText(most)} narrower` : ''}`;
  }
  const range = `${valueText(best.from)} to ${valueText(best.to)} ${unitLabel(unit)}`;
  return `most is learned at ${range}: edges about ${percentText(best.shrinkage)} narrower. A look from the bank counts`;
}
