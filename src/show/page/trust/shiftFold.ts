import { lnPercentText, percentText } from '../../../chart/figures/percentText.js';
import { valueText } from '../../../chart/figures/valueText.js';
import type { JudgedEdge, JudgedShift } from '../../../judge/judgement.js';
import type { Interval } from '../../../judge/types.js';
import { unitLabel } from '../../../series/units.js';
import { dayText } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { betweenText } from './edgeMoves.js';
import { fixed } from './numberText.js';
import { leftAway, type TrustContent } from './trustContent.js';

/** Below this the likeliest step is most likely none. */
const WORTH_A_WORD = 0.5;

/** Did the bed move? What each visit met in time, the step, and the edges before and after it. */
export function shiftFold({ panel, judgement, figures }: TrustContent): Html {
  const { shift, unit, depth } = judgement;
  const { before, after, found } = shift;
  const several = shift.before !== null && shift.after !== null;
  return foldedPiece('Shift: did the creek’s bed move?', {
    look: 'dots that lie higher, or lower, from some day on and stay there.',
    body: html`${picture(
      figures,
      `${panel.id}-shift`,
      found
        ? 'Each dot: how much more (or less) water a visit met than the gauge says. Grey: the days between which the step lies, 80 % sure. Lines: before and after; band: 80 % of the step’s size.'
        : 'Each dot: how much more (or less) water a visit met than the gauge says. No step was found, so none is drawn.',
    )}
    ${stepTable(shift, panel.timeZone)}
    ${
      several
        ? table(
            `Edges by the visits before and after, ${unitLabel(unit)} (80 % intervals)`,
            ['Edge', 'Before', 'After'],
            before!.map((edge) => [
              betweenText(edge.between),
              edgeText(edge),
              edgeText(after!.find(({ between }) => between.join() === edge.between.join())),
            ]),
          )
        : found && html`<p class="note">Edges before and after: ${leftAway(depth)}</p>`
    }`,
    seen: shift.sentence,
  });
}

function stepTable({ probability, pettittP, step, found }: JudgedShift, timeZone: string): Html | undefined {
  if (probability === null) return undefined;
  const days = ([from, to]: readonly [number, number]) => `${dayText(from, timeZone)} to ${dayText(to, timeZone)}`;
  return table(
    'The step',
    ['', ''],
    [
      ['Probability of a lasting step', percentText(probability)],
      ['Pettitt’s p (the smaller, the less like chance)', pettittP === null ? 'unknown' : fixed(pettittP, 3)],
      ...(step === null || probability < WORTH_A_WORD
        ? []
        : [
            [found ? 'Between the visits of' : 'Likeliest between the visits of', days(step.betweenMs)],
            ['Date, 80 % sure', days(step.date80Ms)],
            [
              'Water at the same reading since',
              `${lnPercentText(step.sizeMedian)} (80 %: ${lnPercentText(step.size80[0])} to ${lnPercentText(step.size80[1])})`,
            ],
            ['Visits before, after', `${step.visitsBefore}, ${step.visitsAfter}`],
          ]),
    ],
    { wrap: true },
  );
}

function edgeText(edge: JudgedEdge | undefined): string {
  if (edge === undefined) return 'unknown';
  const end = (value: Interval[0]) => (value === null ? 'open' : valueText(value));
  return `${valueText(edge.median)} (${end(edge.i80[0])} to ${end(edge.i80[1])})`;
}
