import { describe, expect, it } from 'vitest';
import { biasFigure, MOST_OBSERVERS } from '../../src/chart/figures/biasFigure.js';
import type { Figure, PlotlyObject } from '../../src/chart/figures/figure.js';
import { gaugeAxes, gaugeScale } from '../../src/chart/figures/gaugeScale.js';
import { leadCurveFigure } from '../../src/chart/figures/leadCurveFigure.js';
import { nextLookFigure } from '../../src/chart/figures/nextLookFigure.js';
import { percentAxis } from '../../src/chart/figures/percentAxis.js';
import { reliabilityFigure } from '../../src/chart/figures/reliabilityFigure.js';
import { residualsFigure } from '../../src/chart/figures/residualsFigure.js';
import { ruleFrontierFigure } from '../../src/chart/figures/ruleFrontierFigure.js';
import { skillFigure } from '../../src/chart/figures/skillFigure.js';
import { oddsFigure } from '../../src/chart/figures/oddsFigure.js';
import type { Judgement } from '../../src/judge/judgement.js';
import { expectClose } from '../expectClose.js';
import { fixtureGauge } from '../show/fixtureChart.js';
import { bare, fixtureJudgement } from '../show/fixtureTrust.js';

const { run, gauge } = fixtureGauge();
const judged = fixtureJudgement(run, gauge);
const scale = gaugeScale([gauge]);
const timeZone = 'Europe/Vienna';

const numbers = (value: unknown) => value as readonly number[];
const axis = (layout: PlotlyObject, name: string) =>
  layout[name] as { range: [number, number]; tickvals: number[]; ticktext: string[]; title: { text: string } };
const notes = (layout: PlotlyObject) => layout.annotations as readonly { text: string; x: number; y: number }[];
const marks = (figure: Figure) => figure.data.filter(({ mode }) => String(mode).includes('markers'));

function figuresOf(judgement: Judgement): Record<string, Figure | undefined> {
  const { scores, rules, leadCurve, observers, shift, nextLook } = judgement;
  return {
    skill: scores === null ? undefined : skillFigure(scores),
    reliability: scores === null ? undefined : reliabilityFigure(scores.reliability),
    rule: rules === null ? undefined : ruleFrontierFigure(rules, { unit: judgement.unit }),
    lead: leadCurve === null ? undefined : leadCurveFigure(leadCurve),
    bias: biasFigure(observers),
    shift: residualsFigure(shift, { timeZone }),
    look: nextLook === null ? undefined : nextLookFigure(gauge, { nextLook, scale }),
  };
}

describe('the figures of trust', () => {
  const all = figuresOf(judged);

  it.each(Object.entries(all))(
    '%s: every number can be drawn, the axes say what they are, the words hold numbers',
    (_, figure) => {
      const { data, layout, narrow, alt, title } = figure!;
      expect(JSON.stringify({ data, layout, narrow })).not.toMatch(/NaN|Infinity/);
      for (const trace of data)
        for (const key of ['x', 'y'])
          for (const value of numbers(trace[key] ?? [])) expect(Number.isFinite(value), `${title} ${key}`).toBe(true);
      for (const one of [layout, narrow]) {
        expect(axis(one, 'xaxis').title.text).toMatch(/%|, h|ft³\/s|local time/);
        expect((one.height as number) > 80).toBe(true);
        expect(one.showlegend).toBe(false);
      }
      expect(alt).toMatch(/\d/);
      expect(alt).not.toMatch(/<|NaN|undefined|null/);
      expect(alt.endsWith('.')).toBe(true);
    },
  );

  it('are left away where there is nothing to draw', () => {
    const { scores, nextLook } = bare(judged);
    expect(figuresOf(bare(judged))).toMatchObject({
      skill: undefined,
      reliability: undefined,
      rule: undefined,
      shift: undefined,
      look: undefined,
    });
    expect(scores!.reliability.bins).toEqual([]);
    expect(nextLook!.byValue).toEqual([]);
    expect(leadCurveFigure({ points: [] })).toBeUndefined();
    expect(biasFigure({ rows: [] })).toBeUndefined();
    const unknown = { value: null, i80: [null, null] as const };
    expect(leadCurveFigure({ points: [{ leadHours: 0, skill: unknown }] })).toBeUndefined();
  });
});

