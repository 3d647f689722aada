import { createHash } from 'node:crypto';
import { inflow } from '../../align/effectiveSeries.js';
import { answerReading, calculatorOf, readingFrom, type Calculator } from '../../chart/calculator.js';
import { onTheWay } from '../../chart/day/onTheWay.js';
import type { GaugeScale } from '../../chart/figures/gaugeScale.js';
import { NARROW_PX, WIDE_PX, type PlotlyObject } from '../../chart/figures/figure.js';
import { oddsAt, seenOdds } from '../../chart/figures/oddsAt.js';
import { pageDocuments, scaleOf } from '../../tell/pageDocuments.js';
import { oddsFigure } from '../../chart/figures/oddsFigure.js';
import { wholePercents } from '../../chart/figures/wholePercents.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekChart, GaugeChart, RunChart } from '../../chart/types.js';
import type { CreekTrust } from '../../judge/judgement.js';
import { day, numberWriters, rounded } from '../../series/format.js';
import { convertUnit, unitLabel } from '../../series/units.js';
import { answersOf } from '../../tell/answersOf.js';
import type { Document, FigureBlock } from '../../tell/document.js';
import { levelOf } from '../../tell/levelOf.js';
import type { RunAnswer } from '../../tell/runAnswer.js';
import type { ChartChanges } from '../../chart/chartChanges.js';
import { jsonForScript } from '../escape.js';
import { evidenceText } from '../../tell/answerTexts.js';
import { answerHtml, levelsHtml } from './answerHtml.js';
import { blocksHtml, figureHtml } from './blocks.js';
import { askedFor, calculatorHtml } from './calculatorHtml.js';
import { html, type Html } from './html.js';
import { pageStyles } from './pageStyles.js';
import { parseReading } from './parseReading.js';
import { startPage, type PageCalculator } from './startPage.js';
import { startWay, type PageWay } from './startWay.js';
import { symbolDefs } from './swatch.js';
import { wayHtml } from './wayHtml.js';

/** What a page is made of; the chart alone is enough. */
export interface PageParts {
  /** How far to trust each run against each gauge. */
  readonly trust?: CreekTrust | undefined;
  /** Which gauge to read for each run, and what loggers and staffs tell. */
  readonly gauges?: CreekGauges | undefined;
  /** Against the chart that this one replaces. */
  readonly changes?: ChartChanges | undefined;
}

/**
 * The level chart of a creek as one self-contained HTML file: works offline, on a phone and on paper, and asks nothing of any network
 * (a content security policy in the page forbids it). First the answer of every run with its calculator, then, folded, the documents
 * behind it.
 *
 * @example writeFileSync('chart.html', chartPage(chart, { trust, gauges }))
 */
export function chartPage(chart: CreekChart, { trust, gauges, changes }: PageParts = {}): string {
  const sizes = chart.runs.map((run) => run.classes.length);
  const calculators = new Map<string, PageCalculator>();
  const answers = answersOf({ chart, trust });
  const runs = answers.map((answer, i) => runHtml(answer, { chart, calculators, first: i === 0 }));
  const documents = pageDocuments({ chart, trust, gauges, changes });
  const behind = documents.map((document) => documentHtml(document, { chart, calculators }));
  return wholePage(chart.creek.name, {
    styles: pageStyles(sizes),
    data: jsonForScript(Object.fromEntries(calculators)),
    body: html`${symbolDefs(sizes)}<a class="skip" href="#levels">Skip to the levels</a>
      ${heed(chart.cautions)} ${head(chart, answers)}
      <main id="levels">
        ${runs}
        <div class="behind">${behind}</div>
      </main>`,
  });
}

interface Making {
  readonly chart: CreekChart;
  /** By id; the page's script gets them. */
  readonly calculators: Map<string, PageCalculator>;
}

/** The caution that stays in sight, its other sentences one tap away. */
function heed([first, ...others]: readonly string[]): Html {
  return html`<aside class="heed" aria-label="Caution">
    <details>
      <summary>${first} <span>More</span></summary>
      <ul>
        ${others.map((caution) => html`<li>${caution}</li>`)}
      </ul>
    </details>
  </aside>`;
}

