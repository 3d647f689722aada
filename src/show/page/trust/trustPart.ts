import type { Judgement } from '../../../judge/judgement.js';
import type { Measured } from '../../../judge/floodRatios.js';
import { percentRange, percentText } from '../../../chart/figures/percentText.js';
import { BANK } from '../foldedPiece.js';
import { html, trustedHtml, type Html } from '../html.js';
import { gradeMark } from '../keyCard.js';
import { sentence, typeset } from '../sentence.js';
import { checksFold } from './checksFold.js';
import { evidenceFold } from './evidenceFold.js';
import { floodsFold } from './floodsFold.js';
import { GRADE_MEANING } from './gradeMeaning.js';
import { influenceFold } from './influenceFold.js';
import { leadFold } from './leadFold.js';
import { nextLookFold } from './nextLookFold.js';
import { observersFold } from './observersFold.js';
import { oddsFold } from './oddsFold.js';
import { ruleFold } from './ruleFold.js';
import { shiftFold } from './shiftFold.js';
import { skillFold } from './skillFold.js';
import { suspectsFold } from './suspectsFold.js';
import { howReadForRule } from './howReadForRule.js';
import { leftAway, type TrustContent } from './trustContent.js';

/**
 * How far to trust one run read from one gauge: what a paddler reads in a minute, then the detail, folded, in an order for each
 * reader. Without the folds (to keep the page small) the first part stands alone.
 */
export function trustPart(content: TrustContent, { folds }: { folds: boolean }): Html {
  const { panel, judgement } = content;
  const id = `${panel.id}-trust`;
  return html`<section class="trust" aria-labelledby="${id}">
    <h4 id="${id}">How far to trust it</h4>
    <p class="meaning">${gradeMark(panel)} ${GRADE_MEANING[judgement.grade]}</p>
    <div class="flow">
      <div class="is-why">
        <h5>Why</h5>
        <ul>
          ${judgement.reasons.slice(0, 3).map((reason) => html`<li>${sentence(reason)}</li>`)}
        </ul>
      </div>
      ${howOftenWrong(judgement)} ${ruleToGoBy(content)} ${panel.usable && decidingEarlier(judgement)}
      ${improve(judgement)}
    </div>
    ${folds && detail(content)}
  </section>`;
}

/** The paddler's question: how often wrong, and in which direction. */
function howOftenWrong({ scores }: Judgement): Html {
  if (scores === null)
    return html`<div class="is-wrong">
      <h5>How often it is wrong</h5>
      <p>Nobody knows: nothing could be fitted.</p>
    </div>`;
  const { right, seenHigher, seenLower } = scores.confusion;
  const rows: readonly [string, Measured][] = [
    ['higher than said', seenHigher],
    ['as said', right],
    ['lower than said', seenLower],
  ];
  return html`<div class="is-wrong">
    <h5>How often it is wrong</h5>
    ${
      right.value !== null &&
      html`<ul class="wrong" aria-label="Out of 100 visits on floods it had not seen, the creek was">
        ${rows.map(([word, share]) => wrongRow(word, share))}
      </ul>`
    }
    <p>${typeset(scores.sentence)}</p>
  </div>`;
}

/** One share as a bar with its 80 % interval as a line on it, and in numbers. */
function wrongRow(word: string, { value, i80: [from, to] }: Measured): Html {
  const percent = (share: number) => Math.round(100 * Math.min(1, Math.max(0, share)));
  const range =
    from === null || to === null
      ? ''
      : `<i style="left:${percent(from)}%;width:${Math.max(1, percent(to) - percent(from))}%"></i>`;
  return html`<li>
    <span>${word}</span>
    <span class="track" aria-hidden="true"
      >${trustedHtml(`<b style="width:${percent(value ?? 0)}%"></b>${range}`)}</span
    >
    <span class="share"
      >${percentText(value)}${from !== null && to !== null && html` <small>${percentRange([from, to])}</small>`}</span
    >
  </li>`;
}

function ruleToGoBy({ panel, judgement, cautions }: TrustContent): Html {
  const { rules } = judgement;
  if (!panel.usable)
    return html`<div class="is-rule">
      <h5>A rule to go by</h5>
      <p>None is given: this gauge is not for use.</p>
    </div>`;
  return html`<div class="is-rule">
    <h5>A rule to go by, and what it costs</h5>
    <p>${rules === null ? 'No rule could be worked out.' : typeset(rules.sentence)}</p>
    ${rules !== null && rules.chosen !== null && html`<p>${howReadForRule(panel, judgement)}</p>`}
    <p class="heed">${cautions[0]} A rule says what others met at such readings. ${BANK}</p>
  </div>`;
}

function decidingEarlier({ leadCurve, depth }: Judgement): Html {
  return html`<div class="is-lead">
    <h5>Deciding earlier</h5>
    <p>${leadCurve === null ? leftAway(depth) : sentence(leadCurve.sentence)}</p>
  </div>`;
}

function improve({ improve: sentences }: Judgement): Html {
  return html`<div class="is-better">
    <h5>What would make it better</h5>
    ${
      sentences.length === 0
        ? html`<p>Nothing that the checks ask for is missing. Go on logging: creeks change.</p>`
        : html`<ul>
            ${sentences.slice(0, 3).map((text) => html`<li>${sentence(text)}</li>`)}
          </ul>`
    }
  </div>`;
}

function detail(content: TrustContent): Html {
  return html`<h5>Behind these sentences</h5>
    ${skillFold(content)} ${oddsFold(content)} ${content.panel.usable && ruleFold(content)}
    ${content.panel.usable && leadFold(content)} ${evidenceFold(content)}
    <h5>For whoever keeps the log</h5>
    ${observersFold(content)} ${shiftFold(content)} ${suspectsFold(content)} ${nextLookFold(content)}
    <h5>For a sceptic</h5>
    ${influenceFold(content)} ${checksFold(content)} ${floodsFold(content)}`;
}