describe('reliabilityFigure', () => {
  const { reliability } = judged.scores!;
  const figure = reliabilityFigure(reliability)!;

  it('puts a dot a bin at what was stated and what was seen, hollow where it is off its bar', () => {
    const dots = marks(figure)[0]!;
    expect(numbers(dots.x)).toEqual([2.5, 12.5, 30, 50, 70, 87.5, 97.5]);
    expect(numbers(dots.y)).toEqual([1.2, 14, 27, 46, 75, 93, 90]);
    const colours = (dots.marker as { color: string[] }).color;
    // 90 % seen, 91.5 to 100 % if right: only the last dot lies off its bar.
    expect(colours.map((colour) => colour === '#ffffff')).toEqual([false, false, false, false, false, false, true]);
  });
  it('draws a bar and an interval for each dot', () => {
    const lines = figure.data.filter(({ mode, x }) => mode === 'lines' && numbers(x)[0] === numbers(x)[1]);
    expect(lines).toHaveLength(2 * reliability.bins.length);
    expectClose(numbers(lines[4]!.y)[0]!, 70 - 6, { abs: 1e-9, why: 'bar of the fifth bin from 64 to 76 %' });
  });
  it('says how often each odds were stated', () => {
    const bars = figure.data.find(({ type }) => type === 'bar')!;
    expect(numbers(bars.y).reduce((a, b) => a + b, 0)).toSatisfy((sum: number) => Math.abs(sum - 100) < 0.01);
    expect(bars.text).toEqual(['50 %', '11 %', '8 %', '7 %', '6 %', '8 %', '9 %']);
  });
});

describe('skillFigure', () => {
  it('has a heading a baseline and a row a way, with intervals, and no row of a way against itself', () => {
    const figure = skillFigure(judged.scores!)!;
    expect(marks(figure)).toHaveLength(8);
    const bold = notes(figure.layout).filter(({ text }) => text.startsWith('<b>'));
    expect(bold.map(({ text }) => text.replace(/<\/?b>/g, ''))).toEqual([
      'against how often each class was logged',
      'against the month',
      'against the gauge as it stands, no lag',
    ]);
    expect(figure.alt).toContain('effective reading: against how often each class was logged 60 % (52 to 68)');
  });
  it('keeps an interval far below zero on the paper', () => {
    const ways = judged.scores!.ways.map((way) => ({
      ...way,
      skill: { ...way.skill, againstMonth: { value: -7, i80: [-9, null] as const } },
    }));
    const figure = skillFigure({ ways })!;
    const [from, to] = axis(figure.layout, 'xaxis').range;
    for (const { x } of figure.data)
      for (const value of numbers(x)) expect(value >= from - 1e-6 && value <= to + 1e-6).toBe(true);
  });
});

