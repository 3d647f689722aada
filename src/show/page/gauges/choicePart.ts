import type { GaugeRanking } from '../../../judge/gauges/types.js';
import { BANK } from '../foldedPiece.js';
import { html, type Html } from '../html.js';
import { sentence } from '../sentence.js';
import { combinedCard } from './combinedCard.js';
import type { GaugesContent } from './gaugesContent.js';
import { rankingFold } from './rankingFold.js';

/** Which gauge to read: the answer in a line before the gauges' own charts, the order behind it folded. */
export function choicePart(content: GaugesContent, cautions: readonly string[]): Html {
  const { id, gauges, details } = content;
  const { ranking, noRanking, combined } = gauges;
  return html`<section class="which" ${combined === null && html`data-short`} aria-labelledby="${id}-which">
    <h3 id="${id}-which">Which gauge to read</h3>
    ${
      ranking === null
        ? html`<p>${sentence(noRanking ?? 'There is no gauge to choose from.')}</p>`
        : html`<p class="choice">${shortChoice(ranking)}</p>
            <p>${afterTheName(ranking.choice)} ${besideTheCharts(ranking, content)}</p>
            <p class="heed">${cautions[0]} ${BANK}</p>`
    }
    ${combined !== null && combinedCard(content, { combined, cautions })}
    ${ranking !== null && details && rankingFold(content, ranking)}
  </section>`;
}

/**
 * The choice once more for paper, behind the gauge's card, which has the first page for itself. A choice with a card of its own is printed where it stands;
 * so is an order that somebody unfolded.
 */
export function printedChoice(
  { gauges: { ranking, noRanking, chosenCaution, combined } }: GaugesContent,
  cautions: readonly string[],
): Html | undefined {
  if (combined !== null) return undefined;
  return html`<div class="printed-choice">
    <p class="label">Which gauge to read</p>
    ${
      ranking === null
        ? html`<p>${sentence(noRanking ?? 'There is no gauge to choose from.')}</p>`
        : html`<p class="choice">${shortChoice(ranking)}</p>
            <p>${afterTheName(ranking.choice)} ${chosenCaution !== null && chosenCaution}</p>
            <p class="heed">${cautions[0]} ${BANK}</p>`
    }
  </div>`;
}

function shortChoice({ choice: { name } }: GaugeRanking): string {
  return name === null ? 'None to rely on' : `Read ${name}`;
}

/** The sentence of the choice without what stands above it already. */
function afterTheName({ name, sentence: whole }: GaugeRanking['choice']): string {
  const start = `Read ${name}: `;
  return sentence(whole.startsWith(start) ? whole.slice(start.length) : whole);
}

/** How the choice goes with the charts below, which are judged one gauge at a time. */
function besideTheCharts({ choice, leadHours }: GaugeRanking, { gauges }: GaugesContent): string {
  const lead = leadHours > 0 ? ` All were read ${leadHours} h before going.` : '';
  if (choice.id === null)
    return `The charts below judge each gauge by itself. Trust them less for this: none of them was better than guessing where it had no part in the choice.${lead}`;
  if (gauges.chosenCaution !== null) return `${gauges.chosenCaution}${lead}`;
  return gauges.combined === null ? `Its chart stands first below.${lead}` : lead.trim();
}
