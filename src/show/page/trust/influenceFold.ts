import { valueText } from '../../../chart/figures/valueText.js';
import type { JudgedInfluence, JudgedSensitivity, Judgement } from '../../../judge/judgement.js';
import { unitLabel, type GaugeUnit } from '../../../series/units.js';
import { dayText } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { sentence } from '../sentence.js';
import { betweenText, edgeMoves, flag, moveText, MUCH } from './edgeMoves.js';
import { leftAway, type TrustContent } from './trustContent.js';

/** Which visit moves each edge most, and how the chart changes under other assumptions. */
export function influenceFold({ panel, judgement }: TrustContent): Html {
  const { influence, sensitivity, unit, depth } = judgement;
  return foldedPiece('Influence and sensitivity', {
    look: '“moves much”: an edge that one visit, or one assumption, moves by more than a quarter of its 80 % interval.',
    body: html`${
      influence === null && sensitivity === null
        ? ''
        : influence === null
          ? html`<p class="note">The visit that moves each edge most: ${leftAway(depth)}</p>`
          : influenceTable(influence, { unit, timeZone: panel.timeZone })
    }
    ${
      influence === null && sensitivity === null
        ? ''
        : sensitivity === null
          ? html`<p class="note">Other assumptions: ${leftAway(depth)}</p>`
          : edgeMoves(
              'The chart under other assumptions',
              sensitivity.variants.map(({ says, edges }) => ({ name: says, edges })),
              { unit, first: 'Assumption' },
            )
    }`,
    seen: influenceSeen(influence, sensitivity, depth),
  });
}

function influenceTable({ rows }: JudgedInfluence, { unit, timeZone }: { unit: GaugeUnit; timeZone: string }): Html {
  return table(
    'The visit that moves each edge most when it is left out (moves in shares of the edge’s 80 % interval)',
    ['Edge', 'Visit', 'Lines', `With, ${unitLabel(unit)}`, 'Without', 'Move', ''],
    rows.map(({ between, visit, timeMs, rows: lines, from, to, move }) => [
      betweenText(between),
      html`${dayText(timeMs, timeZone)} <small>${visit}</small>`,
      lines.join(', '),
      valueText(from),
      valueText(to),
      moveText(move),
      flag(move),
    ]),
  );
}

function influenceSeen(
  influence: JudgedInfluence | null,
  sensitivity: JudgedSensitivity | null,
  depth: Judgement['depth'],
): string {
  if (influence === null && sensitivity === null) return leftAway(depth);
  const much = influence?.rows.filter(({ move }) => Math.abs(move) > MUCH).length ?? 0;
  const visits =
    influence === null || influence.rows.length === 0
      ? ''
      : much === 0
        ? 'No single visit moves an edge by more than a quarter of its interval. '
        : `One visit alone moves ${much} of ${influence.rows.length} edges by more than a quarter of the interval. `;
  return `${visits}${sensitivity === null ? '' : sentence(sensitivity.sentence)}`.trim();
}
