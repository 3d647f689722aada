import { html, type Html } from '../page/html.js';
import { classStyle, symbolDefs, symbolSvg } from '../page/swatch.js';
import type { LevelRow } from '../../tell/levelRows.js';
import type { Card } from './cardContent.js';
import { cardStyles } from './cardStyles.js';

const POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/**
 * The cards as one page: on paper each a sheet of A5, on a phone one below the other. No script, no request.
 * @param cards at least one, of one creek.
 * @throws RangeError without a card.
 */
export function cardHtml(cards: readonly Card[]): string {
  if (cards.length === 0) throw new RangeError('cardHtml: there is no card to write');
  const sizes = cards.map((card) => card.classes);
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
${html`<title>${cards[0]!.creek}: cards</title>`.html}
<style>${cardStyles(sizes)}</style>
</head>
<body>
${symbolDefs(sizes).html}
<main>${cards.map((card) => oneCard(card).html).join('\n')}</main>
</body>
</html>
`;
}

function oneCard(card: Card): Html {
  return html`<article class="card">
    <header>
      <h1>${card.creek}: ${card.run}</h1>
      <span class="grade"><span class="steps" aria-hidden="true">${stepMarks(card)}</span> ${card.grade}</span>
    </header>
    <p class="warn">${card.cautions[0] ?? ''}</p>
    <h2>How to read ${card.gauge}</h2>
    <p class="how">${card.howToRead}</p>
    ${card.remarks.map((remark) => html`<p>${remark}</p>`)}
    <table>
      <thead>
        <tr>
          <td></td>
          <th scope="col">Level</th>
          <th scope="col">Gauge</th>
        </tr>
      </thead>
      <tbody>
        ${card.rows.map((row) => rowHtml(row, card))}
      </tbody>
    </table>
    <p class="key">${card.key}</p>
    <ul class="cautions">
      ${card.cautions.map((caution) => html`<li>${caution}</li>`)}
    </ul>
    <section>
      <h2>Why “${card.grade}”</h2>
      <ul class="notes">
        ${card.notes.map((note) => html`<li>${note}</li>`)}
      </ul>
    </section>
    <p class="made">${card.made}</p>
  </article>`;
}

/** Filled and empty drops, three in all. */
export function stepMarks({ steps }: Card): string {
  return '●'.repeat(steps) + '○'.repeat(3 - steps);
}

function rowHtml({ kind, label, blocks, value, text }: LevelRow, { classes }: Card): Html {
  const block =
    blocks.length === 0
      ? html`<span class="unseen"></span>`
      : blocks.map(
          (k) => html`<span class="${classStyle(k, classes)}">${kind === 'class' && symbolSvg(k, classes)}</span>`,
        );
  return html`<tr class="${kind}">
    <td class="block" aria-hidden="true"><div>${block}</div></td>
    <th scope="row">${label}</th>
    <td>${value !== '' && html`<b>${value}</b> `}${text}</td>
  </tr>`;
}
