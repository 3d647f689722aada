import { describe, expect, it } from 'vitest';
import type { Figure, PlotlyObject } from '../../src/chart/figures/figure.js';
import { figureSvg } from '../../src/show/svg/figureSvg.js';
import { FIGURE_CASES } from '../chart/figureCases.js';

const NAKED = { showgrid: false, showline: false, ticks: '', showticklabels: false };

/** A plot of 100 px each way, from 0 to 10, with nothing but what is given. */
function drawn(data: readonly PlotlyObject[], layout: PlotlyObject = {}): string {
  const figure: Figure = {
    kind: 'figure',
    title: 'A test',
    alt: 'A test.',
    data,
    layout: {
      height: 120,
      margin: { l: 10, r: 10, t: 10, b: 10 },
      xaxis: { ...NAKED, range: [0, 10] },
      yaxis: { ...NAKED, range: [-5, 5] },
      ...layout,
    },
    narrow: {},
  };
  return figureSvg(figure, { width: 120 });
}

const attributesOf = (svg: string, element: string, names: readonly string[]) =>
  [...svg.matchAll(new RegExp(`<${element} ([^>]*)>`, 'g'))].map(([, text]) =>
    names.map((name) => new RegExp(`(?:^| )${name}="([^"]*)"`).exec(text!)?.[1]),
  );

describe('the static drawing', () => {
  it.each(FIGURE_CASES)('has numbers only, in both forms of $name', ({ draw }) => {
    const figure = draw('long');
    const narrow = { ...figure, layout: { ...figure.layout, ...figure.narrow } };
    for (const svg of [figureSvg(figure), figureSvg(narrow, { width: 390 })]) {
      expect(svg).not.toMatch(/NaN|Infinity|undefined|null|\[object/);
      expect(svg).not.toContain('<!>');
      // A list where one value belongs would come out with commas.
      expect(svg).not.toMatch(/(?:fill|stroke)="#[0-9a-f]+,/);
    }
  });

  it('draws bars below zero and of their own width, with their words above', () => {
    const svg = drawn([
      {
        type: 'bar',
        x: [2, 6],
        y: [4, -2],
        width: [2, 4],
        marker: { color: '#7b8a94' },
        text: ['forty', 'minus'],
        textposition: 'outside',
        textfont: { size: 11, color: '#18222c' },
      },
    ]);
    const bars = attributesOf(svg, 'rect', ['x', 'y', 'width', 'height', 'fill']).filter(
      ([, , , , fill]) => fill === '#7b8a94',
    );
    expect(bars.map((bar) => bar.slice(0, 4).map(Number))).toEqual([
      [20, 20, 20, 40],
      [50, 60, 40, 20],
    ]);
    expect(svg).toMatch(/<text x="30" y="15\.\d"[^>]*>forty<\/text>/);
    expect(svg).toContain('>minus</text>');
  });

  it('gives each mark its own colour where there is a list of them', () => {
    const svg = drawn([
      {
        type: 'scatter',
        mode: 'markers',
        x: [2, 4],
        y: [0, 0],
        marker: { symbol: 'circle', size: 8, color: ['#18222c', '#ffffff'] },
      },
    ]);
    const marks = attributesOf(svg, 'path', ['transform', 'fill']).filter(([transform]) => transform !== undefined);
    expect(marks).toEqual([
      ['translate(30 60)', '#18222c'],
      ['translate(50 60)', '#ffffff'],
    ]);
  });

  it('breaks a legend into rows, the last one next to the plot, and none runs out of the picture', () => {
    const mark = (name: string) => ({
      type: 'scatter',
      mode: 'markers',
      name,
      x: [1],
      y: [1],
      marker: { symbol: 'circle', size: 8, color: '#18222c' },
    });
    const svg = drawn([mark('lo'), mark('go'), mark('hi')], {
      showlegend: true,
      height: 160,
      margin: { l: 10, r: 10, t: 50, b: 10 },
    });
    const words = attributesOf(svg, 'text', ['x', 'y']).map((place) => place.map(Number));
    expect(words.length).toBe(3);
    const [low, good, high] = words as [number[], number[], number[]];
    expect([low[1], high[1]]).toEqual([good[1], good[1]! + 20]);
    expect(high[0]).toBe(low[0]);
    for (const [x] of words) expect(x! + 2 * 6.5).toBeLessThan(120);
  });

  it('anchors an upright label by its length, as it lies on the paper', () => {
    const note = (yanchor: string, y: number) => ({
      x: 5,
      y,
      xref: 'x',
      yref: 'y',
      yanchor,
      textangle: -90,
      text: 'low | good',
      font: { size: 12, color: '#18222c' },
    });
    const svg = drawn([], { annotations: [note('top', 5), note('bottom', -5)] });
    const middles = [...svg.matchAll(/rotate\(-90 ([\d.]+) ([\d.]+)\)/g)].map(([, , y]) => Number(y));
    // Ten characters of 12 px at 0.54 of an em: half of 64.8 px below the upper edge, and above the lower one.
    expect(middles).toEqual([42.4, 77.6]);
  });
});
