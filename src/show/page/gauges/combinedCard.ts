import type { CombinedReading } from '../../../chart/gauges/types.js';
import type { Edge } from '../../../chart/types.js';
import { groupDigits } from '../../../chart/figures/valueText.js';
import { otherSystemUnit, unitLabel, type GaugeUnit } from '../../../series/units.js';
import { meanSeen } from '../../text/gaugeTexts.js';
import { interval, table } from '../details.js';
import { html, type Html } from '../html.js';
import { printedCautions } from '../keyCard.js';
import { fixed } from '../trust/numberText.js';
import type { GaugesContent } from './gaugesContent.js';
import { hoursNumber } from './hoursCell.js';

/** How to read a combined gauge, which has no chart of its own, and where its levels begin and end. */
export function combinedCard(
  { run, panels, gauges }: GaugesContent,
  { combined, cautions }: { combined: CombinedReading; cautions: readonly string[] },
): Html {
  const { unit, parts, edges, howToRead, aloneUsable, caution } = combined;
  const ranked = [...(gauges.ranking?.warning ?? []), ...(gauges.ranking?.confirming ?? [])];
  const panelOf = (gauge: string) => panels.find((panel) => panel.gauge.gauge.id === gauge);
  const nameOf = (gauge: string) =>
    panelOf(gauge)?.gauge.gauge.name ?? ranked.find(({ id }) => id === gauge)?.name ?? gauge;
  return html`<article class="key combined">
    <p class="where">${run.name}, by several gauges together</p>
    <p class="how"><span class="label">How to read them</span> ${howToRead}</p>
    <p${!aloneUsable && html` class="heed"`}>${meanSeen(combined)} ${caution}</p>
    ${table(
      'What goes in',
      ['Gauge', 'Weight', 'Lag, h', 'Storage, h'],
      parts.map(({ gauge, weight, lagHours, storageHours }) => [
        nameOf(gauge),
        fixed(weight, 2),
        hoursNumber(lagHours),
        hoursNumber(storageHours),
      ]),
    )}
    ${edgesTable(edges, unit)}
    <p class="note">
      Edge: as likely one level as the other, rounded to the safer side; 80 % and 95 %: its intervals.
      ${edges.some((edge) => !edge.seenBothSides) && 'Assumed: no visit stands on one side of it.'}
    </p>
    ${printedCautions(cautions)}
  </article>`;
}

function edgesTable(edges: readonly Edge[], unit: GaugeUnit): Html {
  return table(
    'Edges on the mean',
    ['Edge between', unitLabel(unit), unitLabel(otherSystemUnit(unit)), '80 %', '95 %', ''],
    edges.map((edge) => [
      edge.between.join(' | '),
      html`<b>${groupDigits(edge.rounded.toFixed(edge.digits))}</b>`,
      groupDigits(edge.roundedOther.toFixed(edge.digitsOther)),
      interval(edge.i80),
      interval(edge.i95),
      edge.seenBothSides ? '' : 'assumed',
    ]),
  );
}
