import type { Figure } from '../../chart/figures/figure.js';
import type { Card } from '../card/cardContent.js';
import { cardSvg } from '../card/cardSvg.js';
import { plotlySource } from '../cli/plotlySource.js';
import { figureHtml, libraryHtml, PLOTLY_CONFIG } from './figureHtml.js';
import { kernelWriter, type DisplayData, type MimeBundle } from './kernelDisplay.js';
import { figuresOf } from './figuresOf.js';
import { figureSvg } from '../svg/figureSvg.js';
import type { Block } from '../../tell/document.js';
import { plainText } from '../text/plainText.js';
import { blocksText } from '../text/terminalText.js';
import { blocksHtml } from './blocksHtml.js';
import { blocksOf, type Tabular } from './blocksOf.js';

/** What `show` knows how to show. */
export type Showable = Figure | Tabular | Card | string;

let figures = 0;

/**
 * Shows a figure, a table, a chart, a fit, a judgement or a ranking of gauges in a notebook, as tables and then as figures:
 * interactive where the front end runs scripts, a static picture or an HTML table where it doesn't, plain text everywhere else.
 * Outside a notebook it prints the text.
 *
 * The plot library is sent with the first figure of a notebook, from the installed package: nothing is asked of a network.
 *
 * @param thing a Figure, a Table or a Document; a CreekChart or GaugeChart; a LevelFit or LoggerFit; a Judgement, a TrustFile, a
 *   JudgedCreek or a TrustSummary; a GaugeRanking or CreekGauges; a Card; a tidy table or a data frame; a text. Undefined (a
 *   figure that could not be drawn) says so.
 * @throws TypeError for anything else.
 * @example show(oddsFigure(gauge, { scale: gaugeScale([gauge]), reading: 'effective', timeZone: 'UTC' }))
 */
export function show(thing: Showable | undefined): void {
  for (const output of outputsOf(thing)) {
    const write = kernelWriter();
    if (write === undefined) process.stdout.write(`${output['text/plain']}\n`);
    else {
      if ('application/vnd.plotly.v1+json' in output && figures++ === 0) write(libraryOutput());
      write(withHtml(output, figures));
    }
  }
}

function outputsOf(thing: Showable | undefined): readonly MimeBundle[] {
  if (thing === undefined) return [{ 'text/plain': 'Nothing to draw: there is no such fit or record.' }];
  if (typeof thing === 'string') return [{ 'text/plain': thing.split('\n').map(plainLine).join('\n') }];
  if ('kind' in thing && thing.kind === 'figure') return [figureBundle(thing)];
  if ('howToRead' in thing && 'steps' in thing) return [cardBundle(thing)];
  return [blocksBundle(blocksOf(thing)), ...figuresOf(thing).map(figureBundle)];
}

function blocksBundle(blocks: readonly Block[]): MimeBundle {
  return { 'text/plain': blocksText(blocks, { width: 120 }), 'text/html': blocksHtml(blocks) };
}

/** Without what a terminal obeys, its indent kept. */
function plainLine(line: string): string {
  return `${/^ */.exec(line)![0]}${plainText(line)}`;
}

/**
 * A card as it is printed: a picture already. It goes as HTML too, since converters take the drawing out of a bare SVG that they do not
 * trust.
 */
function cardBundle(card: Card): MimeBundle {
  const lines = card.rows.map(({ label, value, text }) => `${label}  ${value === '' ? '' : `${value}  `}${text}`);
  const { creek, run, gauge, grade, howToRead, remarks, cautions } = card;
  const text = [`${creek}: ${run}, by ${gauge}: ${grade}`, howToRead, ...remarks, ...lines, ...cautions];
  const { svg } = cardSvg(card);
  return {
    'text/plain': text.map(plainText).join('\n'),
    'text/html': `<figure style="margin:0;max-width:560px">${svg}</figure>`,
    'image/svg+xml': svg,
  };
}

/** A figure in every form but HTML, which needs a place's name. */
function figureBundle(figure: Figure): MimeBundle & { readonly figure: Figure } {
  const { data, layout } = figure;
  return {
    'text/plain': plainText(`${figure.title}. ${figure.alt}`),
    'image/svg+xml': figureSvg(figure),
    'application/vnd.plotly.v1+json': { data, layout, config: PLOTLY_CONFIG },
    figure,
  };
}

function withHtml(output: MimeBundle & { readonly figure?: Figure }, place: number): DisplayData {
  const { figure, ...data } = output;
  const html = figure === undefined ? {} : { 'text/html': figureHtml(figure, `sightstage-figure-${place}`) };
  return { data: { ...data, ...html }, metadata: {}, transient: {} };
}

function libraryOutput(): DisplayData {
  return {
    data: { 'text/plain': 'The plot library, for the figures below.', 'text/html': libraryHtml(plotlySource()) },
    metadata: { sightstage: 'plot-library' },
    transient: {},
  };
}
