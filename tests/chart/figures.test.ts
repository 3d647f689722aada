import { describe, expect, it } from 'vitest';
import { baseLayout, type Figure, type PlotlyObject } from '../../src/chart/figures/figure.js';
import { gaugeAxes, gaugeScale } from '../../src/chart/figures/gaugeScale.js';
import { hydrographFigure } from '../../src/chart/figures/hydrographFigure.js';
import { lagFigure } from '../../src/chart/figures/lagFigure.js';
import { oddsFigure } from '../../src/chart/figures/oddsFigure.js';
import { surfaceFigure } from '../../src/chart/figures/surfaceFigure.js';
import type { GaugeChart, RunChart } from '../../src/chart/types.js';
import { expectClose } from '../expectClose.js';
import { fixtureChart, fixtureGauge, type FixtureOptions } from '../show/fixtureChart.js';

interface Axis {
  readonly type?: string;
  readonly range: readonly [number, number];
  readonly tickvals: readonly number[];
  readonly ticktext: readonly string[];
  readonly title: { readonly text: string };
  readonly domain: readonly [number, number];
}
interface Note {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly textangle?: number;
  readonly xref?: string;
  readonly yref?: string;
}

const axis = (layout: PlotlyObject, name: string) => layout[name] as Axis;
const notes = (layout: PlotlyObject) => layout.annotations as readonly Note[];
const numbers = (value: unknown) => value as readonly number[];

function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    Object.values(value).forEach(deepFreeze);
  }
  return value;
}

function everyFigure({ run, gauge }: { run: RunChart; gauge: GaugeChart }): readonly Figure[] {
  const scale = gaugeScale([gauge]);
  const timeZone = 'Europe/Vienna';
  return [
    oddsFigure(gauge, { scale, timeZone }),
    oddsFigure(gauge, { scale, timeZone }),
    lagFigure(gauge),
    surfaceFigure(gauge),
    hydrographFigure(gauge, { scale, classes: run.classes, timeZone }),
  ].filter((figure): figure is Figure => figure !== undefined);
}

function odds(options: FixtureOptions = {}) {
  const { run, gauge } = deepFreeze(fixtureGauge(options));
  const scale = gaugeScale([gauge]);
  const figure = oddsFigure(gauge, { scale, timeZone: 'Europe/Vienna' })!;
  return { run, gauge, scale, figure, level: gauge.level! };
}

