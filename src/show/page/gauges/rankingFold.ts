import { percentRange, percentText } from '../../../chart/figures/percentText.js';
import type { GaugeRanking, RankedGauge } from '../../../judge/gauges/types.js';
import { plural } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { sentence, typeset } from '../sentence.js';
import { fixed } from '../trust/numberText.js';
import type { GaugesContent } from './gaugesContent.js';
import { hoursNumber } from './hoursCell.js';

/** Names that the closed piece says. */
const NAMED = 3;
/** More columns than this do not fit a page. */
const MOST_BEATS = 8;
/** A share of a score above this in floods without dependable weights is said. */
const MUCH_UNDEPENDABLE = 0.2;

/** All candidates in order with the reason for each rank; apart from them those that only confirm, and those that take no part. */
export function rankingFold({ id, figures }: GaugesContent, ranking: GaugeRanking): Html {
  const { warning, confirming, aside, visits, floods, leadHours } = ranking;
  const when = leadHours > 0 ? `${leadHours} h before going` : 'at the moment of going';
  return foldedPiece('All gauges in order', {
    look: 'dots whose lines lie right of the dashed line, and apart from each other. Lines that overlap much: which of the two is better, nobody knows yet.',
    body: html`${picture(
        figures,
        `${id}-ranking`,
        'Guesswork taken away on floods left out (a skill of 0.60 is 60 %), thick line 80 %. Full dot: a gauge. Square: derived from several. Ring: a weighted mean. In the margin of a wide picture: how often each would be the best of its list.',
      )}
      ${warning.length === 0 ? html`<p>None can be read before going.</p>` : rankedTable(`Read ${when}, best first: guesswork taken away (80 % interval)`, warning)}
      ${
        confirming.length > 0 &&
        rankedTable(
          'Only confirm afterwards, nothing to plan with: guesswork taken away by the later reading',
          confirming,
        )
      }
      ${
        aside.length > 0 &&
        html`<p class="label">Stand aside</p>
          <ul>
            ${aside.map(({ name, reason }) => html`<li><b>${name}</b>: ${sentence(reason)}</li>`)}
          </ul>`
      }
      ${partsTable(ranking)} ${warning.length > 1 && beatsTable(ranking)} ${undependable([...warning, ...confirming])}
      <p class="note">
        All are scored on the ${plural(visits, 'visit')} in ${plural(floods, 'flood')} that all of them have, with the
        visit’s own flood left out. The charts below use every visit that a gauge has, so their numbers differ.
      </p>`,
    seen: rankingSeen(ranking),
  });
}

/** A row of numbers a candidate, and below it, as wide as the table, why it stands there. How often it is the best says something only among others. */
function rankedTable(caption: string, rows: readonly RankedGauge[]): Html {
  const others = rows.length > 1;
  const headings = ['Gauge', 'Taken away', ...(others ? ['Best in'] : []), 'Lag, h', 'Storage, h'];
  return html`<div class="scroll" tabindex="0" role="group" aria-label="${caption}">
    <table class="plain ranked">
      <caption>
        ${caption}
      </caption>
      <thead>
        <tr>
          ${headings.map((word) => html`<th scope="col">${word}</th>`)}
        </tr>
      </thead>
      ${rows.map(
        (row) =>
          html`<tbody>
            <tr>
              <th scope="row">${row.rank}. ${row.name} ${row.kind !== 'single' && html`<small>${row.kind}</small>`}</th>
              ${rankedCells(row, others).map((cell) => html`<td>${cell}</td>`)}
            </tr>
            <tr>
              <td colspan="${headings.length}" class="reason">
                <p>${typeset(row.reason)} ${row.status !== 'converged' && `Its fit is not sound (${row.status}).`}</p>
              </td>
            </tr>
          </tbody>`,
      )}
    </table>
  </div>`;
}

function rankedCells(
  { kind, skill, best, lagHours, storageHours }: RankedGauge,
  others: boolean,
): readonly (Html | string)[] {
  return [
    html`${percentText(skill.againstFrequencies.value ?? NaN)}
      <small>${percentRange(skill.againstFrequencies.i80)}</small>`,
    ...(others ? [drawnShare(best)] : []),
    // A mean has a lag and a storage for each of its parts.
    ...(kind === 'combined' ? ['·', '·'] : [hoursNumber(lagHours), hoursNumber(storageHours)]),
  ];
}

/** What the weighted means are made of. */
function partsTable({ warning, confirming }: GaugeRanking): Html | undefined {
  const names = new Map([...warning, ...confirming].map(({ id, name }) => [id, name]));
  const rows = warning.flatMap(({ rank, parts }) =>
    parts.map(({ gauge, weight, lagHours, storageHours }) => [
      `${rank}. with ${names.get(gauge) ?? gauge}`,
      fixed(weight, 2),
      hoursNumber(lagHours),
      hoursNumber(storageHours),
    ]),
  );
  return rows.length === 0
    ? undefined
    : table(
        'What goes into the means (mean weight, median lag and storage)',
        ['', 'Weight', 'Lag, h', 'Storage, h'],
        rows,
      );
}

/** Ranks stand for names, so that a phone shows several columns. */
function beatsTable({ warning, beats }: GaugeRanking): Html {
  const shown = warning.slice(0, MOST_BEATS);
  return table(
    'How often one scores better than another, over floods drawn anew (numbers as above)',
    ['Better', ...shown.map(({ rank }) => `than ${rank}.`)],
    shown.map(({ rank }, a) => [`${rank}.`, ...shown.map((_, b) => (a === b ? '·' : drawnShare(beats[a]![b]!)))]),
  );
}

/** A share of draws: some hundreds of them make nothing certain. */
function drawnShare(share: number): string {
  return share < 0.005 ? '<1\u00a0%' : share > 0.995 ? '>99\u00a0%' : percentText(share);
}

function undependable(rows: readonly RankedGauge[]): Html | undefined {
  const weak = rows.filter(({ undependableShare }) => undependableShare > MUCH_UNDEPENDABLE);
  if (weak.length === 0) return undefined;
  return html`<p class="note">
    Scores to doubt, because much of them lies in floods that one fit can’t be asked to leave out:
    ${weak.map(({ name, undependableShare }) => `${name} (${percentText(undependableShare)})`).join(', ')}.
  </p>`;
}

function rankingSeen({ warning, confirming, aside }: GaugeRanking): string {
  const named = warning
    .slice(0, NAMED)
    .map(({ name, skill }) => `${name} ${percentText(skill.againstFrequencies.value ?? NaN)}`)
    .join(', ');
  const more = warning.length > NAMED ? ` and ${warning.length - NAMED} more` : '';
  const parts = [
    warning.length === 0 ? 'none can be read before going' : `guesswork taken away, best first: ${named}${more}`,
    ...(confirming.length > 0 ? [`only confirming: ${confirming.map(({ name }) => name).join(', ')}`] : []),
    ...(aside.length > 0 ? [`aside: ${aside.map(({ name }) => name).join(', ')}`] : []),
  ];
  return parts.join('; ');
}
