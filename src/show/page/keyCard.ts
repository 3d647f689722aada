import { groupDigits } from '../../chart/figures/valueText.js';
import { roundSafer } from '../../judge/roundSafer.js';
import { convertUnit, unitLabel } from '../../series/units.js';
import { dayText, evidenceText, otherText, plural } from '../text/trustTexts.js';
import { staffRows, type StaffRow } from '../text/staffRows.js';
import { html, type Html } from './html.js';
import { sentence } from './sentence.js';
import type { Panel, PanelLevel } from './panel.js';
import { classStyle, symbolSvg } from './swatch.js';

/** The answer on one card: how to read the gauge, what each class needs there, and what this does not know. */
export function keyCard(panel: Panel, { level }: PanelLevel, cautions: readonly string[]): Html {
  const { run, gauge } = panel;
  return html`<article class="key">
    <header>
      <p class="where">${run.name}, by ${gauge.gauge.name}</p>
      ${gradeMark(panel)}
    </header>
    <p class="how"><span class="label">How to read the gauge</span> ${level.howToRead}</p>
    ${level.leadHours > 0 && html`<p>For deciding ${plural(level.leadHours, 'hour')} before being on the water.</p>`}
    ${level.status !== 'converged' && html`<p class="note">${level.statusSentence}</p>`} ${staff(panel, level)}
    ${gauge.other && html`<p class="loses">${otherText(gauge.other)}</p>`}
    <div class="columns">
      <div>
        <h4>Why “${gauge.trust.grade}”</h4>
        <ul>
          <li>${sentence(evidenceText(gauge, panel.timeZone))}</li>
          ${gauge.trust.reasons.map((reason) => html`<li>${sentence(reason)}</li>`)}
        </ul>
      </div>
      <div>
        <h4>What this does not know</h4>
        <ul>
          ${unknowns(panel, level).map((text) => html`<li>${text}</li>`)}
        </ul>
      </div>
    </div>
    ${printedCautions(cautions)}
  </article>`;
}

/** On paper every card may end up alone in a pocket: it carries the cautions itself. */
export function printedCautions(cautions: readonly string[]): Html {
  return html`<ul class="cautions in-print">
    ${cautions.map((caution) => html`<li>${caution}</li>`)}
  </ul>`;
}

/** Grade in words, with as many drops as it has steps: no colour says it alone. */
export function gradeMark({ gauge }: Panel): Html {
  const { grade } = gauge.trust;
  const steps = { 'good guide': 3, 'fair guide': 2, 'rough guide': 1, 'too thin': 0, 'no usable relation': 0 }[grade];
  const marks = [1, 2, 3].map((step) => html`<i class="${step <= steps ? 'on' : 'off'}"></i>`);
  return html`<span class="grade"><span class="steps" aria-hidden="true">${marks}</span>${grade}</span>`;
}

function staff(panel: Panel, level: PanelLevel['level']): Html {
  const { run, gauge } = panel;
  const { units, rows } = staffRows(run, gauge, { level, units: 'both' });
  const K = run.classes.length;
  // Rows come highest first: the class last passed lies above whatever follows.
  let above = K;
  const valuesOf = (row: StaffRow): readonly Html[] => {
    if (row.kind === 'not-seen') {
      const end = row.cells[0]!.rest.startsWith('above') ? 'to' : 'from';
      return seenEnds(panel, level, end).map((text) => html`${end === 'to' ? 'above' : 'below'} ${text}`);
    }
    return row.cells.map(({ value, rest }, c) => {
      // `never sure` is said once and has no unit.
      const unit = value === '' && !/\d$/.test(rest) ? '' : ` ${units[c]!}`;
      const star = row.seenBothSides ? '' : ' *';
      return value === ''
        ? html`${grouped(withoutZeros(rest))}${unit}`
        : html`<b>${grouped(value)}</b>${unit} ${grouped(rest)}${star}`;
    });
  };
  const line = (row: StaffRow) => {
    if (row.kind === 'class') above -= 1;
    return staffLine(row, valuesOf(row), blockOf(row, above, K));
  };
  return html`<table class="staff">
    <caption>
      Highest water on top. Sure: odds of at least 80 %. Edge: as likely one level as the other; in brackets its 80 %
      interval.${rows.some((row) => !row.seenBothSides) && ' *: assumed, no visit stands on one side of this edge.'}
    </caption>
    <thead class="unseen-head">
      <tr>
        <td></td>
        <th scope="col">Level</th>
        <th scope="col">Gauge</th>
      </tr>
    </thead>
    <tbody>
      ${rows.map(line)}
    </tbody>
  </table>`;
}

function staffLine(row: StaffRow, values: readonly Html[], block: Html): Html {
  return html`<tr class="${row.kind}">
    <td class="block" aria-hidden="true">${block}</td>
    <th scope="row">${row.kind === 'edge' && html`<span class="label">edge</span> `}${row.label}</th>
    <td class="values">${values.map((value) => html`<span>${value}</span>`)}</td>
  </tr>`;
}

/** The piece of the painted staff in a row: a class, the meeting of two, or hatching. */
function blockOf(row: StaffRow, above: number, K: number): Html {
  if (row.kind === 'class') return html`<span class="${classStyle(above, K)}">${symbolSvg(above, K)}</span>`;
  if (row.kind === 'not-seen') return html`<span class="unseen"></span>`;
  return html`<span class="${classStyle(above, K)}"></span><span class="${classStyle(above - 1, K)}"></span>`;
}

/** The lowest or highest value seen in both units: three digits, rounded inward so that nothing unseen is called seen. */
function seenEnds({ gauge }: Panel, level: PanelLevel['level'], end: 'from' | 'to'): readonly string[] {
  const { unit, otherUnit } = gauge.gauge;
  return [unit, otherUnit].map((shown) => {
    const { value, digits } = roundSafer(convertUnit(level.seen[end], unit, shown), {
      width: NaN,
      side: end === 'from' ? 'up' : 'down',
    });
    return `${groupDigits(value.toFixed(digits))} ${unitLabel(shown)}`;
  });
}

/** Thousands apart in every number of a cell. */
function grouped(text: string): string {
  return text.replace(/\d+(\.\d+)?/g, (number) => groupDigits(number));
}

/** Two ends of one range may be rounded to different steps: the zeros after the point of the coarser one say nothing. */
function withoutZeros(text: string): string {
  return text.replace(/(\d)\.0+(?!\d)/g, '$1');
}

/** Limits of the chart in plain sentences, the dangerous side first. */
function unknowns(panel: Panel, level: PanelLevel['level']): readonly string[] {
  const { gauge, run, timeZone } = panel;
  const { trust } = gauge;
  const both = (side: 'from' | 'to') => {
    const [own, other] = seenEnds(panel, level, side);
    return `${own!} (${other!})`;
  };
  const never = run.classes.filter((_, k) => trust.evidence.classCounts[k] === 0);
  return [
    `Not seen above ${both('to')}: the water there is at least what was met at that value, and nobody has logged how much more.`,
    `Not seen below ${both('from')}.`,
    ...(never.length > 0 ? [`No visit was logged as ${never.join(', ')}.`] : []),
    `Last visit ${dayText(trust.evidence.lastVisitMs, timeZone)}: what floods, wood or works have changed since is not in here.`,
    ...(trust.evidence.approvedShare !== null && trust.evidence.approvedShare < 1
      ? [`${Math.round(100 * (1 - trust.evidence.approvedShare))} % of the readings are not approved by the agency.`]
      : []),
    'Wood, wire, undercuts, ice, works and your group: look, don’t calculate.',
  ];
}