describe('oddsFigure', () => {
  it('stacks bands that sum to 1 everywhere and end where nobody has been', () => {
    const { figure, level } = odds();
    const bands = figure.data.filter((trace) => trace.stackgroup === 'odds');
    expect(bands.map((band) => band.name)).toEqual(level.odds.classes);
    const x = numbers(bands[0]!.x);
    expectClose(x[0]!, level.seen.from, { rel: 1e-4, why: 'bands start at the lowest visit' });
    expectClose(x[x.length - 1]!, level.seen.to, { rel: 1e-4, why: 'bands end at the highest visit' });
    x.forEach((_, i) => {
      const sum = bands.reduce((total, band) => total + numbers(band.y)[i]!, 0);
      expectClose(sum, 1, { abs: 1e-4, why: 'odds drawn with five digits' });
    });
  });

  it('hatches below the lowest and above the highest visit, in every strip', () => {
    const { figure, level, scale } = odds();
    const hatches = figure.data.filter(
      (trace) =>
        trace.fill === 'toself' &&
        (trace.fillpattern as { shape: string }).shape === '/' &&
        trace.stackgroup === undefined,
    );
    const grey = hatches.filter((trace) => trace.fillcolor === '#f4f5f5');
    expect(grey.map((trace) => trace.yaxis)).toEqual(['y', 'y', 'y2', 'y2', 'y3', 'y3']);
    for (const trace of grey) {
      const x = numbers(trace.x);
      const [from, to] = [Math.min(...x), Math.max(...x)];
      const below = to <= level.seen.from * 1.0001;
      expectClose(below ? to : from, below ? level.seen.from : level.seen.to, {
        rel: 1e-4,
        why: 'hatching meets the bands',
      });
      expectClose(below ? from : to, below ? scale.from : scale.to, { rel: 1e-4, why: 'hatching fills the paper' });
    }
    expect(notes(figure.layout).filter((note) => note.text === 'not seen')).toHaveLength(2);
  });

  it('puts each visit in the row of its class, with the symbol of its class', () => {
    const { figure, gauge, run } = odds();
    const rows = figure.data.filter((trace) => trace.mode === 'markers' && trace.yaxis === 'y3');
    const symbols = rows.map((row) => (row.marker as { symbol: string }).symbol);
    expect(new Set(symbols).size).toBe(rows.length);
    const labels = axis(figure.layout, 'yaxis3');
    for (const row of rows) {
      const k = labels.tickvals[labels.ticktext.indexOf(row.name as string)]!;
      const visits = gauge.visits.filter((visit) => visit.classIndex === k && visit.reading !== null);
      expect(numbers(row.x)).toHaveLength(visits.length);
      numbers(row.x).forEach((x, i) => expectClose(x, visits[i]!.reading!, { rel: 1e-4, why: 'five digits' }));
      for (const y of numbers(row.y)) expect(Math.abs(y - k)).toBeLessThanOrEqual(0.25);
    }
    expect(labels.ticktext).toEqual(['no verdict', ...run.classes]);
    // A visit without a reading is on no picture.
    const drawn = rows.reduce((sum, row) => sum + numbers(row.x).length, 0);
    expect(drawn).toBe(gauge.visits.filter((visit) => visit.reading !== null).length);
  });

  it('draws each edge with its intervals, cut at the paper, and says which are assumed', () => {
    const { figure, level, scale } = odds();
    const lines = figure.data.filter(
      (trace) => trace.mode === 'lines' && trace.yaxis === 'y2' && trace.fill === undefined,
    );
    const edges = level.edges.filter((edge) => edge.feature === 'verdict');
    expect(lines).toHaveLength(2 * edges.length);
    edges.forEach((edge, row) => {
      const [wide, thick] = [lines[2 * row]!, lines[2 * row + 1]!];
      expect(numbers(wide.y)).toEqual([row, row]);
      expectClose(numbers(wide.x)[0]!, Math.max(scale.from, edge.i95[0]!), { rel: 1e-4, why: '95 % low' });
      expectClose(numbers(thick.x)[1]!, Math.min(scale.to, edge.i80[1]!), { rel: 1e-4, why: '80 % high' });
    });
    const words = notes(figure.layout).filter((note) => note.yref === 'y2');
    // Converted from the rounded value with 1 ft³ = 0.0283168 m³, by hand.
    expect(words.map((note) => note.text)).toEqual([
      'too low | low: <b>140</b> ft³/s (3.96 m³/s)',
      'low | good: <b>240</b> ft³/s (6.80 m³/s)',
      'good | high: <b>420</b> ft³/s (11.9 m³/s)',
      'high | too high: <b>600</b> ft³/s (17.0 m³/s) assumed',
    ]);
  });

  it('opens an interval without bound to the end of the paper', () => {
    const { gauge } = fixtureGauge();
    const open = {
      ...gauge,
      level: {
        ...gauge.level!,
        edges: gauge.level!.edges.map((edge) => ({
          ...edge,
          i80: [null, edge.i80[1]] as const,
          i95: [null, null] as const,
        })),
      },
    };
    const scale = gaugeScale([open]);
    const figure = oddsFigure(open, { scale, timeZone: 'UTC' })!;
    const line = figure.data.find(
      (trace) => trace.mode === 'lines' && trace.yaxis === 'y2' && trace.fill === undefined,
    )!;
    expectClose(numbers(line.x)[0]!, scale.from, { rel: 1e-4, why: 'no lower bound' });
    expectClose(numbers(line.x)[1]!, scale.to, { rel: 1e-4, why: 'no upper bound' });
  });

  it('draws a sure range by its rounded ends, a narrow one by its true ends, an empty one not at all', () => {
    const { gauge } = fixtureGauge();
    const level = gauge.level!;
    const ranges = level.sureRanges.map((range, k) =>
      k === 2
        ? { ...range, empty: false, from: 301, to: 303, roundedFrom: null, roundedTo: null }
        : k === 3
          ? { ...range, empty: false, from: 501, to: 559, roundedFrom: 510, roundedTo: 550 }
          : { ...range, empty: true, from: null, to: null, roundedFrom: null, roundedTo: null },
    );
    const changed = { ...gauge, level: { ...level, sureRanges: ranges } };
    const scale = gaugeScale([gauge]);
    const figure = oddsFigure(changed, { scale, timeZone: 'UTC' })!;
    const bars = figure.data.filter(
      (trace) => trace.yaxis === 'y3' && trace.fill === 'toself' && trace.fillcolor !== '#f4f5f5',
    );
    expect(bars.map((bar) => [Math.min(...numbers(bar.x)), Math.max(...numbers(bar.x))])).toEqual([
      [301, 303],
      [510, 550],
    ]);
    expect(bars.map((bar) => Math.round(numbers(bar.y)[0]!))).toEqual([2, 3]);
  });

  it('shows both unit systems on one scale', () => {
    const { figure, scale } = odds();
    const [own, other] = [axis(figure.layout, 'xaxis'), axis(figure.layout, 'xaxis2')];
    expect(own.type).toBe('log');
    // 1 ft³ = 0.028316846592 m³ exactly.
    own.range.forEach((end, i) =>
      expectClose(other.range[i]! - end, Math.log10(0.028316846592), {
        abs: 1e-12,
        why: 'the same place in the other unit',
      }),
    );
    expectClose(10 ** own.range[0]!, scale.from, { rel: 1e-12, why: 'range is log10' });
    expect(own.title.text).toBe('effective reading of Ombrel River at Low Bridge, ft³/s');
    expect(other.title.text).toBe('m³/s');
  });

  it('draws a stage on a straight scale in m and ft', () => {
    const { figure } = odds({ unit: 'm', cuts: [0.6, 0.85, 1.1, 1.4], sd: 0.1 });
    expect(axis(figure.layout, 'xaxis').type).toBe('linear');
    expect(axis(figure.layout, 'xaxis2').title.text).toBe('ft');
    expectClose(axis(figure.layout, 'xaxis2').range[1] * 0.3048, axis(figure.layout, 'xaxis').range[1], {
      rel: 1e-12,
      why: '1 ft = 0.3048 m exactly',
    });
  });

  it('tells in words what it shows', () => {
    const { figure } = odds();
    expect(figure.alt).toBe(
      'Odds of each class over the effective reading of Ombrel River at Low Bridge, in ft³/s. Likeliest class: too low from 135 to 138; low from 141 to 236; good from 241 to 421; high from 430 to 632; too high from 646 to 841. Edges: too low to low at 140; low to good at 240; good to high at 420; high to too high at 600. 68 visits between 135 and 841; nothing was seen outside.',
    );
  });

  it('is nothing where that way of reading was not fitted', () => {
    const { gauge } = fixtureGauge({ grade: 'too thin' });
    expect(oddsFigure(gauge, { scale: gaugeScale([gauge]), timeZone: 'UTC' })).toBeUndefined();
  });

  it.each([2, 3, 4, 5, 6, 7, 8, 9])('keeps the labels of %i bands off each other and inside their band', (K) => {
    const classes = Array.from({ length: K }, (_, k) => `level ${k + 1}`);
    const cuts = Array.from({ length: K - 1 }, (_, k) => 120 * 1.35 ** k);
    for (const sd of [0.05, 0.2, 0.6]) {
      const { figure, level, scale } = odds({ classes, cuts, sd });
      const bands = figure.data.filter((trace) => trace.stackgroup === 'odds');
      for (const layout of [figure.layout, { ...figure.layout, ...figure.narrow }]) {
        const labels = notes(layout).filter((note) => note.yref === 'y' && classes.includes(note.text));
        for (const label of labels) {
          const k = classes.indexOf(label.text);
          const value = 10 ** label.x;
          const x = numbers(bands[0]!.x);
          const near = x.reduce((best, v, i) => (Math.abs(v - value) < Math.abs(x[best]! - value) ? i : best), 0);
          const floor = bands.slice(0, k).reduce((sum, band) => sum + numbers(band.y)[near]!, 0);
          expect(label.y).toBeGreaterThan(floor);
          expect(label.y).toBeLessThan(floor + numbers(bands[k]!.y)[near]!);
          expect(value).toBeGreaterThan(level.seen.from);
          expect(value).toBeLessThan(level.seen.to);
        }
        const boxes = labels.map((label) => {
          const margin = layout.margin as { l: number; r: number };
          const px = (layout === figure.layout ? 720 : 350) - margin.l - margin.r;
          const across = ((label.x - Math.log10(scale.from)) / (Math.log10(scale.to) - Math.log10(scale.from))) * px;
          return { across, up: label.y * (layout === figure.layout ? 270 : 210), upright: label.textangle === -90 };
        });
        boxes.forEach((one, i) =>
          boxes.slice(i + 1).forEach((other) => {
            // At least a line of text apart one way or the other.
            expect(Math.abs(one.across - other.across) > 12 || Math.abs(one.up - other.up) > 12).toBe(true);
          }),
        );
      }
    }
  });
});

