import type { RunChart } from '../../chart/types.js';
import { VERDICT } from '../../series/visits.js';
import { html, type Html } from './html.js';

/**
 * What is seen on the way: a choice for every feature with the time it was seen, what follows from it, and the lines for the log. Folded,
 * and within the form of the calculator, whose reading it goes on from.
 */
export function wayHtml(id: string, run: RunChart): Html {
  const features = [...run.features, { id: VERDICT, name: 'The whole run, afterwards', classes: run.classes }];
  return html`<details class="way">
    <summary>On the way: what you see</summary>
    ${features.map((feature, i) => seenHtml(`${id}-see${i}`, feature))}
    <div role="status"><p class="told"></p></div>
    <div class="log" hidden>
      <div class="fields">
        <span class="field"
          ><label for="${id}-who">Your name in the log</label>
          <input id="${id}-who" data-who type="text" autocomplete="off"
        /></span>
      </div>
      <label for="${id}-lines">Lines for visits.csv</label>
      <textarea id="${id}-lines" rows="4" readonly></textarea>
      <p><button type="button">Copy</button> <a download="visits-${run.id}.csv">Save as a file</a></p>
    </div>
  </details>`;
}

type Feature = RunChart['features'][number];

function seenHtml(id: string, { id: feature, name, classes, unit, looks = {} }: Feature): Html {
  const option = (word: string) =>
    html`<option value="${word}">${word}${looks[word] !== undefined && `: ${looks[word]}`}</option>`;
  return html`<div class="fields">
    <span class="field"
      ><label for="${id}">${name}${unit !== undefined && `, ${unit} (for the log)`}</label>
      ${
        classes.length === 0
          ? html`<input id="${id}" data-see="${feature}" type="text" inputmode="decimal" autocomplete="off" />`
          : html`<select id="${id}" data-see="${feature}">
              <option value="">not looked</option>
              ${classes.map(option)}
            </select>`
      }
      <input type="time" aria-label="Time at ${name}"
    /></span>
  </div>`;
}
