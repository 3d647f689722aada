import { measuredText, percentText } from '../../../chart/figures/percentText.js';
import { WAY_WORDS } from '../../../chart/figures/skillFigure.js';
import type { JudgedScores } from '../../../judge/judgement.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { numberText } from './numberText.js';
import { sentence } from '../sentence.js';
import type { TrustContent } from './trustContent.js';

/** Three ways of deciding against three baselines, and the log scores. */
export function skillFold({ panel, judgement, figures }: TrustContent): Html {
  const { scores } = judgement;
  const title = 'Skill: is it better than guessing?';
  const look = 'bars that stay right of the dashed line. One that touches it is not clearly better than that guess.';
  if (scores === null)
    return foldedPiece(title, {
      look,
      body: html``,
      seen: 'Nothing could be fitted, so there is no skill to measure.',
    });
  return foldedPiece(title, {
    look,
    body: html`${picture(
        figures,
        `${panel.id}-skill`,
        'Share of the guesswork taken away on floods left out, with 80 % intervals. Three guesses to beat: how often each class was logged, the same by month, and the gauge read at the moment without lag or storage.',
      )}
      ${skillTable(scores)}
      ${table(
        'Scores on floods left out (80 % intervals)',
        ['', 'Ranked probability score', 'Log score, nats', 'Log score saved, nats'],
        scores.ways.map(({ way, rps, logScore, logGain }) => [
          WAY_WORDS[way],
          numberText(rps, { digits: 3 }),
          numberText(logScore, { digits: 2 }),
          numberText(logGain, { digits: 2 }),
        ]),
      )}
      <p class="note">
        Lower scores are better; saved: against how often each class was logged. ${sentence(scores.methodSentence)}
        ${sentence(scores.floodRule)} Rank correlation over the whole record is not shown: any two rivers of one climate
        have it.
      </p>`,
    seen: skillSeen(scores),
  });
}

function skillTable({ ways }: JudgedScores): Html {
  return table(
    'Guesswork taken away (80 % intervals)',
    ['', 'against the log', 'against the month', 'against no lag'],
    ways.map(({ way, skill }) => [
      WAY_WORDS[way],
      measuredText(skill.againstFrequencies),
      measuredText(skill.againstMonth),
      skill.againstNoLag === null ? 'is itself' : measuredText(skill.againstNoLag),
    ]),
  );
}

function skillSeen({ ways }: JudgedScores): string {
  const parts = ways.flatMap(({ way, skill: { againstFrequencies } }) =>
    againstFrequencies.value === null ? [] : [`${WAY_WORDS[way]} ${percentText(againstFrequencies.value)}`],
  );
  if (parts.length === 0) return 'No skill could be measured.';
  const month = ways[0]!.skill.againstMonth;
  const against = month.value === null ? '' : `; against the month ${measuredText(month)}`;
  return `guesswork taken away on floods it had not seen: ${parts.join(', ')}${against}`;
}