function head({ creek }: CreekChart, answers: readonly RunAnswer[]): Html {
  const last = Math.max(...answers.map(({ lastVisitMs }) => lastVisitMs ?? -Infinity));
  return html`<header class="top">
    <h1>${creek.name}</h1>
    <p class="label">Levels from what people saw. Last visit ${day(last, creek.timeZone)}.</p>
    ${
      answers.length > 1 &&
      html`<nav aria-label="Runs">
        <ul class="runs">
          ${answers.map(({ run }) => html`<li><a href="#${runId(run)}">${run.name}</a></li>`)}
        </ul>
      </nav>`
    }
  </header>`;
}

function runId({ id }: { readonly id: string }): string {
  return `run-${id}`;
}

/** One run on one screen: what to read and when, the calculator, all cautions before the first table, the levels, the odds. */
function runHtml(answer: RunAnswer, { first, ...making }: Making & { first: boolean }): Html {
  const { chart } = making;
  const id = runId(answer.run);
  const cautions = html`<section class="cautions" aria-label="Before anyone goes">
    <p>${chart.cautions[0]}</p>
    <ul>
      ${chart.cautions.slice(1).map((caution) => html`<li>${caution}</li>`)}
    </ul>
  </section>`;
  const { card, levels, figure: drawnFigure } = partsOf(answer, { ...making, withWay: true });
  const figure = drawnFigure?.();
  return html`<section class="run" id="${id}" aria-labelledby="${id}-name">
    <h2 id="${id}-name">${answer.run.name}</h2>
    <div class="is-card">${card}</div>
    ${first && cautions} ${levels && html`<div class="is-levels">${levels}</div>`}
    ${figure && html`<div class="is-figure">${figureHtml(figure.block, figure)}</div>`}
  </section>`;
}

/** The card of an answer, and its levels and figure where there is a level to give. */
function partsOf(answer: RunAnswer, { chart, calculators, withWay }: Making & { withWay?: boolean }) {
  const run = chart.runs.find(({ id }) => id === answer.run.id)!;
  const gauge = run.gauges.find((one) => one.gauge.id === answer.reading?.gauge);
  const level = gauge === undefined ? undefined : levelOf(gauge);
  const [top, evidence] = [answerHtml(answer), html`<p class="note">${evidenceText(answer, chart.creek.timeZone)}</p>`];
  if (answer.reading === null || gauge === undefined || level === undefined) return { card: html`${top} ${evidence}` };
  const id = `c${calculators.size}`;
  const scale = scaleOf(chart, gauge.gauge.id);
  const calculator = calculatorOf(gauge, level);
  const way: PageWay = {
    run: run.id,
    zeroFlow: calculator.zeroFlow,
    draws: level.onTheWay ?? null,
    ...(run.verdictFrom !== undefined && { verdictFrom: run.verdictFrom }),
  };
  calculators.set(id, { ...pageCalculator(calculator, scale), ...(withWay && { way }) });
  const asks = { label: `${gauge.gauge.name}: ${run.name}`, way: withWay && wayHtml(id, run) };
  return {
    card: html`${top} ${calculatorHtml(id, calculator, asks)} ${evidence}`,
    levels: levelsHtml(answer.reading),
    figure: () => levelFigure(id, { chart, run, gauge, scale }),
  };
}

function pageCalculator(calculator: Calculator, scale: GaugeScale): PageCalculator {
  const { unit, otherUnit, parts } = calculator;
  return {
    ...calculator,
    low80: short(calculator.low80),
    high80: short(calculator.high80),
    asked: askedFor(calculator).map(([name]) => name),
    labels: [unitLabel(unit), unitLabel(otherUnit)],
    otherPerOwn: convertUnit(1, unit, otherUnit),
    partPerOther: parts.map((part) => convertUnit(1, part.otherUnit, part.unit)),
    axis: { log: scale.kind === 'log', from: scale.from, to: scale.to },
  };
}

