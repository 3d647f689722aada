import { afterEach, describe, expect, it, vi } from 'vitest';
import {
  confidenceFigure,
  figureSvg,
  gaugeScale,
  hydrographFigure,
  intervalFigure,
  lagFigure,
  oddsFigure,
  rangeFigure,
  show,
  surfaceFigure,
  table,
  type Figure,
} from '../../src/show/notebook/index.js';
import { figureHtml, libraryHtml } from '../../src/show/notebook/figureHtml.js';
import { kernelWriter } from '../../src/show/notebook/kernelDisplay.js';
import { blocksHtml } from '../../src/show/notebook/blocksHtml.js';
import { blocksOf } from '../../src/show/notebook/blocksOf.js';
import { blocksText } from '../../src/show/text/terminalText.js';
import { fixtureChart } from './fixtureChart.js';

const chart = fixtureChart();
const run = chart.runs[0]!;
const gauge = run.gauges[0]!;
const scale = gaugeScale([gauge]);
const timeZone = chart.creek.timeZone;
const figures: readonly (readonly [string, Figure | undefined])[] = [
  ['odds', oddsFigure(gauge, { scale, timeZone })],
  ['confidence', confidenceFigure(gauge, { scale })],
  ['range', rangeFigure(chart, { gauge: gauge.gauge.id })],
  ['lag', lagFigure(gauge)],
  ['surface', surfaceFigure(gauge)],
  ['record', hydrographFigure(gauge, { scale, classes: run.classes, timeZone })],
];

describe('a figure as SVG', () => {
  it.each(figures)('%s: numbers on the paper, its own words, the same bytes twice', (_, figure) => {
    const svg = figureSvg(figure!);
    expect(svg).not.toMatch(/NaN|Infinity|undefined|null/);
    expect(svg.startsWith('<svg xmlns="http://www.w3.org/2000/svg"')).toBe(true);
    expect(svg).toContain('role="img" aria-label="');
    expect(figureSvg(figure!)).toBe(svg);
    const ids = [...svg.matchAll(/ id="([^"]+)"/g)].map((match) => match[1]);
    const used = [...svg.matchAll(/url\(#([^)]+)\)/g)].map((match) => match[1]);
    expect(new Set(ids).size).toBe(ids.length);
    expect(used.filter((id) => !ids.includes(id!))).toEqual([]);
  });

  it('puts marks where the axes say: log across, linear up', () => {
    const axis = { showgrid: false, showline: false, ticks: '', showticklabels: false };
    const figure: Figure = {
      kind: 'figure',
      title: 'Three marks',
      alt: 'Three marks.',
      data: [
        { type: 'scatter', mode: 'markers', x: [1, 10, 100], y: [0, 5, 10], marker: { symbol: 'circle', size: 8 } },
      ],
      layout: {
        height: 220,
        margin: { l: 10, r: 10, t: 10, b: 10 },
        xaxis: { ...axis, type: 'log', range: [0, 2] },
        yaxis: { ...axis, range: [0, 10] },
      },
      narrow: {},
    };
    const places = [...figureSvg(figure, { width: 220 }).matchAll(/translate\(([^)]+)\)/g)].map((match) => match[1]);
    expect(places).toEqual(['10 210', '110 110', '210 10']);
  });

  it('stacks bands, breaks lines at gaps, and closes shapes', () => {
    const axis = { range: [0, 2], showgrid: false, ticks: '', showticklabels: false, showline: false };
    const band = (y: readonly number[]) => ({
      type: 'scatter',
      mode: 'lines',
      x: [0, 2],
      y,
      stackgroup: 's',
      line: { color: '#fff', width: 1 },
      fillcolor: '#abc',
    });
    const svg = figureSvg(
      {
        kind: 'figure',
        title: 'Bands',
        alt: 'Bands.',
        data: [
          band([1, 0]),
          band([1, 2]),
          { type: 'scatter', mode: 'lines', x: [0, 1, 1, 2], y: [0, null, 1, 2], line: { color: '#123', width: 2 } },
        ],
        layout: { height: 120, margin: { l: 10, r: 10, t: 10, b: 10 }, xaxis: axis, yaxis: axis },
        narrow: {},
      },
      { width: 120 },
    );
    const paths = [...svg.matchAll(/<path d="([^"]+)"/g)].map((match) => match[1]);
    expect(paths.slice(0, 3)).toEqual([
      'M10,60L110,110L10,110Z',
      'M10,10L110,10L110,110L10,60Z',
      'M10,110M60,60L110,10',
    ]);
  });

  it('draws of a dense line what a pixel can show: its ends, its lowest and its highest, and the gap', () => {
    const axis = { showgrid: false, ticks: '', showticklabels: false, showline: false };
    const x = Array.from({ length: 1001 }, (_, i) => i / 500);
    const y = x.map((_, i) => (i === 5 ? 2 : i === 7 ? 0 : i === 500 ? null : 1));
    const svg = figureSvg(
      {
        kind: 'figure',
        title: 'Dense',
        alt: 'Dense.',
        data: [{ type: 'scatter', mode: 'lines', x, y, line: { color: '#123', width: 1 } }],
        layout: {
          height: 120,
          margin: { l: 10, r: 10, t: 10, b: 10 },
          xaxis: { ...axis, range: [0, 2] },
          yaxis: { ...axis, range: [0, 2] },
        },
        narrow: {},
      },
      { width: 120 },
    );
    const d = /<path d="([^"]+)"/.exec(svg)![1]!;
    expect(d.startsWith('M10,60L10.5,10L10.7,110L10.9,60L')).toBe(true);
    expect(d.match(/M/g)!.length).toBe(2);
    expect(d.match(/L/g)!.length).toBeLessThan(4 * 100);
    expect(d).toContain('M60.1,60');
  });

  it('lets no text of a log become markup', () => {
    const hostile = fixtureChart({ gaugeName: '<script>alert(1)</script>"&', observer: '<img src=x onerror=1>' });
    const [worst] = hostile.runs[0]!.gauges;
    const figure = oddsFigure(worst!, { scale: gaugeScale([worst!]), timeZone })!;
    for (const html of [figureSvg(figure), figureHtml(figure, 'f1')]) {
      expect(html).not.toContain('<script>alert');
      expect(html).not.toContain('<img');
    }
  });
});

