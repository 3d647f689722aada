import { describe, expect, it } from 'vitest';
import { ccfFigure } from '../../src/chart/figures/ccfFigure.js';
import { intervalFigure } from '../../src/chart/figures/intervalFigure.js';
import { loggerFigure } from '../../src/chart/figures/loggerFigure.js';
import { rankingFigure } from '../../src/chart/figures/rankingFigure.js';
import type { Figure } from '../../src/chart/figures/figure.js';
import { fitLogger } from '../../src/fit/logger/fitLogger.js';
import { loggerCcf } from '../../src/fit/logger/loggerCcf.js';
import { loggerLevel } from '../../src/fit/logger/loggerLevel.js';
import { rankGauges } from '../../src/judge/gauges/rankGauges.js';
import type { GaugeRanking } from '../../src/judge/gauges/types.js';
import { loggerWorld } from '../fit/logger/loggerWorld.js';
import { gaugeWorld } from '../../tools/gauges/gaugeWorld.js';

const ranking = rankGauges(gaugeWorld({ kind: 'right', seed: 2, visits: 30, noise: 1, days: 300 }), { draws: 60 });
const confirmed: GaugeRanking = {
  ...ranking,
  confirming: [{ ...ranking.warning[0], name: 'the <late> one', creekLeads: 0.97, reason: 'The creek leads it.' }],
  aside: [{ id: 'far', name: 'the far one', reason: 'Its record covers 2 of 30 visits.' }],
};

/** What every figure must be: plain data, finite numbers, no code in its texts. */
function expectWhole(figure: Figure | undefined): asserts figure is Figure {
  expect(figure?.kind).toBe('figure');
  const text = JSON.stringify(figure);
  expect(text).not.toMatch(/NaN|undefined|Infinity/);
  const walk = (value: unknown): void => {
    if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true);
    else if (value !== null && typeof value === 'object') Object.values(value).forEach(walk);
  };
  walk([figure!.data, figure!.layout, figure!.narrow]);
  expect(figure!.alt).toMatch(/\.$/);
}

describe('gauges in order', () => {
  it('stand as dots on their intervals, those that only confirm apart', () => {
    const figure = rankingFigure(confirmed);
    expectWhole(figure);
    expect(figure.alt).toContain('Read before going, best first: right 1');
    expect(figure.alt).toContain('Only confirm afterwards: the <late> one');
    expect(JSON.stringify(figure.layout)).toContain('the &lt;late&gt; one');
    const dots = figure.data.filter((trace) => trace.mode === 'markers');
    expect(dots).toHaveLength(ranking.warning.length + 1);
    expect(rankingFigure({ ...ranking, warning: [], confirming: [] })).toBeUndefined();
  });
});

describe('a logger', () => {
  const { logger, gauge } = loggerWorld({ days: 20 });
  const fit = fitLogger(logger, gauge, { lagsHours: [0, 1, 2, 3, 4, 5], storagesHours: [0, 5, 8] });

  it('is drawn with what the gauge makes of it', () => {
    const levels = loggerLevel(fit, { gauge, timesMs: logger.timesMs });
    const figure = loggerFigure(fit, { logger, levels });
    expectWhole(figure);
    expect(figure.data).toHaveLength(3);
    expect(figure.alt).toContain(fit.statusSentence);
    expect(loggerFigure(fit, { logger, levels: [] })).toBeUndefined();
  });

  it('has correlations by lag', () => {
    const ccf = loggerCcf(logger, gauge, { maxLagHours: 12 });
    const figure = ccfFigure(ccf);
    expectWhole(figure);
    expect((figure.data[0].x as number[]).length).toBe(25);
    expect(figure.alt).toMatch(/It is highest, 0\.\d\d, at [\d.]+ h; unrelated rivers stay within 0\.\d\d\./);
    expect(ccfFigure({ ...ccf, status: 'too-few-rows' })).toBeUndefined();
  });
});

describe('quantities with intervals', () => {
  const rows = [{ label: 'low / good', median: 240, i80: [218, 264] as const }];
  const scale = { kind: 'log', unit: 'ft3/s', otherUnit: 'm3/s', from: 100, to: 1000 } as const;
  const axisOf = (axis: string) =>
    (intervalFigure(rows, { title: 'Edges', axis, scale })!.layout['xaxis'] as { title: { text: string } }).title.text;

  it('stand on the scale of their gauge, with the unit kept where the title is cut', () => {
    const figure = intervalFigure(rows, { title: 'Edges', axis: 'edge, ft³/s', scale })!;
    expectWhole(figure);
    expect(figure.layout['xaxis']).toMatchObject({ type: 'log', range: [2, 3] });
    expect(axisOf('edge, ft³/s')).toBe('edge, ft³/s');
    expect(axisOf(`the effective reading of <b> ${'far '.repeat(30)}, ft³/s`)).toMatch(
      /^the effective reading of &lt;b&gt; far .*…, ft³\/s$/,
    );
    expect(axisOf('a title that has no unit '.repeat(9))).toMatch(/…$/);
  });

  it('take no other unit and no zero beside it', () => {
    for (const more of [{ times: 100 }, { zero: { at: 0, label: 'none' } }])
      expect(() => intervalFigure(rows, { title: 'Edges', axis: 'edge', scale, ...more })).toThrow(
        new RangeError('intervalFigure: a scale takes the readings as they are: leave out times and zero'),
      );
  });
});