/** Ends of intervals to a hundredth of a percent. */
function short(rows: readonly (readonly number[])[]): readonly (readonly number[])[] {
  return rows.map((row) => row.map((p) => rounded(p, 4)));
}

/** The odds over the gauge with the visits, and on it the mark of a typed reading. */
function levelFigure(
  id: string,
  { chart, run, gauge, scale }: { chart: CreekChart; run: RunChart; gauge: GaugeChart; scale: GaugeScale },
): { readonly block: FigureBlock; readonly over: Html; readonly below: Html; readonly prefix: string } | undefined {
  const figure = oddsFigure(gauge, { scale, timeZone: chart.creek.timeZone, features: run.features });
  if (figure === undefined) return undefined;
  const mark = (name: string, layout: PlotlyObject, width: number) => {
    const { l, r, t, b } = layout['margin'] as Readonly<Record<'l' | 'r' | 't' | 'b', number>>;
    const height = Number(layout['height']);
    const percent = (share: number) => rounded(100 * share, 2);
    const place = html`hidden data-span="${percent(l / width)} ${percent(1 - r / width)}"
    style="top:${percent(t / height)}%;bottom:${percent(b / height)}%"`;
    return html`<div class="${name}"><i class="typed" ${place}></i><i class="pointed" ${place}></i></div>`;
  };
  return {
    prefix: '',
    block: { kind: 'figure', id: `odds-${id}`, figure, caption: ODDS },
    over: html`<div data-mark="${id}" aria-hidden="true">
      ${mark('wide', figure.layout, WIDE_PX)}${mark('narrow', { ...figure.layout, ...figure.narrow }, NARROW_PX)}
    </div>`,
    below: html`<p class="note cursor" data-cursor="${id}" aria-hidden="true">
      Point at the bands for the odds there.
    </p>`,
  };
}

const ODDS =
  'Bands: odds of each class. Below: the edges with 80 % (thick) and 95 % intervals; the visits, each in the row of its class. ' +
  'Hatched: nobody has been there.';

/** A document behind its title. */
function documentHtml({ subject, title, body }: Document, making: Making): Html {
  const card = (answer: RunAnswer) => {
    // Without its picture: with many gauges the page would grow too large to be sent where the net is thin.
    const { card: top, levels } = partsOf(answer, making);
    return html`${top} ${levels}`;
  };
  return html`<details id="${subject}">
    <summary><h2>${title}</h2></summary>
    ${blocksHtml(body, { card, under: 2, prefix: `${subject}-` })}
  </details>`;
}

function wholePage(title: string, { styles, data, body }: { styles: string; data: string; body: Html }): string {
  const script = pageScript();
  const hash = createHash('sha256').update(script, 'utf8').digest('base64');
  const styleOnly = "style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";
  const policy = `default-src 'none'; script-src 'sha256-${hash}'; ${styleOnly}`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<meta name="format-detection" content="telephone=no">
<link rel="icon" href="data:,">
${html`<title>${title}: level chart</title>`.html}
<style>${styles}</style>
</head>
<body>
${body.html}
<script type="application/json" id="page-data">${data}</script>
<script>${script}</script>
</body>
</html>
`;
}

/** The script of the page: functions of this program by their own source, called once. */
function pageScript(): string {
  const helpers = {
    answerReading,
    inflow,
    oddsAt,
    onTheWay,
    parseReading,
    readingFrom,
    seenOdds,
    startWay,
    wholePercents,
  };
  const sources = [
    ...Object.values(numberWriters).map(String),
    `const helpers={figures,${Object.entries(helpers)
      .map(([name, helper]) => `${name}:${String(helper)}`)
      .join(',')}};`,
  ];
  const data = "JSON.parse(document.getElementById('page-data').textContent)";
  const call = `(()=>{${sources.join('\n')}\n(${startPage.toString()})(${data},helpers)})();`;
  // A loader that keeps function names wraps inner functions in a helper of its own, which the page has not got.
  return call.includes('__name(') ? `{const __name=(f)=>f;${call}}` : call;
}
