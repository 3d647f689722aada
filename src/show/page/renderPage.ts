import { createHash } from 'node:crypto';
import { oddsAt } from '../../chart/figures/oddsAt.js';
import { wholePercents } from '../../chart/figures/wholePercents.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, RunChart } from '../../chart/types.js';
import type { CreekTrust } from '../../judge/judgement.js';
import { jsonForScript } from '../escape.js';
import { dayText, plural, provenanceLines } from '../text/trustTexts.js';
import { fold, looksHtml } from './details.js';
import { gaugeSection } from './gaugeSection.js';
import { choicePart, printedChoice } from './gauges/choicePart.js';
import { wholeGauges } from './gauges/gaugesContent.js';
import { otherPart } from './gauges/otherPart.js';
import { html, type Html } from './html.js';
import { unpackTrace } from './packTraces.js';
import { pageData } from './pageData.js';
import { THRIFT, thriftyContent, wholeContent, type RunContent } from './pageFigures.js';
import { pageStyles } from './pageStyles.js';
import { panelsOf, type Panel } from './panel.js';
import { parseReading } from './parseReading.js';
import { startPage } from './startPage.js';
import { swatch, symbolDefs } from './swatch.js';

/** Bytes that the whole file may have: it is sent by phone where the net is thin. */
export const PAGE_LIMIT_BYTES = 3_000_000;

/**
 * The level chart of a creek as one self-contained HTML file: works offline, on a phone and on paper, and asks nothing of any
 * network (a content security policy in the page forbids it). Every text from the creek's folder is escaped.
 *
 * Where everything would make more than 3 MB, the records, then the figures, then the tables of the lesser gauges are left out,
 * and at last those gauges themselves; what is left out is said.
 *
 * @param chart the whole result.
 * @param options.plotly source of the plot library (a minified bundle that sets the global `Plotly`).
 * @param options.trust how far to trust each run against each gauge; without it the page has the grade and its checks only.
 * @param options.gauges which gauge to read for each run, and what loggers and staffs tell; without it the page has the gauges' own charts only.
 * @throws RangeError when the plot library cannot stand inside a script element.
 * @example writeFileSync('chart.html', chartPage(chart, { plotly: plotlySource() }))
 */
export function chartPage(
  chart: CreekChart,
  { plotly, trust, gauges }: { plotly: string; trust?: CreekTrust; gauges?: CreekGauges },
): string {
  if (/<\/script|<!--/i.test(plotly))
    throw new RangeError('chartPage: the plot library holds </script or <!--, which would end its script element');
  const runs = chart.runs.map((run, i) => wholeRun(chart, run, { runIndex: i, trust, gauges }));
  let page = '';
  for (const thrift of THRIFT) {
    const kept = runs.map((run) => thriftyContent(run, thrift));
    page = wholePage(chart, { runs: kept, plotly });
    if (Buffer.byteLength(page) < PAGE_LIMIT_BYTES) break;
  }
  return page;
}

function wholeRun(
  chart: CreekChart,
  run: RunChart,
  { runIndex, trust, gauges }: { runIndex: number; trust: CreekTrust | undefined; gauges: CreekGauges | undefined },
): RunContent {
  const own = gauges?.runs.find((one) => one.id === run.id);
  const panels = panelsOf(chart, run, { runIndex, trust, gauges: own });
  const { timeZone } = chart.creek;
  return {
    panels: panels.map(wholeContent),
    ...(own === undefined ? {} : { gauges: wholeGauges({ id: `r${runIndex}`, run, gauges: own, panels, timeZone }) }),
  };
}

function wholePage(chart: CreekChart, { runs, plotly }: { runs: readonly RunContent[]; plotly: string }): string {
  const data = jsonForScript(pageData(runs));
  const script = pageScript();
  const sizes = chart.runs.map((run) => run.classes.length);
  const body = html`${symbolDefs(sizes)}<a class="skip" href="#levels">Skip to the levels</a>
    ${head(chart)}
    <main id="levels">${runs.map((run, i) => runSection(chart, run, i))} ${source(chart)}</main>`;
  // Styles come from the plot library at run time too, so inline ones must be allowed; scripts only by their hash.
  const policy = `default-src 'none'; script-src ${hashOf(plotly)} ${hashOf(script)}; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<meta name="format-detection" content="telephone=no">
<link rel="icon" href="data:,">
${html`<title>${chart.creek.name}: level chart</title>`.html}
<style>${pageStyles(sizes)}</style>
</head>
<body>
${body.html}
<script type="application/json" id="page-data">${data}</script>
<script>${plotly}</script>
<script>${script}</script>
</body>
</html>
`;
}

/** The script of the page: functions of this program by their own source, called once. */
function pageScript(): string {
  const call = `(${startPage.toString()})(Plotly,JSON.parse(document.getElementById('page-data').textContent),{oddsAt:${oddsAt.toString()},wholePercents:${wholePercents.toString()},parseReading:${parseReading.toString()},unpackTrace:${unpackTrace.toString()}});`;
  // A loader that keeps function names wraps inner functions in a helper of its own, which the page has not got.
  return call.includes('__name(') ? `{const __name=(f)=>f;${call}}` : call;
}

