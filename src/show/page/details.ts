import { groupDigits, valueText } from '../../chart/figures/valueText.js';
import { lnPercentText } from '../../chart/figures/percentText.js';
import { oddsAt } from '../../chart/figures/oddsAt.js';
import { wholePercents } from '../../chart/figures/wholePercents.js';
import { roundSafer } from '../../judge/roundSafer.js';
import type {
  Edge,
  Estimate,
  GaugeChart,
  Interval,
  LevelChart,
  RatingSummary,
  RunChart,
  TrustCheck,
} from '../../chart/types.js';
import { convertUnit, unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { html, trustedHtml, type Html } from './html.js';

/** Something to unfold; what it holds is also printed when it stands open. */
export function fold(title: string, body: Html): Html {
  return html`<details>
    <summary>${title}</summary>
    ${body}
  </details>`;
}

/** A table that scrolls sideways inside itself on a phone, so that the page never does; `wrap`: its pieces of page may break. */
export function table(
  caption: string,
  header: readonly string[],
  rows: readonly (readonly (Html | string)[])[],
  { wrap = false }: { wrap?: boolean } = {},
): Html {
  if (rows.length === 0) return html`<p class="note">${caption}: nothing to show.</p>`;
  return html`<div class="scroll" tabindex="0" role="group" aria-label="${caption}">
    <table class="plain">
      <caption>
        ${caption}
      </caption>
      ${
        header.some((word) => word !== '') &&
        html`<thead>
          <tr>
            ${header.map((word) => html`<th scope="col">${word}</th>`)}
          </tr>
        </thead>`
      }
      <tbody>
        ${rows.map(
          (row) =>
            html`<tr>
              ${row.map((cell, i) => (i === 0 ? html`<th scope="row" ${isNumber(cell) && typeof cell === 'string' && trustedHtml(' class="num"')}>${cell}</th>` : html`<td${mayBreak(cell, wrap) && trustedHtml(' class="txt"')}>${cell}</td>`))}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`;
}

/** A sentence, or a piece of page that may break; all other cells stay on one line, and most cells of the page are such, so these carry the class. */
function mayBreak(cell: Html | string, wrap: boolean): boolean {
  return typeof cell === 'string' ? cell.length >= 12 && !isNumber(cell) : wrap;
}

/** A value or an interval: kept on one line. */
function isNumber(cell: Html | string): boolean {
  return typeof cell !== 'string' || (cell.length < 26 && /\d/.test(cell));
}

/** The odds at about twenty round readings inside what was seen: the part of the page that works on paper. */
export function oddsTableHtml(gauge: GaugeChart, level: LevelChart): Html {
  const { unit, otherUnit, parameter } = gauge.gauge;
  const { from, to } = level.seen;
  const values = tableReadings(level, { log: parameter === 'discharge' && from > 0 })
    .map((value, i, all) => {
      const width = 2 * Math.abs((all[i + 1] ?? value * 1.08) - value);
      const rounded = roundSafer(value, { width, side: 'up' });
      return { value: rounded.value, digits: rounded.digits };
    })
    .filter(({ value }, i, all) => value >= from && value <= to && (i === 0 || value > all[i - 1]!.value));
  return table(
    `Odds in percent at a reading (${unitLabel(unit)}); nothing was seen outside`,
    [unitLabel(unit), unitLabel(otherUnit), ...level.odds.classes],
    values.flatMap(({ value, digits }) => {
      const odds = oddsAt(level.odds, value);
      if (odds === undefined) return [];
      return [
        [
          groupDigits(value.toFixed(digits)),
          valueText(convertUnit(value, unit, otherUnit)),
          ...wholePercents(odds).map(String),
        ],
      ];
    }),
  );
}

/** Readings for the table: close together where the odds change, wider where one class holds. */
function tableReadings(level: LevelChart, { log, rows = 20 }: { log: boolean; rows?: number }): readonly number[] {
  const { from, to } = level.seen;
  const fine = 400;
  const values = Array.from({ length: fine + 1 }, (_, i) =>
    log ? from * (to / from) ** (i / fine) : from + ((to - from) * i) / fine,
  );
  const classAt = values.map((value) => (oddsAt(level.odds, value) ?? []).reduce((sum, p, k) => sum + p * k, 0));
  const change = Math.max(1e-9, Math.abs(classAt[fine]! - classAt[0]!));
  const along = values.map((_, i) => (0.3 * i) / fine + (0.7 * (classAt[i]! - classAt[0]!)) / change);
  return Array.from({ length: rows }, (_, r) => {
    const share = ((r + 0.5) / rows) * along[fine]!;
    return values[
      Math.max(
        0,
        along.findIndex((at) => at >= share),
      )
    ]!;
  });
}

/** Every edge of every feature, with what the feature looks like. */
export function edgesHtml(run: RunChart, gauge: GaugeChart, edges: readonly Edge[], caption: string): Html {
  const { unit, otherUnit } = gauge.gauge;
  const nameOf = (id: string) =>
    id === VERDICT ? 'the whole run' : (run.features.find((feature) => feature.id === id)?.name ?? id);
  return table(
    caption,
    ['Feature', 'Between', unitLabel(unit), unitLabel(otherUnit), 'Median', '80 %', '95 %', ''],
    edges.map((edge) => [
      nameOf(edge.feature),
      edge.between.join(' | '),
      html`<b>${groupDigits(edge.rounded.toFixed(edge.digits))}</b>`,
      groupDigits(edge.roundedOther.toFixed(edge.digitsOther)),
      valueText(edge.median),
      interval(edge.i80),
      interval(edge.i95),
      edge.seenBothSides ? '' : 'assumed',
    ]),
  );
}

/** What each feature looks like in each class, as creek.json tells it; undefined where it does not. */
export function looksHtml(run: RunChart): Html | undefined {
  const rows = run.features.flatMap((feature) => {
    const order = (word: string) => feature.classes.indexOf(word);
    return Object.entries(feature.looks ?? {})
      .sort(([a], [b]) => order(a) - order(b))
      .map(([word, looks]) => [feature.name, word, looks]);
  });
  return rows.length > 0 ? table('What the features look like', ['Feature', 'Class', 'Looks'], rows) : undefined;
}

/** Mismatch, blur, observers and ratings: how much of the doubt comes from where. */
export function doubtHtml(run: RunChart, level: LevelChart, { observers = true }: { observers?: boolean } = {}): Html {
  const nameOf = (id: string) =>
    id === VERDICT ? 'the whole run' : (run.features.find((feature) => feature.id === id)?.name ?? id);
  const percentOf = (estimate: Estimate): (Html | string)[] => [
    lnPercentText(estimate.median),
    interval(estimate.i80, lnPercentText),
    interval(estimate.i95, lnPercentText),
  ];
  return html`<p>
      Mismatch is how far the creek strays from what this gauge says; blur is how vaguely a feature is read. Both as a
      typical factor on the reading, one standard deviation.
    </p>
    ${table(
      'Where the doubt comes from',
      ['', 'Median', '80 %', '95 %', ''],
      [
        ['Mismatch of the gauge', ...percentOf(level.mismatch), ''],
        ...level.blur.map((blur) => [
          `Blur of ${nameOf(blur.feature)}`,
          ...percentOf(blur),
          blur.sharesMismatch ? 'can’t be told from the mismatch' : '',
        ]),
      ],
    )}
    ${
      observers &&
      level.observers.length > 0 &&
      table(
        'Observers: above zero, someone who calls the same water higher',
        ['Observer', 'Sightings', 'Bias', '80 %', '95 %'],
        level.observers.map((one) => [one.observer, String(one.sightings), ...percentOf(one)]),
      )
    }
    ${
      level.ratings.length > 0 &&
      table(
        'Features read as a number',
        ['Feature', 'Form', 'Base', 'Exponent', 'Noise'],
        level.ratings.map((rating) => [
          `${nameOf(rating.feature)}, ${rating.unit}`,
          formWords(rating),
          `${valueText(rating.base.median)} (${interval(rating.base.i80)})`,
          exponentWords(rating),
          `${valueText(rating.noise.median)} (${interval(rating.noise.i80)})${rating.noiseAtGauge === null ? '' : `, growing with the height, at a gauge reading of ${valueText(rating.noiseAtGauge)}`}`,
        ]),
      )
    }
    <p>
      ${
        level.limb.kept && level.limb.hours !== undefined
          ? `Rising and falling water differ: ${valueText(level.limb.hours.median)} h (${interval(level.limb.hours.i80)}) per unit of rise.`
          : 'Rising and falling water at the same reading: no difference that the visits ask for.'
      }
      ln Bayes factor ${level.limb.logBayesFactor.toFixed(1).replace('-', '−')}.
    </p>`;
}

function formWords({ form, upper }: RatingSummary): string {
  if (upper !== undefined) return `two power laws, break at a gauge reading of ${valueText(upper.from)}`;
  return form === 'power' ? 'power law' : 'straight line';
}

function exponentWords({ exponent, upper }: RatingSummary): string {
  const words = ({ median, i80 }: Estimate) => `${valueText(median)} (${interval(i80)})`;
  return upper === undefined ? words(exponent) : `${words(exponent)} below the break, ${words(upper.exponent)} above`;
}

/** The numbers behind the grade. */
export function checksHtml({ checks }: { readonly checks: readonly TrustCheck[] }): Html {
  return table(
    'What the grade stands on',
    ['Check', 'Found', 'Asked for', 'Passed', 'Why it matters'],
    checks.map((check) => [
      check.check + (check.essential ? ' (essential)' : ''),
      check.statistic === null ? 'unknown' : `${valueText(check.statistic)} ${check.unit}`,
      `${{ '>=': 'at least', '<=': 'at most', '>': 'more than', '<': 'less than' }[check.operator]} ${valueText(check.threshold)} ${check.unit}`,
      check.pass ? 'yes' : 'no',
      check.comment,
    ]),
  );
}

/** The fit's own diary. */
export function diaryHtml(level: LevelChart): Html {
  const d = level.diagnostics;
  return html`<p>${level.statusSentence}</p>
    ${table(
      'How the numbers were found',
      ['', ''],
      [
        ['Link', level.link],
        ['Status', level.status],
        ['Lag and storage pairs fitted', `${d.gridPointsFitted} of ${d.gridPoints}`],
        ['Steps of the optimiser', String(d.iterations)],
        ['Largest gradient at the best mode', d.gradient.toExponential(1)],
        ['Condition of the Hessian', d.condition.toExponential(1)],
        ['Pareto k̂ of the weights (dependable below 0.7)', d.paretoK.toFixed(2)],
        ['Draws after re-weighting, effective', String(Math.round(d.effectiveDraws))],
        ['Lag taken for the reading', `${valueText(level.reading.lagHours)} h`],
        ['Storage taken for the reading', `${valueText(level.reading.storageHours)} h`],
      ],
    )}`;
}

/** `5 to 9`; `open` where there is no end. */
export function interval([low, high]: Interval, show: (value: number) => string = (value) => valueText(value)): string {
  return `${low === null ? 'open' : show(low)} to ${high === null ? 'open' : show(high)}`;
}
