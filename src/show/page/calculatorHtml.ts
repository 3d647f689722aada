import type { Calculator } from '../../chart/calculator.js';
import { hoursInWords, parameterWord } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { html, type Html } from './html.js';
import { swatch } from './swatch.js';

/**
 * The question that people come with: the numbers that the instruction asks for go in, the odds of each class come out.
 * @param options.way what stands below it: what is seen on the way.
 */
export function calculatorHtml(
  id: string,
  calculator: Calculator,
  { label, way }: { label: string; way?: Html | false | undefined },
): Html {
  const { parts, classes } = calculator;
  const K = classes.length;
  return html`<form class="calc" data-calc="${id}" autocomplete="off" aria-label="${label}">
    <p class="ask">What ${parts.length > 1 ? 'do the gauges' : 'does the gauge'} read?</p>
    ${parts.map((_, i) => fieldsHtml(id, calculator, i))}
    <noscript><p class="note">Needs script. Without it, look the reading up in the levels below.</p></noscript>
    <div role="status">
      <p class="said">Type a reading.</p>
      <ul class="bars" hidden>
        ${[...classes.keys()].reverse().map(
          (k) =>
            html`<li data-class="${k}">
              <span class="word">${swatch(k, K)} ${classes[k]}</span>
              <span class="track" aria-hidden="true"><span class="bar lv-${K}-${k}"></span><i></i></span>
              <span class="percent"></span>
            </li>`,
        )}
      </ul>
      <p class="near"></p>
    </div>
    ${way}
  </form>`;
}

/** Numbers that an instruction asks for, in the order of its words, by their name in the form. */
export function askedFor({
  meanHours,
  changeHours,
  limbHours,
}: Calculator): readonly (readonly [name: Asked, label: string])[] {
  return [
    ['now', ''],
    ...(meanHours > 0 ? ([['mean', `Mean of ${hoursInWords(meanHours)}`]] as const) : []),
    ...(changeHours > 0 || limbHours !== 0 ? ([['before', `${hoursInWords(1)} before that`]] as const) : []),
  ];
}

export type Asked = 'now' | 'mean' | 'before';

/** The reading of one gauge with its unit, and what else of it the instruction asks for. */
function fieldsHtml(id: string, calculator: Calculator, i: number): Html {
  const { parts, log } = calculator;
  const { name, unit, otherUnit, hoursEarlier } = parts[i]!;
  const word = parameterWord(unit);
  const when =
    hoursEarlier === 0 ? '' : `, ${hoursInWords(Math.abs(hoursEarlier))} ${hoursEarlier > 0 ? 'earlier' : 'later'}`;
  const first = parts.length > 1 ? `${name}: ${word}${when}` : `${word.charAt(0).toUpperCase()}${word.slice(1)}`;
  return html`<div class="fields">
    ${askedFor(calculator).map(
      ([key, label]) =>
        // The keyboard of decimals has no minus on some phones, and a stage may be below its zero.
        html`<span class="field"
          ><label for="${id}-${key}${i}">${label === '' ? first : label}</label>
          <input
            id="${id}-${key}${i}"
            name="${key}${i}"
            type="text"
            ${log && html`inputmode="decimal"`}
            enterkeyhint="done"
            size="7"
          />
          ${
            key === 'now' &&
            html`<select name="unit${i}" aria-label="Unit of ${first}">
              ${[unit, otherUnit].map((one) => html`<option value="${one}">${unitLabel(one)}</option>`)}
            </select>`
          }</span
        >`,
    )}
  </div>`;
}