describe('gaugeScale', () => {
  it('is the same for a gauge in every run and holds every reading', () => {
    const chart = fixtureChart();
    const same = chart.runs.flatMap((run) => run.gauges).filter((gauge) => gauge.gauge.id === 'low-bridge');
    expect(same).toHaveLength(2);
    const scale = gaugeScale(same);
    for (const gauge of same)
      for (const { reading } of gauge.visits)
        if (reading !== null) {
          expect(reading).toBeGreaterThan(scale.from);
          expect(reading).toBeLessThan(scale.to);
        }
  });

  it('gives a constant gauge, an empty one and one without readings above zero something to stand on', () => {
    const { gauge } = fixtureGauge({ grade: 'too thin', visits: 0 });
    const record = (values: readonly (number | null)[]): GaugeChart => ({
      ...gauge,
      hydrograph: { timesMs: values.map((_, i) => i * 3.6e6), values },
    });
    const constant = gaugeScale([record([50, 50, null])]);
    expect(constant.from).toBeLessThan(50);
    expect(constant.to).toBeGreaterThan(50);
    for (const values of [[], [null], [0, -2]]) {
      const scale = gaugeScale([record(values)]);
      expect(scale.from).toBeGreaterThan(0);
      expect(scale.to).toBeGreaterThan(scale.from);
    }
  });

  it('asks for at least one chart', () => {
    expect(() => gaugeScale([])).toThrow(new RangeError('gaugeScale: give at least one chart of the gauge'));
  });

  it('marks the axis inside its ends, in order', () => {
    const { scale } = odds();
    const { xaxis, xaxis2 } = gaugeAxes(scale, {
      px: 600,
      name: 't',
      way: 'effective',
      narrow: false,
    }) as unknown as Record<'xaxis' | 'xaxis2', Axis>;
    for (const { tickvals, range } of [xaxis, xaxis2]) {
      expect(tickvals.length).toBeGreaterThan(3);
      expect([...tickvals].sort((a, b) => a - b)).toEqual(tickvals);
      expect(Math.log10(tickvals[0]!)).toBeGreaterThanOrEqual(range[0]);
      expect(Math.log10(tickvals[tickvals.length - 1]!)).toBeLessThanOrEqual(range[1]);
    }
  });
});

