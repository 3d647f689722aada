import { unitLabel } from '../../series/units.js';
import { parameterWord } from '../../series/format.js';
import { html, type Html } from './html.js';
import type { Panel, PanelLevel } from './panel.js';
import { swatch } from './swatch.js';

/** Storages closer to zero than this are read as the reading itself, as the sentence on how to read does. */
const NEGLIGIBLE_HOURS = 0.25;

/** True where the effective reading is the reading plus a multiple of its change, so that two readings are typed. */
export function needsChange({ level }: PanelLevel): boolean {
  return level.reading.storageHours < -NEGLIGIBLE_HOURS;
}

/** The question that people come with: a number typed in, the odds of each class out. Without script it points to the table. */
export function nowPanel(panel: Panel, panelLevel: PanelLevel, firstCaution: string): Html {
  const { gauge, run } = panel;
  const { id, level } = panelLevel;
  const K = run.classes.length;
  const word = parameterWord(gauge.gauge.parameter);
  const mean = level.reading.storageHours > NEGLIGIBLE_HOURS;
  const units = [gauge.gauge.unit, gauge.gauge.otherUnit];
  return html`<section class="now" aria-labelledby="${id}-now">
    <h4 id="${id}-now">What does the gauge read?</h4>
    <form data-now="${id}" autocomplete="off">
      <p class="hint">${level.howToRead}</p>
      <div class="fields">
        <span class="field"
          ><label for="${id}-value">${mean ? `Mean ${word}` : capital(word)}</label>
          <input id="${id}-value" name="value" type="text" inputmode="decimal" enterkeyhint="done" size="8"
        /></span>
        ${
          needsChange(panelLevel) &&
          html`<span class="field"
            ><label for="${id}-before">${capital(word)} 1 h before that</label>
            <input id="${id}-before" name="before" type="text" inputmode="decimal" enterkeyhint="done" size="8"
          /></span>`
        }
        <label class="vh" for="${id}-unit">Unit</label>
        <select id="${id}-unit" name="unit">
          ${units.map((unit) => html`<option value="${unit}">${unitLabel(unit)}</option>`)}
        </select>
      </div>
    </form>
    <noscript><p class="note">Needs script. Without it, look the value up in the table of odds below.</p></noscript>
    <div class="answer" data-answer="${id}">
      <p class="says" role="status">Type a reading, or point at the figure.</p>
      <ul class="bars" hidden>
        ${[...run.classes.keys()].reverse().map(
          (k) =>
            html`<li data-class="${k}">
              <span class="name">${swatch(k, K)} ${run.classes[k]}</span>
              <span class="track"><span class="bar lv-${K}-${k}"></span></span>
              <span class="percent"></span>
            </li>`,
        )}
      </ul>
      <p class="note">${firstCaution}</p>
    </div>
  </section>`;
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
