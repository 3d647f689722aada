import { alignVisits } from '../../src/align/alignVisits.js';
import type { LevelFit } from '../../src/fit/types.js';
import { cumulativeOdds } from '../../src/judge/cumulativeOdds.js';
import { gridPointOfDraws } from '../../src/judge/gridPoint.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT, type Visit } from '../../src/series/visits.js';

/** The chart's odds at moments that the fit never saw. */
export interface LaterOdds {
  /** H × K; a row sums to 1, or is NaN where no draw finds a reading. */
  readonly odds: Float64Array;
  /** Share of the draws that find a reading (H). */
  readonly found: Float64Array;
}

/**
 * Odds of each verdict class at given moments: every draw reads the gauge at its own lag and storage, its mismatch and blur are integrated
 * out, and the draws that find a reading are averaged. For the average observer, with the limb term where the fit keeps one.
 *
 * The moments go through the alignment as visits with an exact time, so that a reading here is what a reading is in a fit.
 *
 * @param fit draws (D > 0) with a verdict of K classes.
 * @param at where and when: timesMs (H), UTC, ascending.
 */
export function laterOdds(
  fit: LevelFit,
  at: { readonly creek: Creek; readonly run: Run; readonly record: GaugeRecord; readonly timesMs: Float64Array },
): LaterOdds {
  const { draws, link } = fit;
  const verdict = fit.features.find((f) => f.id === VERDICT)!;
  const K = verdict.classes.length;
  const H = at.timesMs.length;
  const odds = new Float64Array(H * K).fill(NaN);
  const found = new Float64Array(H);
  const ascending = (values: Iterable<number>) => [...new Set(values)].sort((a, b) => a - b);
  const aligned = alignVisits(
    { ...at, visits: momentsAsVisits(at.timesMs, at.run) },
    { lagsHours: ascending(draws.lagHours), storagesHours: ascending([0, ...draws.storageHours]) },
  );
  const points = gridPointOfDraws(aligned, draws);
  const n = aligned.visitIds.length;
  for (let i = 0; i < n; i++) {
    const h = Number(aligned.visitIds[i]);
    const sum = new Float64Array(K - 1);
    let seen = 0;
    for (let d = 0; d < draws.count; d++) {
      let x = aligned.x[points[d] * n + i];
      if (!(x === x)) continue;
      const slope = aligned.slope[points[d] * n + i];
      if (slope === slope) x += draws.limb[d] * slope;
      seen++;
      const draw = { mismatch: draws.mismatch[d], blur: verdict.blur[d], link };
      for (let k = 0; k < K - 1; k++) sum[k] += cumulativeOdds(verdict.edges[d * (K - 1) + k] - x, draw);
    }
    found[h] = seen / draws.count;
    if (seen === 0) continue;
    for (let k = 0; k < K; k++) odds[h * K + k] = (k < K - 1 ? sum[k] / seen : 1) - (k > 0 ? sum[k - 1] / seen : 0);
  }
  return { odds, found };
}

/** Moments dressed as visits with an exact time, named by their number; the class is never looked at. */
export function momentsAsVisits(timesMs: Float64Array, run: Run): Visit[] {
  return Array.from(timesMs, (timeMs, h) => moment(timeMs, h, run));
}

function moment(timeMs: number, h: number, run: Run): Visit {
  const sighting = {
    row: h + 1,
    timeMs,
    giveOrTakeMin: 0,
    run: run.id,
    feature: VERDICT,
    classIndex: 0,
    value: NaN,
    observer: '',
    note: '',
  };
  return { id: String(h), run: run.id, timeMs, sightings: [sighting] };
}
