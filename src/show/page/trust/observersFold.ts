import { lnPercentText } from '../../../chart/figures/percentText.js';
import { percentText } from '../../../chart/figures/percentText.js';
import type { JudgedObservers } from '../../../judge/judgement.js';
import type { Interval } from '../../../judge/types.js';
import { plural } from '../../text/trustTexts.js';
import { table } from '../details.js';
import { foldedPiece } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { picture } from '../picture.js';
import { sentence } from '../sentence.js';
import { edgeMoves, MUCH } from './edgeMoves.js';
import { fixed } from './numberText.js';
import { leftAway, type TrustContent } from './trustContent.js';

/** Who reads high, how well people agree, and the chart without one of them. */
export function observersFold({ panel, judgement, figures }: TrustContent): Html {
  const { observers, depth, unit } = judgement;
  const { rows, without } = observers;
  return foldedPiece('Observers: who reads high?', {
    look: 'thick bars that lie wholly on one side of the dashed line: that person calls the same water higher or lower.',
    body: html`${picture(
      figures,
      `${panel.id}-bias`,
      'Bias of each observer as a change of the gauge’s reading. Thick line 80 %, thin line 95 %; filled: the thick line is clear of zero. The chart already allows for it.',
    )}
    ${biasTable(rows)}
    ${
      rows.length > 0 &&
      html`<ul>
        ${rows.map((row) => html`<li>${sentence(row.sentence)}</li>`)}
      </ul>`
    }
    ${agreementTables(observers, panel.run.features)}
    ${
      without.length > 0
        ? html`${edgeMoves(
              'The chart without one observer',
              without.map(({ observer, edges }) => ({ name: observer, edges })),
              { unit, first: 'Without' },
            )}
            <ul>
              ${without
                .filter(({ largestMove }) => Math.abs(largestMove) > MUCH)
                .map((one) => html`<li>${sentence(one.sentence)}</li>`)}
            </ul>`
        : rows.length > 1 && html`<p class="note">The chart without one observer: ${leftAway(depth)}</p>`
    }`,
    seen: observersSeen(rows),
  });
}

function biasTable(rows: JudgedObservers['rows']): Html {
  const ends = ([from, to]: readonly [number, number]) => `${lnPercentText(from)} to ${lnPercentText(to)}`;
  return table(
    'Bias of each observer',
    ['Observer', 'Sightings', 'Visits', 'Bias', '80 %', '95 %', 'Odds of higher'],
    rows.map(({ observer, sightings, visits, biasMedian, bias80, bias95, above }) => [
      observer,
      String(sightings),
      String(visits),
      lnPercentText(biasMedian),
      ends(bias80),
      ends(bias95),
      percentText(above),
    ]),
  );
}

function agreementTables(
  { agreement, pairs }: Pick<JudgedObservers, 'agreement' | 'pairs'>,
  features: readonly { readonly id: string; readonly name: string }[],
): Html {
  if (agreement.length === 0)
    return html`<p class="note">
      No feature was seen by two people on one visit, so their agreement can’t be measured.
    </p>`;
  const nameOf = (id: string) =>
    agreement.find(({ feature }) => feature === id)?.name ?? features.find((one) => one.id === id)?.name ?? id;
  return html`${table(
    'Agreement on visits that two or more people logged (Krippendorff’s α: 1 full, 0 by chance)',
    ['Feature', 'Shared visits', 'α', '80 %'],
    agreement.map(({ name, sharedVisits, alpha, i80 }) => [
      name,
      String(sharedVisits),
      alpha === null ? 'can’t be told' : fixed(alpha, 2),
      ends(i80),
    ]),
  )}
  ${
    pairs.length > 0 &&
    table(
      'Agreement of two (Cohen’s κ, weighted)',
      ['Pair', 'Feature', 'Shared', 'κ', '80 %', 'Second higher by, classes'],
      pairs.map(({ feature, observers, shared, kappa, i80, secondHigherBy }) => [
        observers.join(', '),
        nameOf(feature),
        String(shared),
        kappa === null ? 'can’t be told' : fixed(kappa, 2),
        ends(i80),
        fixed(secondHigherBy, 1),
      ]),
    )
  }`;
}

function ends([from, to]: Interval): string {
  if (from === null && to === null) return '';
  return `${from === null ? 'open' : fixed(from, 2)} to ${to === null ? 'open' : fixed(to, 2)}`;
}

function observersSeen(rows: JudgedObservers['rows']): string {
  if (rows.length === 0) return 'nothing was fitted, so nobody can be compared';
  if (rows.length === 1) return rows[0]!.sentence;
  const leaning = rows.filter(({ bias80: [from, to] }) => from > 0 || to < 0);
  if (leaning.length === 0)
    return `none of ${plural(rows.length, 'observer')} reads clearly higher or lower than the others`;
  const said = [...leaning]
    .sort((a, b) => Math.abs(b.biasMedian) - Math.abs(a.biasMedian))
    .slice(0, 3)
    .map(
      ({ observer, biasMedian }) =>
        `${observer} reads ${biasMedian > 0 ? 'higher' : 'lower'} (${lnPercentText(biasMedian)})`,
    );
  const more = leaning.length > 3 ? `, and ${leaning.length - 3} more` : '';
  return `${leaning.length} of ${plural(rows.length, 'observer')} ${leaning.length === 1 ? 'stands' : 'stand'} apart: ${said.join(', ')}${more}`;
}