describe('our own figures', () => {
  it('are undefined where there is nothing to draw', () => {
    const unread = Object.fromEntries(Object.entries(gauge).filter(([key]) => key !== 'level')) as typeof gauge;
    expect(confidenceFigure(unread, { scale })).toBe(undefined);
    expect(() => rangeFigure(chart, { gauge: 'nobody' })).toThrow(/^unknown gauge 'nobody'; the chart has /);
    expect(intervalFigure([], { title: 'None', axis: 'bias' })).toBe(undefined);
  });

  it('give no range of a gauge without a usable relation', () => {
    const useless = fixtureChart({ grade: 'no usable relation' });
    expect(rangeFigure(useless, { gauge: gauge.gauge.id })).toBe(undefined);
  });

  it('say their numbers in words, a minus as a minus and no minus zero', () => {
    const figure = intervalFigure(
      [
        { label: 'Ana', median: -0.001, i80: [-0.2, 0.1] },
        { label: 'Bo', median: 0.25, i80: [0.05, null] },
      ],
      { title: 'Biases', axis: 'bias, %', times: 100 },
    )!;
    expect(figure.alt).toBe('bias, %: Ana 0 (80 %: −20 to 10); Bo 25 (80 %: above 5).');
  });
});

describe('tables', () => {
  const shown = table(
    'Edges, m',
    [
      { edge: 'low / good', medianM: 1.23456, seenBothSides: true },
      { edge: '<b>', medianM: null, seenBothSides: false },
    ],
    { digits: { medianM: 2 } },
  );

  it('as text', () => {
    expect(blocksText(blocksOf(shown), { width: 80 })).toBe(
      [
        '  Edges, m',
        '  edge        median m  seen both sides',
        '  low / good      1.23  yes',
        '  <b>                   no',
      ].join('\n'),
    );
  });

  it('as HTML with every text escaped', () => {
    expect(blocksHtml(blocksOf(shown))).toContain('&lt;b&gt;');
    expect(blocksHtml(blocksOf(shown))).not.toContain('<b>');
  });

  it('refuse a column that is not there, by name', () => {
    expect(() => table('x', [{ a: 1 }], { columns: ['b' as 'a'] })).toThrow(
      new RangeError("table: no column 'b'; the rows have a"),
    );
  });
});

describe('show outside a notebook', () => {
  afterEach(() => vi.restoreAllMocks());

  it('finds no kernel and prints the text', () => {
    const written: string[] = [];
    vi.spyOn(process.stdout, 'write').mockImplementation((text) => written.push(String(text)) > 0);
    expect(kernelWriter()).toBe(undefined);
    show(lagFigure(gauge));
    show(undefined);
    show('a text');
    expect(written[0]).toMatch(/^Lag of .+\. Posterior of the lag/);
    expect(written.slice(1)).toEqual(['Nothing to draw: there is no such fit or record.\n', 'a text\n']);
  });

  it('refuses what it does not know', () => {
    expect(() => show({} as never)).toThrow(
      new TypeError(
        'show: expected a figure, a table, a document, a chart, a fit, a judgement, a ranking of gauges, a trust summary, a data frame or a text',
      ),
    );
    expect(() => show({ kind: 'weather' } as never)).toThrow(/a data frame or a text, found 'weather'$/);
  });
});

it('the plot library cannot end its own script element', () => {
  expect(libraryHtml('var a="</script>"')).toContain('var a="<\\/script>"');
});
