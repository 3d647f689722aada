import type { Aligned } from '../align/types.js';
import { ranks } from '../kernel/ranks.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { gridPoint, visitX } from './gridPoint.js';
import { usualReadings } from './seasonReading.js';
import { verdictCases } from './verdictCases.js';

/** Always both, so that nobody shows the first alone. */
export interface RankCorrelationPair {
  /** Verdicts with a reading. */
  readonly verdicts: number;
  /** Spearman's ρ of verdict and reading. Never evidence: two rivers that share the seasons and nothing else reach 0.7. */
  readonly whole: number;
  /** The same with the season taken out of both. */
  readonly withoutSeason: number;
}

/**
 * Spearman's rank correlation of verdict class and reading over the whole log, and what is left of it without the season. The first is
 * never evidence for a gauge, and no grade looks at it: a wet and a dry half year are enough to make it high.
 *
 * Without the season: the partial rank correlation given s, the gauge's usual reading on that day of the year (15-day running median over
 * all years, `usualReadings`),
 *
 *   ρ_vx·s = (ρ_vx - ρ_vs ρ_xs) / √((1 - ρ_vs²)(1 - ρ_xs²)),
 *
 * ties sharing their mean rank. The median of a fortnight holds some of the gauge's own weather, so with few years a trace of the season
 * stays: in simulated gauges that share a strong season and nothing else the mean over logs is 0.11, beside 0.63 for the whole.
 *
 * @param aligned the visits.
 * @param options.record the gauge's record; options.lagHours, options.storageHours the reading meant, default 0.
 * @returns NaN where a correlation can't be worked out: fewer than 3 verdicts, or no spread. Without any spread in s the second equals the
 *   first.
 * @example verdictRankCorrelation(aligned, { record, lagHours: 2 }) // { verdicts: 60, whole: 0.71, withoutSeason: 0.12 }
 */
export function verdictRankCorrelation(
  aligned: Aligned,
  { record, lagHours = 0, storageHours = 0 }: { record: GaugeRecord; lagHours?: number; storageHours?: number },
): RankCorrelationPair {
  const point = gridPoint(aligned, { lagHours, storageHours });
  const { visit, classIndex, timeMs } = verdictCases(aligned);
  const usual = usualReadings(
    record,
    timeMs.map((t) => t - lagHours * 3_600_000),
  );
  const v: number[] = [];
  const x: number[] = [];
  const s: number[] = [];
  for (let c = 0; c < visit.length; c++) {
    const reading = visitX(aligned, { visit: visit[c], point });
    if (!(reading === reading && usual[c] === usual[c])) continue;
    v.push(classIndex[c]);
    x.push(reading);
    s.push(usual[c]);
  }
  const whole = spearman(v, x);
  const vs = spearman(v, s);
  const xs = spearman(x, s);
  const withoutSeason = vs === vs && xs === xs ? (whole - vs * xs) / Math.sqrt((1 - vs * vs) * (1 - xs * xs)) : whole;
  return { verdicts: v.length, whole, withoutSeason };
}

/** Pearson's correlation of the mid-ranks; NaN with fewer than 3 pairs or without spread. */
function spearman(one: readonly number[], other: readonly number[]): number {
  const n = one.length;
  if (n < 3) return NaN;
  const a = ranks(one);
  const b = ranks(other);
  const middle = (n + 1) / 2;
  let both = 0;
  let left = 0;
  let right = 0;
  for (let i = 0; i < n; i++) {
    both += (a[i] - middle) * (b[i] - middle);
    left += (a[i] - middle) ** 2;
    right += (b[i] - middle) ** 2;
  }
  return left > 0 && right > 0 ? both / Math.sqrt(left * right) : NaN;
}
