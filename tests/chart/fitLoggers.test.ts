import { describe, expect, it } from 'vitest';
import { creekChart } from '../../src/chart/creekChart.js';
import type { FittedCreek } from '../../src/chart/fitCreek.js';
import { fitLoggers } from '../../src/chart/fitLoggers.js';
import { gridWithout } from '../../src/chart/gridWithout.js';
import { lagSummary } from '../../src/chart/lagSummary.js';
import { fitLevels, type LevelFits } from '../../src/fit/fitLevels.js';
import { makeRecord } from '../align/makeRecord.js';
import { expectClose } from '../expectClose.js';
import { fittedNow } from './chartCreekCases.js';
import { LAG_HOURS, loggerCreek } from './loggerCreek.js';

const input = loggerCreek();
const { creek, records, loggers } = { creek: input.creek!, records: input.records, loggers: input.loggers! };
const OPTIONS = { seed: 3, draws: 200 };
const fitted = fittedNow(input, OPTIONS);
const [relation] = fitted.relations;
const without = fittedNow(input, { ...OPTIONS, useLoggers: false });
const [alone] = without.relations;
const grid = { lagsHours: [...relation.aligned.lagsHours], storagesHours: [...relation.aligned.storagesHours] };
const of = { creek, run: creek.runs[0], record: records[0], loggers };

/** All numbers and words of a fit. */
const digits = (fits: LevelFits): string =>
  JSON.stringify(fits, (_, value: unknown) => (value instanceof Float64Array ? [...value] : value));

describe('a chart of a run that had a logger', () => {
  it('fits the logger where it stood, and its prior at the put-in', () => {
    const [logger] = relation.loggers;
    expect([logger.logger, logger.status]).toEqual(['club', 'converged']);
    expectClose(logger.lag.median, LAG_HOURS + 1, { abs: 0.5, why: 'an hour of wave travel below the put-in' });
    const prior = relation.gridPrior!;
    const likeliest = prior.indexOf(Math.max(...prior));
    expectClose(grid.lagsHours[likeliest % grid.lagsHours.length], LAG_HOURS, { abs: 0.5, why: 'at the put-in' });
    expectClose(
      prior.reduce((sum, l) => sum + Math.exp(l), 0),
      1,
      { abs: 1e-12, why: 'shares' },
    );
  });

  it('is surer of the lag than the visits alone, and says what those say without a second fit', () => {
    const width = ([from, to]: readonly [number | null, number | null]): number => to! - from!;
    const lone = lagSummary(alone.fits.effective);
    expect(width(lagSummary(relation.fits.effective).i80)).toBeLessThan(0.7 * width(lone.i80));
    const { lag, storage, probability } = gridWithout(relation.fits.effective, relation.gridPrior!);
    alone.fits.effective.grid.probability.forEach((p, g) =>
      expectClose(probability[g], p, { abs: 0.01, why: `the visits' own share of point ${g}` }),
    );
    expectClose(lag.median, lone.median, { abs: 0.5, why: 'median, to a step of the grid' });
    expectClose(width(lag.i80), width(lone.i80), { abs: 1, why: 'interval, to two steps' });
    expect(storage.i80[0]).toBeLessThan(0.5);
    expect(() => gridWithout(relation.fits.effective, new Float64Array(2))).toThrow(
      `gridWithout: gridPrior must hold one number for each of ${probability.length} grid points, got 2`,
    );
  });

  it('says whether loggers were used, and only where there are any', () => {
    const optionsOf = (of: FittedCreek) => creekChart({ ...of, runs: [], relations: [] }).provenance.options;
    expect(optionsOf(fitted).useLoggers).toBe(true);
    expect(optionsOf(without).useLoggers).toBe(false);
    expect('useLoggers' in optionsOf({ ...fitted, creek: { ...creek, loggers: [] } })).toBe(false);
    expect(alone.loggers).toEqual([]);
    expect(alone.gridPrior).toBeUndefined();
  });

  it('is the chart of before to the last digit where no logger has a say', () => {
    expect(digits(alone.fits) === digits(fitLevels(alone.aligned, OPTIONS))).toBe(true);
  });
});

describe('loggers of a run', () => {
  it('multiply their priors', () => {
    const two = { ...creek, loggers: [creek.loggers![0], { ...creek.loggers![0], id: 'second' }] };
    const { fits, gridPrior } = fitLoggers(
      { ...of, creek: two, loggers: [loggers[0], { ...loggers[0], gauge: 'second' }] },
      grid,
    );
    expect(fits.map(({ logger }) => logger)).toEqual(['club', 'second']);
    const squares = relation.gridPrior!.map((l) => Math.exp(2 * l));
    const sum = squares.reduce((a, b) => a + b, 0);
    gridPrior!.forEach((l, g) => expectClose(Math.exp(l), squares[g] / sum, { rel: 1e-9, why: `point ${g}` }));
  });

  it('that stood elsewhere, could not be read, did not move or followed another river give no prior', () => {
    const elsewhere = { ...creek, loggers: [{ ...creek.loggers![0], run: 'another' }] };
    expect(fitLoggers({ ...of, creek: elsewhere }, grid)).toEqual({ fits: [] });
    expect(fitLoggers({ ...of, loggers: [] }, grid)).toEqual({ fits: [] });
    const still = makeRecord(new Float64Array(900).fill(0.5), { gauge: 'club', parameter: 'stage', unit: 'm' });
    const { fits, gridPrior } = fitLoggers({ ...of, loggers: [still] }, grid);
    expect(fits[0].status).toBe('constant-logger');
    expect(gridPrior).toBeUndefined();
    const other = fitLoggers({ ...of, record: loggerCreek({ seed: 2 }).records[0] }, grid);
    expect(other.fits[0].statusSentence).toContain('it has no say');
    expect(other.gridPrior).toBeUndefined();
  });

  it('of half a year are read every few hours', () => {
    const long = makeRecord(
      Array.from({ length: 24 * 110 }, (_, i) => records[0].values[i + 50]),
      { hours: Array.from({ length: 24 * 110 }, (_, i) => i + 50), gauge: 'club', parameter: 'stage', unit: 'm' },
    );
    const [fit] = fitLoggers({ ...of, loggers: [long] }, { lagsHours: [0, 1], storagesHours: [0] }).fits;
    expect(fit.stepHours).toBe(2);
    expect(fit.rows).toBeGreaterThan(1200);
  });
});