describe('lagFigure', () => {
  const { gauge } = fixtureGauge();

  it('draws the whole posterior and writes what each sign means on its side', () => {
    const figure = lagFigure(gauge)!;
    const bars = figure.data.find((trace) => trace.type === 'bar')!;
    const sum = numbers(bars.y).reduce((total, p) => total + p, 0);
    expectClose(sum, 100, { abs: 1e-2, why: 'a posterior, percent' });
    const texts = notes(figure.layout).map((note) => note.text);
    expect(texts).toEqual(expect.arrayContaining(['← creek leads', 'gauge leads →']));
    expect(figure.alt).toBe(
      'Posterior of the lag between Ombrel River at Low Bridge and the creek: the gauge leads by 3 h (0.4 to 5.6). Median 3 h, 80 %: 0.44 to 5.6 h, 95 %: −0.92 to 6.9 h.',
    );
  });

  it('shows zero, the median and the 95 % interval, wherever they lie', () => {
    const late = { ...gauge.lag, median: 24, i80: [22, 26] as const, i95: [20, 29] as const };
    const [from, to] = axis(lagFigure({ ...gauge, lag: late })!.layout, 'xaxis').range;
    expect(from).toBeLessThan(0);
    expect(to).toBeGreaterThan(29);
  });

  it('is nothing without a posterior, and draws one of a single point', () => {
    expect(lagFigure({ ...gauge, lag: { ...gauge.lag, hours: [], probability: [] } })).toBeUndefined();
    const one = { ...gauge.lag, hours: [0], probability: [1], median: 0, i80: [0, 0] as const, i95: [0, 0] as const };
    const bars = lagFigure({ ...gauge, lag: one })!.data[0]!;
    expect(bars.width).toBe(1);
    expect(bars.x).toEqual([0]);
  });
});

