import { reservoirSeries } from '../../align/reservoirSeries.js';
import { lnAt, type Cursor } from '../../align/interpolate.js';
import { knownTimes } from '../../align/knownTimes.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { evenSeries } from './evenSeries.js';

const HOUR = 3_600_000;

/** A logger's levels beside the routed gauge on a grid of lags and storages: n rows, G points. */
export interface LoggerRows {
  readonly timesMs: Float64Array;
  readonly level: Float64Array;
  /** x[g·n + i] = ln e_k(t_i - L). */
  readonly x: Float64Array;
  /** 1 where the row follows its neighbour by one step. */
  readonly follows: Uint8Array;
}

/** Rows with a level and a reading at every point of the grid, so that all points are judged by the same rows. */
export function loggerRows(
  logger: GaugeRecord,
  gauge: GaugeRecord,
  { lags, storages, stepMs }: { lags: Float64Array; storages: Float64Array; stepMs: number },
): LoggerRows {
  const { fromMs, values } = evenSeries(logger, { stepMs });
  const T = values.length;
  const nL = lags.length;
  const G = nL * storages.length;
  const all = new Float64Array(G * T);
  const usable = Uint8Array.from(values, (v) => (v === v ? 1 : 0));
  // As visits meet it: a daily mean counts from the end of its day.
  const { timesMs, interpolation } = knownTimes(gauge);
  const { maxGapMs } = gauge;
  for (let k = 0; k < storages.length; k++) {
    const lnE = reservoirSeries(gauge, storages[k]).map(Math.log);
    for (let l = 0; l < nL; l++) {
      const cursor: Cursor = { index: 0 };
      const row = (k * nL + l) * T;
      for (let i = 0; i < T; i++) {
        const x = lnAt(timesMs, lnE, fromMs + i * stepMs - lags[l] * HOUR, { maxGapMs, cursor, interpolation });
        all[row + i] = x;
        if (!Number.isFinite(x)) usable[i] = 0;
      }
    }
  }
  const kept = Array.from(usable.keys()).filter((i) => usable[i] === 1);
  const n = kept.length;
  const x = new Float64Array(G * n);
  for (let g = 0; g < G; g++) for (let r = 0; r < n; r++) x[g * n + r] = all[g * T + kept[r]];
  return {
    timesMs: Float64Array.from(kept, (i) => fromMs + i * stepMs),
    level: Float64Array.from(kept, (i) => values[i]),
    x,
    follows: Uint8Array.from(kept, (i, r) => (r > 0 && kept[r - 1] === i - 1 ? 1 : 0)),
  };
}