describe('ruleFrontierFigure', () => {
  const rules = judged.rules!;
  it('marks the chosen rule where it was tested, with both intervals, and the rate asked for', () => {
    const figure = ruleFrontierFigure(rules, { unit: 'ft3/s' })!;
    const [frontier, chosen] = marks(figure);
    expect(numbers(frontier!.x)).toHaveLength(14);
    expect([numbers(chosen!.x), numbers(chosen!.y)]).toEqual([[3.3], [24]]);
    const bars = figure.data.filter(({ mode }) => mode === 'lines').map(({ x, y }) => [numbers(x), numbers(y)]);
    expect(bars[0]![0]).toEqual([0, 9.3]);
    expect(bars[1]![1]).toEqual([15, 33]);
    expect(notes(figure.layout).map(({ text }) => text)).toContain('<b>245 to 403 ft³/s</b>');
    expect(notes(figure.layout)[0]!.text).toBe('asked for: under 5 %');
  });
  it('says so where no rule keeps the rate', () => {
    const figure = ruleFrontierFigure({ ...rules, chosen: null }, { unit: 'ft3/s' })!;
    expect(figure.alt).toMatch(/None is chosen for days found too high under 5 %\.$/);
    expect(marks(figure)).toHaveLength(1);
  });
  it('leaves out rules that nobody would take, and all are kept where there are no others', () => {
    const silly = { atLeast: 1, atMost: 1, tooHigh: 0, wasted: 1, missed: 1 };
    const bold = { atLeast: 1, atMost: 900, tooHigh: 0.6, wasted: 0.3, missed: 0 };
    const figure = ruleFrontierFigure({ ...rules, frontier: [silly, ...rules.frontier, bold] }, { unit: 'ft3/s' })!;
    expect(numbers(marks(figure)[0]!.x)).toHaveLength(14);
    const only = ruleFrontierFigure({ ...rules, frontier: [silly], chosen: null }, { unit: 'ft3/s' })!;
    expect(numbers(marks(only)[0]!.x)).toEqual([0]);
    expect(only.alt).toMatch(/^One rule that no other beats, 1 to 1 ft³\/s/);
  });
});

describe('leadCurveFigure', () => {
  it('draws a line in its band', () => {
    const figure = leadCurveFigure(judged.leadCurve!)!;
    const band = figure.data.find(({ fill }) => fill === 'toself')!;
    expect(numbers(band.x)).toEqual([0, 1, 2, 4, 8, 12, 12, 8, 4, 2, 1, 0]);
    expect(numbers(marks(figure)[0]!.y)).toEqual([60, 58, 56, 52, 44, 36]);
  });
  it('skips an hour that was not measured', () => {
    const unknown = { value: null, i80: [null, null] as const };
    const points = judged.leadCurve!.points.map((point, i) => (i === 2 ? { ...point, skill: unknown } : point));
    const figure = leadCurveFigure({ points })!;
    expect(numbers(marks(figure)[0]!.x)).toEqual([0, 1, 4, 8, 12]);
  });
});

describe('biasFigure', () => {
  it('has the most diligent on top, filled only where the 80 % interval is clear of zero', () => {
    const figure = biasFigure(judged.observers)!;
    expect(axis(figure.layout, 'yaxis').ticktext).toEqual(['Runa', 'Tilde']);
    const fills = marks(figure).map(({ marker }) => (marker as { color: string }).color);
    expect(fills[0]).toBe('#ffffff');
    expect(fills[1]).not.toBe('#ffffff');
    expect(axis(figure.layout, 'xaxis').ticktext).toContain('+25 %');
  });
  it('draws some twenty of many and says that the others are in the table', () => {
    const [first] = judged.observers.rows;
    const rows = Array.from({ length: 31 }, (_, i) => ({ ...first!, observer: `P${i}`, sightings: i }));
    const figure = biasFigure({ rows })!;
    expect(marks(figure)).toHaveLength(MOST_OBSERVERS);
    expect(figure.alt).toMatch(/ 11 with fewer sightings are in the table only\.$/);
  });
  it('lets no name act as markup', () => {
    const [first] = judged.observers.rows;
    const figure = biasFigure({ rows: [{ ...first!, observer: '<b>x</b><br>%{y}' }] })!;
    expect(axis(figure.layout, 'yaxis').ticktext[0]).toBe('&lt;b&gt;x&lt;/b&gt;&lt;br&gt;%{y}');
    for (const { hovertemplate } of figure.data) expect(hovertemplate ?? '').not.toContain('&lt;');
  });
});

