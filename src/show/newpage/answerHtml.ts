import { goodClasses } from '../../judge/goodClasses.js';
import { counted, day, shareWithI80 } from '../../series/format.js';
import { ASSUMED, endsIn, inBoth, LEVELS_CAPTION, levelRows, type LevelRow } from '../../tell/levelRows.js';
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
  const words = reading.classes.map(({ word }) => word);
  const [low, high] = goodClasses(words);
  const [good, other] = endsIn(reading, [reading.classes[low]!.from, reading.classes[high]!.to]);
  const sure = reading.sureGood === null ? undefined : endsIn(reading, reading.sureGood);
  return html`<p class="by">Read <b>${reading.gaugeName}</b></p>
    <p class="how">${reading.instruction}</p>
    <p class="good">
      ${swatch(low, words.length)}
      <span
        >${words.slice(low, high + 1).join(', ')}: <b>${good}</b> (${other})${
          sure === undefined ? '; nowhere sure' : `; sure from ${sure[0]} (${sure[1]})`
        }</span
      >
    </p>`;
}

/** What the answer stands on. */
export function evidenceText({ reading, higher, visits, floods, lastVisitMs }: RunAnswer, timeZone: string): string {
  const known = higher !== null && higher.value !== null;
  return [
    `${counted(visits, 'visit')} in ${counted(floods, 'flood')}, the last on ${day(lastVisitMs, timeZone)}.`,
    ...(known ? [`On floods left out the creek was higher than said on ${shareWithI80(higher)} of the visits.`] : []),
    ...(reading === null
      ? []
      : [`Not seen above ${inBoth(reading, reading.seen[1])} or below ${inBoth(reading, reading.seen[0])}.`]),
  ].join(' ');
}

const STEPS = { 'good guide': 3, 'fair guide': 2, 'rough guide': 1, 'too thin': 0, 'no usable relation': 0 };

/** How many of three steps a grade has reached. */
export function stepsOf(grade: RunAnswer['grade']): number {
  return STEPS[grade];
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
