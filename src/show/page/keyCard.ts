import { groupDigits } from '../../chart/figures/valueText.js';
import { dayText, evidenceText, plural } from '../text/trustTexts.js';
import { seenTexts, unitColumns } from '../text/inUnits.js';
import { staffRows, type StaffRow } from '../text/staffRows.js';
import { html, type Html } from './html.js';
import type { Panel, PanelLevel } from './panel.js';
import { classStyle, symbolSvg } from './swatch.js';
import { classPalette } from '../../chart/palette.js';

/** The answer on one card: how to read the gauge, what each class needs there, and what this does not know. */
export function keyCard(panel: Panel, { level, key }: PanelLevel, cautions: readonly string[]): Html {
  const { run, gauge } = panel;
  const both = panel.levels.length > 1;
  return html`<article class="key">
    <header>
      <p class="where">${run.name}, by ${gauge.gauge.name}</p>
      ${gradeMark(panel)}
    </header>
    <p class="how"><span class="label">How to read the gauge</span> ${level.howToRead}</p>
    ${level.leadHours > 0 && html`<p>For deciding ${plural(level.leadHours, 'hour')} before being on the water.</p>`}
    ${level.status !== 'converged' && html`<p class="note">${level.statusSentence}</p>`} ${staff(panel, level)}
    ${
      both &&
      html`<p class="loses">
        <span class="label">${key === 'effective' ? 'What one reading would lose' : 'What this simple way loses'}</span>
        ${gauge.oneReadingLoses}
      </p>`
    }
    <div class="columns">
      <div>
        <h4>Why “${gauge.trust.grade}”</h4>
        <ul>
          <li>${capital(evidenceText(gauge, panel.timeZone))}.</li>
          ${gauge.trust.reasons.map((reason) => html`<li>${reason}</li>`)}
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
  const line = (row: StaffRow) => {
    if (row.kind === 'class') above -= 1;
    return staffLine(row, units, blockOf(row, above, K));
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

function staffLine(row: StaffRow, units: readonly string[], block: Html): Html {
  const values = row.cells.map(({ value, rest }, c) => {
    // `never sure` is said once and has no unit.
    const unit = value === '' && !/\d$/.test(rest) ? '' : ` ${units[c]!}`;
    const text = value === '' ? html`${grouped(rest)}${unit}` : html`<b>${grouped(value)}</b>${unit} ${grouped(rest)}`;
    return html`<span>${text}${!row.seenBothSides && ' *'}</span>`;
  });
  return html`<tr class="${row.kind}">
    <td class="block" aria-hidden="true">${block}</td>
    <th scope="row">${row.kind === 'edge' && html`<span class="label">edge</span> `}${row.label}</th>
    <td class="values">${values}</td>
  </tr>`;
}

/** The piece of the painted staff in a row: a class, the meeting of two, or hatching. */
function blockOf(row: StaffRow, above: number, K: number): Html {
  if (row.kind === 'class')
    return html`<span class="${classStyle(above, K)}">${symbolSvg(classPalette(K)[above]!)}</span>`;
  if (row.kind === 'not-seen') return html`<span class="unseen"></span>`;
  return html`<span class="${classStyle(above, K)}"></span><span class="${classStyle(above - 1, K)}"></span>`;
}

/** Thousands apart in every number of a cell. */
function grouped(text: string): string {
  return text.replace(/\d+(\.\d+)?/g, (number) => groupDigits(number));
}

/** Limits of the chart in plain sentences, the dangerous side first. */
function unknowns(panel: Panel, level: PanelLevel['level']): readonly string[] {
  const { gauge, run, timeZone } = panel;
  const { trust } = gauge;
  const seen = unitColumns(gauge.gauge, 'both').map((column) => ({ ...seenTexts(level, column), unit: column.label }));
  const both = (side: 'from' | 'to') => {
    const [own, other] = seen.map((column) => `${grouped(column[side])} ${column.unit}`);
    return `${own!} (${other!})`;
  };
  const never = run.classes.filter((_, k) => trust.classCounts[k] === 0);
  return [
    `Not seen above ${both('to')}: the water there is at least what was met at that value, and nobody has logged how much more.`,
    `Not seen below ${both('from')}.`,
    ...(never.length > 0 ? [`No visit was logged as ${never.join(', ')}.`] : []),
    `Last visit ${dayText(trust.lastVisitMs, timeZone)}: what floods, wood or works have changed since is not in here.`,
    ...(trust.approvedShare !== null && trust.approvedShare < 1
      ? [`${Math.round(100 * (1 - trust.approvedShare))} % of the readings are not approved by the agency.`]
      : []),
    'Wood, wire, undercuts, ice, works and your group: look, don’t calculate.',
  ];
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