describe('surfaceFigure', () => {
  it('rings the likeliest pair and counts the pairs that hold 95 %', () => {
    const { gauge } = fixtureGauge();
    const figure = surfaceFigure(gauge)!;
    const ring = figure.data.find((trace) => trace.type === 'scatter')!;
    expect([ring.x, ring.y]).toEqual([[3], ['12']]);
    expect(figure.alt).toMatch(
      /^Joint posterior of lag and storage\. Likeliest: lag 3 h with storage 12 h \(11 %\)\. \d+ of 370 pairs hold 95 % of the probability\.$/,
    );
    const heat = figure.data[0]!;
    expect((heat.z as number[][]).length).toBe(gauge.surface.storagesHours.length);
  });

  it('counts all cells of an even surface', () => {
    const { gauge } = fixtureGauge();
    const even = {
      ...gauge,
      surface: {
        lagsHours: [0, 1],
        storagesHours: [0, 6],
        probability: [
          [0.25, 0.25],
          [0.25, 0.25],
        ],
      },
    };
    expect(surfaceFigure(even)!.alt).toContain('4 of 4 pairs hold 95 % of the probability.');
  });

  it('shows the whole grid where nothing carries probability', () => {
    const { gauge } = fixtureGauge();
    const none = {
      ...gauge,
      surface: {
        lagsHours: [0, 1],
        storagesHours: [0, 6],
        probability: [
          [0, 0],
          [0, 0],
        ],
      },
    };
    expect(axis(surfaceFigure(none)!.layout, 'xaxis').range).toEqual([0, 1]);
  });

  it('is nothing where there is one lag or one storage', () => {
    const { gauge } = fixtureGauge();
    const line = { ...gauge, surface: { lagsHours: [0, 1, 2], storagesHours: [0], probability: [[0.2, 0.5, 0.3]] } };
    expect(surfaceFigure(line)).toBeUndefined();
  });
});

