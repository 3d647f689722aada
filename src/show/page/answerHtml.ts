import { shareWithI80 } from '../../series/format.js';
import { goodRange, goodText, stepsOf } from '../../tell/answerTexts.js';
import { ASSUMED, LEVELS_CAPTION, levelRows, type LevelRow } from '../../tell/levelRows.js';
import type { AnswerReading, RunAnswer } from '../../tell/runAnswer.js';
import { html, type Html } from './html.js';
import { classStyle, swatch, symbolSvg } from './swatch.js';

/** What a run is read by, the good range and the grade: what stands above the calculator. */
export function answerHtml({ reading, refusal, grade, right }: RunAnswer): Html {
  const known = right !== null && right.value !== null;
  return html`<div class="answer">
    ${reading === null ? html`<p class="refusal">${refusal ?? ''}</p>` : readingHtml(reading)}
    <p class="grade">
      ${gradeMark(grade)}${known && html`: right on ${shareWithI80(right)} of visits in floods left out`}
    </p>
  </div>`;
}

function readingHtml(reading: AnswerReading): Html {
  return html`<p class="by">Read <b>${reading.gaugeName}</b></p>
    <p class="how">${reading.instruction}</p>
    <p class="good">${swatch(goodRange(reading).low, reading.classes.length)} <span>${goodText(reading)}</span></p>`;
}

/** The grade in words, with as many drops as it has steps: no colour says it alone. */
function gradeMark(grade: RunAnswer['grade']): Html {
  const marks = [1, 2, 3].map((step) => html`<i class="${step <= stepsOf(grade) ? 'on' : 'off'}"></i>`);
  return html`<span class="steps" aria-hidden="true">${marks}</span> <b>${grade}</b>`;
}

/** The levels as a staff, highest water on top. */
export function levelsHtml(reading: AnswerReading): Html {
  return html`<table class="staff">
    <caption>
      ${LEVELS_CAPTION}${reading.edges.some((edge) => !edge.seenBothSides) && ` ${ASSUMED}`}
    </caption>
    <thead class="vh">
      <tr>
        <td></td>
        <th scope="col">Level</th>
        <th scope="col">Gauge</th>
      </tr>
    </thead>
    <tbody>
      ${levelRows(reading).map((row) => rowHtml(row, reading.classes.length))}
    </tbody>
  </table>`;
}

function rowHtml({ kind, label, blocks, value, text }: LevelRow, K: number): Html {
  const piece = blocks.map(
    (k) => html`<span class="${classStyle(k, K)}">${kind === 'class' && symbolSvg(k, K)}</span>`,
  );
  return html`<tr class="${kind}">
    <td class="block" aria-hidden="true">${blocks.length === 0 ? html`<span></span>` : piece}</td>
    <th scope="row">${label}</th>
    <td>${value !== '' && html`<b>${value}</b> `}<span>${text}</span></td>
  </tr>`;
}
