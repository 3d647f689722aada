import { hoursInWords } from '../../series/format.js';
import { evidenceText, skillTexts } from '../text/trustTexts.js';
import { checksHtml, diaryHtml, doubtHtml, edgesHtml, fold, oddsTableHtml } from './details.js';
import { lagFold, lagSentences } from './gauges/lagDepth.js';
import { html, type Html } from './html.js';
import { keyCard, printedCautions } from './keyCard.js';
import { sentence } from './sentence.js';
import { nowPanel } from './nowPanel.js';
import { picture } from './picture.js';
import { trustPart } from './trust/trustPart.js';
import type { PanelContent } from './pageFigures.js';
import type { Panel, PanelLevel } from './panel.js';

const LAG_NOTE =
  'Lag: hours from the gauge reading to the same water at the creek, over both signs. A plan uses only readings from before the trip.';
const STORAGE_NOTE = 'Storage: hours of the reservoir between gauge and creek; 0 is the reading itself.';

const LEFT_OUT = html`<p class="note">Some of this gauge is left out to keep the page small; it is in chart.json.</p>`;

type Figures = PanelContent['figures'];

/** Everything about one run read from one gauge. */
export function gaugeSection(content: PanelContent, cautions: readonly string[]): Html {
  const { panel } = content;
  const { gauge } = panel;
  const away = gauge.gauge.distanceKm === undefined ? '' : `, ${gauge.gauge.distanceKm} km away`;
  return html`<section class="gauge${!panel.usable && ' unfit'}" id="${panel.id}">
    <h3>${gauge.gauge.name} <small>${gauge.gauge.parameter}${away}</small></h3>
    ${panel.usable ? usable(content, cautions) : unusable(content, cautions)}
  </section>`;
}

function usable(content: PanelContent, cautions: readonly string[]): Html {
  const { panel, figures, details } = content;
  const { gauge, run, id, judgement } = panel;
  const record = picture(figures, `${id}-record`, recordNote(panel));
  const blocks = panel.levels.map(
    (one) =>
      html`<section class="level" id="${one.id}">
        ${keyCard(panel, one, cautions)} ${nowPanel(panel, one, cautions[0] ?? '')} ${oddsPicture(panel, one, figures)}
        ${fold('Odds as a table', oddsTableHtml(gauge, one.level))}
        ${details && fold('Edges of all features', edgesHtml(run, gauge, one.level.edges, 'Edges'))}
        ${
          details &&
          fold(
            judgement === undefined
              ? 'Where the doubt comes from: mismatch, blur, observers'
              : 'Where the doubt comes from: mismatch, blur',
            doubtHtml(run, one.level, { observers: judgement === undefined }),
          )
        }
        ${details && fold('How the fit went', diaryHtml(one.level))}
      </section>`,
  );
  return html`${blocks} ${trust(content, cautions)}
    ${
      record !== undefined &&
      html`<h4>The record and the visits on it</h4>
        ${record}`
    }
    <h4>How the water travels</h4>
    <p>${sentence(gauge.lag.sentence)}</p>
    ${panel.lagReport && lagSentences(panel.lagReport)}
    <div class="pair">
      ${picture(figures, `${id}-lag`, LAG_NOTE)} ${picture(figures, `${id}-storage`, STORAGE_NOTE)}
    </div>
    ${(record === undefined || !details) && LEFT_OUT} ${details && more(panel, figures)}`;
}

/** What was tried, folded and grey: a gauge that is no use must not look like an answer. */
function unusable(content: PanelContent, cautions: readonly string[]): Html {
  const { panel, figures, details } = content;
  const { gauge, levels, judgement } = panel;
  const grade = gauge.trust.grade;
  const meaning =
    grade === 'no usable relation'
      ? 'This gauge does not tell the levels of this run apart. Its readings say nothing that you could plan with.'
      : 'There is too little to go on. No level is given, because it would be a guess.';
  return html`<div class="refusal">
      <p class="verdict"><b>Not for use: ${grade}.</b> ${meaning}</p>
      <p>${sentence(evidenceText(gauge, panel.timeZone))}</p>
      ${
        judgement === undefined &&
        html`<ul>
          ${gauge.trust.reasons.map((reason) => html`<li>${sentence(reason)}</li>`)}
        </ul>`
      }
      ${printedCautions(cautions)}
    </div>
    ${trust(content, cautions)}
    ${fold(
      'What was tried (not for use)',
      html`<div class="tried">
        ${levels.map((one) => picture(figures, `${one.id}-odds`, `${one.name}. Not for use: ${grade}.`))}
        ${picture(figures, `${panel.id}-record`, recordNote(panel))} ${panel.lagReport && lagSentences(panel.lagReport)}
        <div class="pair">
          ${picture(figures, `${panel.id}-lag`, LAG_NOTE)} ${picture(figures, `${panel.id}-storage`, STORAGE_NOTE)}
        </div>
      </div>`,
    )}
    ${details && more(panel, figures)}`;
}

function trust({ panel, figures, details }: PanelContent, cautions: readonly string[]): Html | undefined {
  const { judgement } = panel;
  return judgement && trustPart({ panel, judgement, figures, cautions }, { folds: details });
}

function more(panel: Panel, figures: Figures): Html {
  const { gauge, run, id } = panel;
  const surface = picture(figures, `${id}-surface`, 'Darker: likelier. Ring: the likeliest pair.');
  return html`${panel.lagReport && lagFold(gauge, panel.lagReport)}
  ${surface !== undefined && fold('Lag and storage together', surface)}
  ${
    panel.judgement === undefined &&
    fold(
      'What the grade stands on',
      html`${skillTexts(gauge).map((text) => html`<p>${sentence(text)}</p>`)} ${checksHtml(gauge.trust)}`,
    )
  }
  ${
    panel.usable &&
    gauge.confirmEdges.length > 0 &&
    fold(
      'Edges by the best lag of either sign (it confirms afterwards, it does not plan)',
      edgesHtml(run, gauge, gauge.confirmEdges, 'Edges for looking back'),
    )
  }`;
}

function oddsPicture(panel: Panel, { id, level }: PanelLevel, figures: Figures): Html | undefined {
  const caption =
    'Bands: odds of each class. Below them the edges, thick line 80 %, thin line 95 %. Lowest: the visits, each in the row of the class logged; a bar is the sure range. Hatched: nobody has been there.';
  const drawn = picture(figures, `${id}-odds`, caption, { level: id });
  return (
    drawn &&
    html`<h4>
        Odds over the ${level.way === 'effective' ? 'effective reading' : 'reading'} of ${panel.gauge.gauge.name}
      </h4>
      ${drawn}`
  );
}

function recordNote({ gauge }: Panel): Html {
  const lag = gauge.level?.reading.lagHours ?? 0;
  const shift =
    lag === 0 ? 'at the time of the visit' : `${hoursInWords(Math.abs(lag))} ${lag > 0 ? 'before' : 'after'} the visit`;
  return html`Each mark stands at the reading it is matched with, ${shift}.
    <span class="mouse">Drag across to look closer, double-click for all.</span>`;
}