function hashOf(script: string): string {
  return `'sha256-${createHash('sha256').update(script, 'utf8').digest('base64')}'`;
}

function head(chart: CreekChart): Html {
  const trusts = chart.runs
    .flatMap((run) => run.gauges.map((gauge) => gauge.trust))
    .filter((trust) => trust.evidence.visits > 0);
  const most = Math.max(0, ...trusts.map((trust) => trust.evidence.visits));
  const day = (timeMs: number) => dayText(timeMs, chart.creek.timeZone);
  const span =
    trusts.length === 0
      ? ''
      : `, ${day(Math.min(...trusts.map((trust) => trust.evidence.firstVisitMs ?? Infinity)))} to ${day(Math.max(...trusts.map((trust) => trust.evidence.lastVisitMs ?? -Infinity)))}`;
  return html`<header class="top">
    <p class="kicker">Level chart</p>
    <h1>${chart.creek.name}</h1>
    <p class="lede">
      No gauge stands on this creek. This page says what official gauges elsewhere tell about it, learned from what
      people saw (up to ${plural(most, 'visit')} a gauge${span}).
    </p>
    <section class="cautions" aria-labelledby="cautions">
      <h2 id="cautions">Before anyone goes</h2>
      <ul>
        ${chart.cautions.map((caution) => html`<li>${caution}</li>`)}
      </ul>
    </section>
    ${
      chart.runs.length > 1 &&
      html`<nav aria-label="Runs">
        <ul class="runs">
          ${chart.runs.map((run, i) => html`<li><a href="#run${i}">${run.name}</a></li>`)}
        </ul>
      </nav>`
    }
  </header>`;
}

function runSection(chart: CreekChart, { panels, gauges }: RunContent, index: number): Html {
  const run = chart.runs[index]!;
  const K = run.classes.length;
  const looks = looksHtml(run);
  const sections = panels.map((content) => gaugeSection(content, chart.cautions));
  return html`<section class="run" id="run${index}" aria-labelledby="run${index}-name">
    <h2 id="run${index}-name">${run.name}</h2>
    <p class="scale">
      Levels, lowest first: ${run.classes.map((word, k) => html`<span class="chip">${swatch(k, K)} ${word}</span> `)}
    </p>
    ${
      run.verdictFrom !== undefined &&
      html`<p class="note">Nobody gives verdicts here: the levels are translated from ${featureName(chart, index)}.</p>`
    }
    ${gauges && choicePart(gauges, chart.cautions)}
    ${panels.length === 0 && html`<p class="refusal">No gauge could be read for this run.</p>`}
    ${
      panels.length > 1
        ? html`<div class="tabs" data-tabs>
            <p class="label" id="run${index}-gauges">
              Gauges, the ${panels[0]!.panel.chosen && panels[0]!.panel.usable ? 'chosen one' : 'best'} first
            </p>
            <ul class="tablist" aria-labelledby="run${index}-gauges">
              ${panels.map(
                ({ panel }) =>
                  html`<li>
                    <a href="#${panel.id}"
                      >${panel.gauge.gauge.name}
                      <small
                        >${panel.usable ? '' : 'not for use: '}${panel.gauge.trust.grade}${place(panel)}${
                          panel.chosen && panel.usable && ', the one to read'
                        }</small
                      ></a
                    >
                  </li>`,
              )}
            </ul>
            ${sections}
          </div>`
        : sections
    }
    ${run.gauges.length > panels.length && html`<p class="note">${plural(run.gauges.length - panels.length, 'more gauge')} left out to keep the page small; see chart.json.</p>`}
    ${gauges && printedChoice(gauges, chart.cautions)} ${gauges && otherPart(gauges, chart.cautions)}
    ${looks !== undefined && fold('What the features look like', looks)}
  </section>`;
}

function place({ gauge }: Panel): string {
  const { parameter, distanceKm } = gauge.gauge;
  return `, ${parameter}${distanceKm === undefined ? '' : `, ${distanceKm} km away`}`;
}

function featureName(chart: CreekChart, index: number): string {
  const run = chart.runs[index]!;
  return run.features.find((feature) => feature.id === run.verdictFrom)?.name ?? run.verdictFrom ?? '';
}

/** Where all this comes from, so that it can be made again and doubted. */
function source(chart: CreekChart): Html {
  const unused =
    chart.notUsed.length === 0
      ? html`<p>Every row was used.</p>`
      : html`<ul>
            ${chart.notUsed.map(({ code, rows }) => html`<li>${plural(rows, 'row')}: ${code}</li>`)}
          </ul>
          <p>Each row with its reason: not-used.csv.</p>`;
  return html`<section class="source">
    <h2>Where this comes from</h2>
    ${fold(
      'Files, options and version',
      html`<ul class="files">
        ${provenanceLines(chart).map((line) => html`<li>${line}</li>`)}
      </ul>`,
    )}
    ${fold('Rows that were not used', unused)}
  </section>`;
}