describe('hydrographFigure', () => {
  const { run, gauge } = deepFreeze(fixtureGauge());
  const scale = gaugeScale([gauge]);
  const figure = hydrographFigure(gauge, { scale, classes: run.classes, timeZone: 'Europe/Vienna' })!;

  it('keeps the gaps of the record and its wall clock', () => {
    const line = figure.data[0]!;
    expect(line.connectgaps).toBe(false);
    const nulls = gauge.hydrograph.values.filter((value) => value === null).length;
    expect((line.y as unknown[]).filter((value) => value === null)).toHaveLength(nulls);
    // March 1st is an hour ahead of UTC in Vienna, August two.
    expect(numbers(line.x)[0]! - gauge.hydrograph.timesMs[0]!).toBe(3_600_000);
    expect(numbers(line.x)[1399]! - gauge.hydrograph.timesMs[1399]!).toBe(7_200_000);
  });

  it('puts each visit at the reading it is matched with, the lag before the visit', () => {
    const lag = gauge.level!.reading.lagHours;
    expect(lag).toBe(1);
    const marks = figure.data.slice(1);
    expect(marks.map((trace) => trace.name)).toEqual(run.classes);
    const first = gauge.visits.find((visit) => visit.classIndex === 0 && visit.onRecord !== null)!;
    expect(numbers(marks[0]!.y)[0]).toBe(Number(first.onRecord!.toPrecision(5)));
    expect((numbers(marks[0]!.x)[0]! - first.timeMs) / 3_600_000 + lag).toBe(2);
  });

  it('draws discharge on a log axis and drops what has no logarithm', () => {
    expect(axis(figure.layout, 'yaxis').type).toBe('log');
    const dry = { ...gauge, hydrograph: { timesMs: [0, 3.6e6, 7.2e6], values: [0, -1, 5] } };
    const line = hydrographFigure(dry, { scale, classes: run.classes, timeZone: 'UTC' })!.data[0]!;
    expect(line.y).toEqual([null, null, 5]);
  });

  it('is nothing where no reading can be drawn', () => {
    const none = { ...gauge, hydrograph: { timesMs: [0], values: [null] } };
    expect(hydrographFigure(none, { scale, classes: run.classes, timeZone: 'UTC' })).toBeUndefined();
  });

  it('tells in words what it shows', () => {
    expect(figure.alt).toBe(
      'Record of Ombrel River at Low Bridge from 2031-03-01 to 2031-08-22, between 119 and 832 ft³/s, with 68 visits on it.',
    );
  });
});

describe('every figure', () => {
  it('writes nothing smaller than 12 px', () => {
    const sizes = (value: unknown): number[] =>
      typeof value !== 'object' || value === null
        ? []
        : Object.entries(value).flatMap(([key, inner]) =>
            /font$/.test(key) && typeof (inner as { size?: number }).size === 'number'
              ? [(inner as { size: number }).size]
              : sizes(inner),
          );
    for (const figure of everyFigure(fixtureGauge()))
      expect(Math.min(...sizes(figure.layout), ...sizes(figure.narrow))).toBeGreaterThanOrEqual(12);
  });

  it('lets no text from outside act as markup', () => {
    const evil = '<b onx=1>%{x}</b><a href="javascript:alert(1)">&amp;\u202e';
    const { run, gauge } = fixtureGauge({
      gaugeName: evil,
      observer: evil,
      classes: [`${evil}1`, `${evil}2`, `${evil}3`, `${evil}4`, `${evil}5`],
    });
    const sighted = {
      ...gauge,
      visits: gauge.visits.map((visit) => ({ ...visit, sightings: [{ feature: evil, saw: evil, row: 2 }] })),
    };
    const texts = (value: unknown): string[] =>
      typeof value === 'string'
        ? [value]
        : typeof value === 'object' && value !== null
          ? Object.values(value).flatMap(texts)
          : [];
    for (const figure of everyFigure({ run, gauge: sighted })) {
      for (const text of texts([figure.data, figure.layout, figure.narrow])) {
        const rest = text.replace(/<\/?b>|<br>|<extra><\/extra>/g, '');
        expect(rest).not.toMatch(/[<>\u202e]/);
      }
      for (const trace of figure.data)
        if (trace.hovertemplate !== undefined)
          expect(trace.hovertemplate).toMatch(
            /^(%\{text\}|%\{x\} h: %\{y:\.1f\} %|lag %\{x\} h, storage %\{y\} h: %\{z:\.1%\})<extra><\/extra>$/,
          );
    }
  });

  it('reads no clock and no chance: twice is the same', () => {
    expect(JSON.stringify(everyFigure(fixtureGauge()))).toBe(JSON.stringify(everyFigure(fixtureGauge())));
  });
});

describe('baseLayout', () => {
  it('lets a figure override the house style', () => {
    expect(baseLayout({ hovermode: false }).hovermode).toBe(false);
  });
});
