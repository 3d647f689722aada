import { percentText } from '../../../chart/figures/percentText.js';
import { valueText } from '../../../chart/figures/valueText.js';
import type { Interval } from '../../../judge/types.js';
import { unitLabel } from '../../../series/units.js';
import { dayText, plural } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { sentence } from '../sentence.js';
import { countText } from './numberText.js';
import type { TrustContent } from './trustContent.js';

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** What the chart rests on, and what is missing. */
export function evidenceFold({ panel, judgement }: TrustContent): Html {
  const { evidence, classes, unit } = judgement;
  const { limbs, monthCounts, missing } = evidence;
  const span = ([from, to]: Interval) =>
    from === null || to === null ? 'unknown' : `${valueText(from)} to ${valueText(to)} ${unitLabel(unit)}`;
  const months = MONTHS.flatMap((month, m) => (monthCounts[m]! > 0 ? [`${month} ${monthCounts[m]!}`] : []));
  return foldedPiece('Evidence: what it rests on', {
    look: 'zeros and small numbers. A level, a month or rising water that nobody has logged is a guess.',
    body: html`${table(
      'Evidence',
      ['', ''],
      [
        ['Visits, of these with a verdict', `${evidence.visits}, ${countText(evidence.verdicts)}`],
        ['Floods they come from', String(evidence.floods)],
        [
          'First and last visit',
          evidence.firstVisitMs === null
            ? 'never'
            : `${dayText(evidence.firstVisitMs, panel.timeZone)} to ${dayText(evidence.lastVisitMs, panel.timeZone)}`,
        ],
        [
          'From the last visit to the end of the record',
          evidence.ageDays === null ? 'unknown' : plural(Math.round(evidence.ageDays), 'day'),
        ],
        ['Readings met by the visits', span(evidence.span)],
        ['Readings of the record, 5 % to 95 %', span(evidence.recordSpan)],
        [
          'Verdicts by class',
          html`${classes.map((word, k) => `${word} ${countText(evidence.classCounts[k] ?? 0)}`).join(', ')}`,
        ],
        ['Visits by month', html`${months.length === 0 ? 'none' : months.join(', ')}`],
        [
          'On rising, steady, falling water',
          `${countText(limbs.rising)}, ${countText(limbs.steady)}, ${countText(limbs.falling)}`,
        ],
        [
          'Readings approved by the agency',
          evidence.approvedShare === null ? 'the file does not say' : percentText(evidence.approvedShare),
        ],
      ],
      { wrap: true },
    )}
    ${
      missing.length > 0 &&
      html`<p><b>What is missing</b></p>
        <ul>
          ${missing.map((text) => html`<li>${sentence(text)}</li>`)}
        </ul>`
    }`,
    seen: `${plural(evidence.visits, 'visit')} in ${plural(evidence.floods, 'flood')}. ${missing[0] ?? 'Nothing that was looked for is missing'}`,
  });
}