describe('residualsFigure', () => {
  it('draws the step only where one was found: its days, the level before, and the step with its interval', () => {
    const { shift } = judged;
    const found = residualsFigure(shift, { timeZone })!;
    const [days, size] = found.data.filter(({ fill }) => fill === 'toself');
    const hours = (numbers(days!.x)[1]! - numbers(days!.x)[0]!) / 3.6e6;
    expect(hours).toBe(23 * 24);
    const [before, after] = found.data.filter(({ mode, fill }) => mode === 'lines' && fill === undefined);
    expectClose(numbers(after!.y)[0]! - numbers(before!.y)[0]!, 0.31, { abs: 1e-4, why: 'size of the step' });
    expectClose(numbers(size!.y)[2]! - numbers(size!.y)[0]!, 0.44 - 0.19, { abs: 1e-4, why: 'its 80 % interval' });
    expect(found.alt).toContain('A step of +36 % (80 %: +21 % to +55 %)');
    const none = residualsFigure({ ...shift, found: false }, { timeZone })!;
    expect(none.data).toHaveLength(1);
    expect(none.alt).toMatch(/No step is drawn\.$/);
  });
  it('marks round factors, zero among them, evenly enough to read', () => {
    for (const reach of [0.05, 0.6, 2.5]) {
      const residuals = [-reach, 0.2 * reach, reach].map((residual, i) => ({
        visit: `v${i}`,
        timeMs: 1.9e12 + i * 1e9,
        residual,
      }));
      const { layout } = residualsFigure({ residuals, step: null, found: false }, { timeZone })!;
      const { ticktext, tickvals, range } = axis(layout, 'yaxis');
      expect(ticktext).toContain('0 %');
      expect(tickvals.length).toBeGreaterThanOrEqual(3);
      tickvals.slice(1).forEach((v, i) => expect(v - tickvals[i]!).toBeGreaterThan(0.1 * (range[1] - range[0])));
    }
  });
});

describe('nextLookFigure', () => {
  const { nextLook } = judged;
  it('stands on the axis that every figure of this gauge has', () => {
    const figure = nextLookFigure(gauge, { nextLook: nextLook!, scale })!;
    const { xaxis } = gaugeAxes(scale, { px: 600, name: '', way: 'effective', narrow: false, bottom: 'y2' });
    expect(axis(figure.layout, 'xaxis').range).toEqual((xaxis as { range: number[] }).range);
  });
  it('hatches the intervals of the edges of good, names them, and ticks the visits', () => {
    const figure = nextLookFigure(gauge, { nextLook: nextLook!, scale })!;
    expect(figure.data.filter(({ fill }) => fill === 'toself')).toHaveLength(2);
    expect(notes(figure.layout).map(({ text }) => text)).toEqual(['low | good', 'good | high']);
    const rug = marks(figure).find(({ marker }) => (marker as { symbol: string }).symbol === 'line-ns')!;
    expect(numbers(rug.x)).toHaveLength(gauge.visits.filter(({ reading }) => reading !== null).length);
    expect(figure.alt).toContain('Edges: low to good at 240; good to high at 420.');
  });
  it('draws nothing off the axis', () => {
    const far = { ...nextLook!, byValue: [{ gaugeValue: scale.to * 9, shrinkage: 0.1 }] };
    expect(nextLookFigure(gauge, { nextLook: far, scale })).toBeUndefined();
  });
});

describe('a visit pointed at', () => {
  const textsOf = (features?: typeof run.features) =>
    oddsFigure(gauge, { scale, timeZone, ...(features && { features }) })!
      .data.flatMap(({ text }) => (Array.isArray(text) ? (text as string[]) : []))
      .filter((text) => text.includes('Runa'));
  it('names the features, not their ids', () => {
    expect(textsOf(run.features).every((text) => text.includes('Ledge under the footbridge: brown'))).toBe(true);
    expect(textsOf().every((text) => text.includes('<br>ledge: brown'))).toBe(true);
  });
});

describe('percentAxis', () => {
  it('marks an axis at round steps with room for each', () => {
    const { tickvals, ticktext } = percentAxis({ from: -0.13, to: 0.9 }, { px: 300, title: '' }) as unknown as {
      tickvals: number[];
      ticktext: string[];
    };
    expect(tickvals).toEqual([0, 20, 40, 60, 80]);
    expect(ticktext).toEqual(['0', '20', '40', '60', '80']);
    expect((percentAxis({ from: 0, to: 0.03 }, { px: 300, title: '' }) as { tickvals?: unknown }).tickvals).toEqual([
      0, 1, 2, 3,
    ]);
  });
});
