import { describe, expect, it } from 'vitest';
import { expectClose } from '../expectClose.js';
import { centralReading } from '../../src/fit/centralReading.js';
import { lagSentence, lagSummary, storageSummary } from '../../src/chart/lagSummary.js';

/** rows = storages, columns = lags. */
function grid(lags: number[], storages: number[], rows: number[][]) {
  const probability = Float64Array.from(rows.flat());
  return {
    grid: {
      lagsHours: Float64Array.from(lags),
      storagesHours: Float64Array.from(storages),
      probability,
      logEvidence: probability.map(Math.log),
    },
  };
}

describe('centralReading', () => {
  it('is the pair of medians of one hill', () => {
    const fit = grid(
      [0, 1, 2],
      [0, 6, 12],
      [
        [0.05, 0.05, 0],
        [0.1, 0.4, 0.1],
        [0, 0.1, 0.2],
      ],
    );
    expect(centralReading(fit.grid)).toEqual({ lagHours: 1, storageHours: 6 });
  });

  it('stays on a hill where the medians fall in the valley between two', () => {
    const fit = grid(
      [0, 5, 10],
      [0, 6, 12],
      [
        [0.45, 0, 0],
        [0, 0.001, 0],
        [0, 0, 0.549],
      ],
    );
    expect(centralReading(fit.grid)).toEqual({ lagHours: 10, storageHours: 12 });
  });

  it('is 0 and 0 where nothing was evaluated', () => {
    expect(centralReading(grid([1], [2], [[NaN]]).grid)).toEqual({ lagHours: 0, storageHours: 0 });
  });
});

describe('lagSummary', () => {
  const mode = 'any-lag' as const;

  it('sums storages out, each hour’s share spread over its cell', () => {
    const fit = grid(
      [-1, 0, 1, 2, 3],
      [0, 6],
      [
        [0.02, 0.08, 0.2, 0.1, 0.05],
        [0.01, 0.04, 0.3, 0.15, 0.05],
      ],
    );
    const lag = lagSummary({ ...fit, mode, leadHours: 0 });
    expect(lag.hours).toEqual([-1, 0, 1, 2, 3]);
    expect(lag.probability.map((p) => Number(p.toFixed(12)))).toEqual([0.03, 0.12, 0.5, 0.25, 0.1]);
    // Cells end at -1, -0.5, 0.5, 1.5, 2.5 and 3. Below the cell of 1 h lies 0.15 of its 0.5, so the middle is 0.35/0.5 into it; and so on.
    const near = (actual: number | null, expected: number) =>
      expectClose(actual!, expected, { abs: 1e-9, why: 'by hand' });
    near(lag.median, 0.5 + 0.35 / 0.5);
    [-0.5 + 0.07 / 0.12, 1.5 + 0.25 / 0.25].forEach((end, i) => near(lag.i80[i], end));
    [-1 + (0.5 * 0.025) / 0.03, 2.5 + (0.5 * 0.075) / 0.1].forEach((end, i) => near(lag.i95[i], end));
    const storage = storageSummary(fit);
    expect(storage.hours).toEqual([0, 6]);
    near(storage.median, 3 + (3 * 0.05) / 0.55);
    // The whole cell of the median belongs to its interval: 3 to 6 h.
    [(3 * 0.1) / 0.45, 6].forEach((end, i) => near(storage.i80[i], end));
  });

  it('a chart made with a lead shows only lags from the lead on', () => {
    const fit = grid([-1, 0, 1, 2, 3], [0], [[NaN, NaN, NaN, 0.5, 0.5]]);
    const lag = lagSummary({ ...fit, mode: 'one-reading', leadHours: 2 });
    expect(lag.hours).toEqual([2, 3]);
    // Half of the probability fills the cell of 2 h, which ends half way to 3 h.
    expect(lag.median).toBe(2.5);
  });

  it.each([
    [3, [1, 5], 'The gauge leads by 3 h (80 % interval: 1 h to 5 h).'],
    [-2, [-4, -1], 'The creek leads by 2 h (80 % interval: 1 h to 4 h).'],
    [
      1,
      [-2, 4],
      'The gauge leads by 1 h, but who leads is open (80 % interval: from the creek leading by 2 h to the gauge leading by 4 h).',
    ],
    [0, [0, 2], 'Gauge and creek move together (80 % interval: the gauge leads by no more than 2 h).'],
    [0, [-2, 0], 'Gauge and creek move together (80 % interval: the creek leads by no more than 2 h).'],
    [2.5, [2.5, 2.5], 'The gauge leads by 2.5 h (80 % interval: 2.5 h to 2.5 h).'],
    [0, [-1, 1], 'Gauge and creek move together (80 % interval: neither leads by more than 1 h).'],
    [2, [null, null], 'The gauge leads by 2 h.'],
    [NaN, [null, null], 'The lag is unknown.'],
  ] as const)('median %f', (median, i80, says) => {
    expect(lagSentence({ median, i80 })).toBe(says);
  });
});
