import { measuredText, percentText } from '../../../chart/figures/percentText.js';
import type { Judgement, JudgedScores } from '../../../judge/judgement.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, trustedHtml, type Html } from '../html.js';
import { picture } from '../picture.js';
import { countText, numberText } from './numberText.js';
import type { TrustContent } from './trustContent.js';

/** Stated odds against what happened: reliability, sharpness, and what was said against what was seen. */
export function oddsFold({ panel, judgement, figures }: TrustContent): Html {
  const { scores } = judgement;
  const title = 'Do the odds hold?';
  const look = 'dots on their grey bars: then what was given odds of 70 % comes true in about 70 of 100.';
  if (scores === null)
    return foldedPiece(title, { look, body: html``, seen: 'Nothing could be fitted: no odds were stated.' });
  return foldedPiece(title, {
    look,
    body: html`${picture(
      figures,
      `${panel.id}-reliability`,
      'Each dot: all cases in which a class was given such odds, with the 80 % interval of how often it came true. Grey bar: where the dot would lie in 8 of 10 cases if the odds were right. Hollow dot: off its bar. Dashed: as stated. Below: how often such odds were stated.',
      { small: true },
    )}
    ${sharpnessTable(scores.sharpness)} ${confusionTable(judgement, scores.confusion)}`,
    seen: scores.reliability.sentence,
  });
}

function sharpnessTable({ meanTop, sure, sureRight, entropyBits, loggedEntropyBits }: JudgedScores['sharpness']): Html {
  return table(
    'How much the odds commit themselves (80 % intervals)',
    ['', ''],
    [
      ['Odds of the likeliest class, on average', measuredText(meanTop)],
      ['Visits with one class at 80 % or more', measuredText(sure)],
      ['… and of those, right', measuredText(sureRight)],
      ['Doubt left, bits', numberText(entropyBits, { digits: 2 })],
      ['Doubt without any gauge, bits', numberText(loggedEntropyBits, { digits: 2 })],
    ],
  );
}

/** Rows said, columns seen; shaded by how many, numbers shown, the diagonal framed. */
function confusionTable({ classes }: Judgement, { table: counts }: JudgedScores['confusion']): Html {
  const most = Math.max(...counts.flat());
  if (!(most > 0)) return html``;
  const shade = (count: number) => Math.ceil((5 * count) / most);
  const caption = 'What was said against what was seen, verdicts';
  return html`<div class="scroll" tabindex="0" role="group" aria-label="${caption}">
      <table class="plain confusion">
        <caption>
          ${caption}
        </caption>
        <thead>
          <tr>
            <td></td>
            <th scope="colgroup" colspan="${classes.length}">seen</th>
          </tr>
          <tr>
            <th scope="col">said</th>
            ${classes.map((word) => html`<th scope="col">${word}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${counts.map(
            (row, said) =>
              html`<tr>
                <th scope="row">${classes[said]}</th>
                ${row.map((count, seen) => html`<td class="${trustedHtml(`s${shade(count)}${said === seen ? ' same' : ''}`)}">${count === 0 ? '·' : countText(count)}</td>`)}
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
    <p class="note">
      Framed: seen as said. Right of the frames the creek was higher than said, the direction that hurts
      (${percentText(shareWhere(counts, (said, seen) => seen > said))}); left of them lower
      (${percentText(shareWhere(counts, (said, seen) => seen < said))}).
    </p>`;
}

function shareWhere(counts: readonly (readonly number[])[], where: (said: number, seen: number) => boolean): number {
  const total = counts.flat().reduce((sum, count) => sum + count, 0);
  return counts.flatMap((row, said) => row.filter((_, seen) => where(said, seen))).reduce((a, b) => a + b, 0) / total;
}
