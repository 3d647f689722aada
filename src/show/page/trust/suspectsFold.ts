import { percentText } from '../../../chart/figures/percentText.js';
import { localStamp } from '../../../chart/figures/localTime.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { sentence } from '../sentence.js';
import type { TrustContent } from './trustContent.js';

const MOST_EXPLANATIONS = 3;

/** Sightings that look wrong, with what would explain them: shown, never removed. */
export function suspectsFold({ panel, judgement }: TrustContent): Html {
  const { suspects } = judgement;
  return foldedPiece('Suspect sightings', {
    look: 'rows that you can check: a diary, a photo with its time, the person. The first explanation is the likeliest.',
    body: html`${
        suspects.rows.length > 0 &&
        table(
          'Visits that look wrong: shown, never removed',
          ['Visit', 'Likeliest explanations', 'All is as written', 'By', 'Lines of visits.csv'],
          suspects.rows.map(({ visit, timeMs, rows, observers, sound, explanations }) => [
            html`${localStamp(timeMs, panel.timeZone)} <small>${visit}</small>`,
            html`<ul class="why">
              ${explanations.slice(0, MOST_EXPLANATIONS).map(({ sentence: says, probability }) => html`<li>${sentence(says)} <b>${percentText(probability)}</b></li>`)}
            </ul>`,
            percentText(sound),
            observers.join(', '),
            rows.join(', '),
          ]),
          { wrap: true },
        )
      }
      <p class="note">
        Shown, never removed: the chart is made from them too. Correct a line in visits.csv only when you know better,
        then make the chart anew.
      </p>`,
    seen: suspects.sentence,
  });
}
