import { describe, expect, it } from 'vitest';
import { confidenceFigure } from '../../src/chart/figures/confidenceFigure.js';
import type { Figure, PlotlyObject } from '../../src/chart/figures/figure.js';
import { gaugeScale } from '../../src/chart/figures/gaugeScale.js';
import { hydrographFigure } from '../../src/chart/figures/hydrographFigure.js';
import { lagFigure, storageFigure } from '../../src/chart/figures/lagFigure.js';
import { oddsFigure } from '../../src/chart/figures/oddsFigure.js';
import { rangeFigure } from '../../src/chart/figures/rangeFigure.js';
import { surfaceFigure } from '../../src/chart/figures/surfaceFigure.js';
import { fixtureChart } from '../show/fixtureChart.js';

const chart = fixtureChart();
const run = chart.runs[0]!;
const gauge = run.gauges[0]!;
const scale = gaugeScale([gauge]);
const timeZone = chart.creek.timeZone;
const reading = 'effective' as const;

const figures: readonly (readonly [string, Figure])[] = [
  ['odds', oddsFigure(gauge, { scale, reading, timeZone })!],
  ['confidence', confidenceFigure(gauge, { scale, reading })!],
  ['range', rangeFigure(chart, { gauge: gauge.gauge.id, reading })!],
  ['lag', lagFigure(gauge)!],
  ['storage', storageFigure(gauge)!],
  ['surface', surfaceFigure(gauge)!],
  ['record', hydrographFigure(gauge, { scale, classes: run.classes, timeZone })!],
];

describe.each(figures)('the figure of %s', (_, figure) => {
  const axes = Object.entries(figure.layout).filter(([key]) => /^[xy]axis\d*$/.test(key));
  const titles = axes.flatMap(([, axis]) => {
    const { title } = axis as { title?: { text?: string } };
    return title?.text === undefined ? [] : [title.text];
  });

  it('has axis titles, and a unit in one of them', () => {
    expect(titles.length).toBeGreaterThan(0);
    expect(titles.join(' ')).toMatch(/ft³\/s|m³\/s|\bh\b|hours|%/);
  });

  it('is plain data that JSON gives back', () => {
    expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
  });

  it('says itself in words, with numbers from it', () => {
    expect(figure.alt.length).toBeGreaterThan(40);
    expect(figure.alt).toMatch(/\d/);
    expect(`${figure.title} ${figure.alt}`).not.toMatch(/NaN|undefined|Infinity|null/);
  });

  it('gives each filled class a pattern or a tone of its own, so that grey is enough', () => {
    const looks = figure.data
      .filter((trace) => trace['fillcolor'] !== undefined && trace['fillpattern'] !== undefined)
      .map((trace) => JSON.stringify([trace['fillcolor'], (trace['fillpattern'] as PlotlyObject)['shape']]));
    const tones = new Set(looks.map((look) => look.slice(0, 10)));
    expect(tones.size).toBe(new Set(looks).size);
  });
});

it('the same gauge has the same scale in every figure that shows its readings', () => {
  const ranges = ['odds', 'confidence'].map((name) => {
    const [, figure] = figures.find(([other]) => other === name)!;
    return (figure.layout['xaxis'] as { range: unknown }).range;
  });
  expect(ranges[0]).toEqual(ranges[1]);
});
