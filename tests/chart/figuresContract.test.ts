import { describe, expect, it } from 'vitest';
import { bandBetween } from '../../src/chart/figures/bandLines.js';
import { ccfFigure } from '../../src/chart/figures/ccfFigure.js';
import type { Figure } from '../../src/chart/figures/figure.js';
import { loggerFigure } from '../../src/chart/figures/loggerFigure.js';
import { staffFigure } from '../../src/chart/figures/staffFigure.js';
import { staffRatingFigure } from '../../src/chart/figures/staffRatingFigure.js';
import { expectClose } from '../expectClose.js';
import { fixtureGauges } from '../show/fixtureGauges.js';

const run = fixtureGauges().runs[0]!;
const logger = run.loggers[0]!;
const [fitted, short] = logger.gauges;
const staff = run.staffs[0]!;
const rating = staff.gauges[0]!;

/** Plain data whose numbers are numbers. */
function expectPlain(figure: Figure | undefined): asserts figure is Figure {
  expect(figure?.kind).toBe('figure');
  expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
  expect(`${figure!.title} ${figure!.alt}`).not.toMatch(/NaN|undefined|Infinity|null/);
}

describe('a band between two lines', () => {
  it('is one outline a stretch: a missing end is a gap, and places stay numbers', () => {
    const { x, y } = bandBetween([1, 2, 3, 4, 5], {
      low: [0, 0, null, 2, 2],
      high: [1, 1, 1, 3, NaN],
      fill: '#fff',
      name: '',
    });
    expect(x).toEqual([1, 2, 2, 1, 4, 4, 4]);
    expect(y).toEqual([1, 1, 0, 0, null, 3, 2]);
  });
});

describe('a logger as gauges.json holds it', () => {
  const figure = loggerFigure(fitted!, { logger, timeZone: 'Europe/Vienna' });

  it('is levels seen and expected with the band, on the creek’s clock, gaps left open', () => {
    expectPlain(figure);
    expect(figure.alt).toMatch(
      /^Levels of Club logger under the footbridge from 0\.\d+ to 0\.\d+ m, 2031-04-02 to 2031-05-07, and the levels expected from Ombrel River at Low Bridge, with the 80 % interval of one level\. The gauge leads the logger by 2\.6 h/,
    );
    const [band, seen, expected] = figure.data;
    // The clock in Vienna is two hours ahead in April.
    expect((seen!['x'] as number[])[0]).toBe(fitted!.levels!.timesMs[0]! + 7_200_000);
    for (const trace of [band, seen, expected]) expect(trace!['y'] as unknown[]).toContain(null);
    // The band's outline holds two stretches: one gap.
    expect((band!['y'] as unknown[]).filter((y) => y === null)).toHaveLength(1);
    expect(JSON.stringify(figure.layout)).toContain('local time, Europe/Vienna');
    expect(JSON.stringify(figure.layout)).toContain('level, m');
  });

  it('is not drawn without levels', () => {
    expect(loggerFigure(short!, { logger })).toBeUndefined();
  });

  it('has its correlations drawn, a missing one as none', () => {
    const ccf = ccfFigure(fitted!.ccf!);
    expectPlain(ccf);
    expect(ccf.alt).toMatch(
      /at lags from −24 to 24 h\. It is highest, 0\.78, at 5(\.0)? h; unrelated rivers stay within 0\.17\.$/,
    );
    expect((ccf.data[0]!['y'] as number[])[0]).toBe(0);
    expect(ccfFigure({ ...fitted!.ccf!, lagsHours: [], correlation: [] })).toBeUndefined();
  });
});

describe('a staff as gauges.json holds it', () => {
  it('stands against words with its medians', () => {
    const figure = staffFigure(staff);
    expectPlain(figure);
    expect(figure.alt).toBe(
      'What Painted staff read on visits of each class, with their number: too low 38 to 44 cm (3); low 45 to 52 cm (4); good 50 to 63 cm (6); high 66 to 71 cm (2).',
    );
    const bars = (figure.layout['shapes'] as { x0: number }[]).map(({ x0 }) => x0);
    expect(bars).toEqual(staff.classes.flatMap(({ median }) => median ?? []));
    expect(
      staffFigure({ ...staff, classes: staff.classes.map(({ word }) => ({ word, readings: [], median: null })) }),
    ).toBe(undefined);
  });

  it('stands against a gauge with both intervals, its readings and how far they lie off', () => {
    const figure = staffRatingFigure(rating, staff);
    expectPlain(figure);
    expect(figure.alt).toMatch(
      /^Painted staff against the effective reading of Ombrel River at Low Bridge, 120 to 850 ft³\/s: the median goes from 42\.\d to 8\d(\.\d)? cm, with the 80 % interval of the curve and that of one reading\. 22 readings lie at most 4(\.\d)? cm off\.$/,
    );
    expect(figure.data.map((t) => t['name']).filter((name) => name !== undefined)).toEqual([
      'one reading',
      'the curve',
    ]);
    const [one, curve] = figure.data.map((t) => t['y'] as number[]);
    expect(one![0]!).toBeGreaterThan(curve![0]!);
    // Dashed before the first reading and after the last; what lies far beyond is left out.
    expect(figure.data.flatMap((t) => (t['line'] as { dash?: string } | undefined)?.dash ?? [])).toEqual([
      'dash',
      'dash',
    ]);
    const lines = figure.data
      .filter((t) => t['mode'] === 'lines' && t['fill'] === undefined)
      .map((t) => t['x'] as number[]);
    expect(Math.min(...lines.flat())).toBeGreaterThan(85);
    expect(lines[0]!.at(-1)).toBe(lines[1]![0]);
    const off = figure.data.find((t) => t['yaxis'] === 'y2')!['y'] as number[];
    rating.points.forEach(({ staff: read, expected }, i) =>
      expectClose(off[i]!, read - expected, { abs: 1e-3, why: 'five digits are drawn' }),
    );
    const titles = JSON.stringify([figure.layout, figure.narrow]);
    for (const title of ['effective reading, ft³/s', 'Painted staff, cm', 'off, cm']) expect(titles).toContain(title);
  });

  it('has a plain axis for a gauge of levels, and escapes names', () => {
    const figure = staffRatingFigure({ ...rating, unit: 'm', gaugeName: '<b>x' }, { name: '<i>', unit: '<u>' });
    expectPlain(figure);
    expect((figure.layout['xaxis'] as { type: string }).type).toBe('linear');
    expect(JSON.stringify(figure.layout)).not.toMatch(/<[biu]>/);
    expect(staffRatingFigure({ ...rating, gaugeValues: [200], median: [40] }, staff)).toBeUndefined();
    const none = staffRatingFigure({ ...rating, points: [] }, staff);
    expectPlain(none);
    expect(none.alt).toContain('No reading is drawn.');
  });
});
