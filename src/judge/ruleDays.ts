import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { quantile } from '../kernel/quantile.js';
import { VERDICT } from '../series/visits.js';
import { floodSlots } from './floodRatios.js';
import { goodClasses } from './goodClasses.js';
import { gridPoint, visitX } from './gridPoint.js';
import type { LeftOut } from './leaveFloodOut.js';

/** One verdict as a rule sees it: the reading to decide by, what it turned out to be, and the odds with its flood left out. */
export interface RuleDay {
  readonly reading: number;
  readonly floodSlot: number;
  readonly weight: number;
  /** 1 or 0. */
  readonly wasBelow: number;
  readonly wasGood: number;
  readonly wasTooHigh: number;
  readonly oddsBelow: number;
  readonly oddsGood: number;
  readonly oddsTooHigh: number;
}

/** The days of a log on which rules can be tried. */
export interface RuleDays {
  readonly kind: 'rule-days';
  /** Ascending by reading. */
  readonly days: readonly RuleDay[];
  readonly floods: number;
  /** The reading is the effective one at this lag and storage (hours): the grid point nearest to the draws' medians. */
  readonly lagHours: number;
  readonly storageHours: number;
  readonly good: readonly [number, number];
  /** Lowest class that counts as too high; one past the last where there is none above good. */
  readonly tooHighFrom: number;
  /** Share of the verdicts' weight without a reading there; NaN without verdicts. */
  readonly unmatchedShare: number;
}

/**
 * Collects the verdicts as days to try rules on.
 *
 * @param relation the fit, the visits it was made from, and its odds with floods left out.
 * @param options.good lowest and highest good class; default `goodClasses` of the verdict's list.
 * @param options.tooHighFrom lowest class that counts as found too high; default the highest class, if it is above good.
 * @returns no days without draws or verdicts.
 * @throws RangeError for classes that are out of order or not in the list.
 */
export function ruleDays(
  { fit, aligned, left }: { readonly fit: LevelFit; readonly aligned: Aligned; readonly left: LeftOut },
  { good, tooHighFrom }: { good?: readonly [number, number]; tooHighFrom?: number } = {},
): RuleDays {
  const classes = aligned.features.find((f) => f.id === VERDICT)?.classes ?? [];
  const K = classes.length;
  const [from, to] = good ?? (K === 0 ? [0, 0] : goodClasses(classes));
  const high = tooHighFrom ?? Math.max(K - 1, to + 1);
  if (K > 0 && !(from >= 0 && from <= to && to < high && high <= K))
    throw new RangeError(
      `ruleDays: good classes ${from} to ${to} and too high from ${high} must ascend within 0 to ${K - 1}`,
    );
  const { draws } = fit;
  const { cases, probability, floods } = left;
  const C = draws.count === 0 || floods.length === 0 ? 0 : cases.visit.length;
  const point = C === 0 ? 0 : gridPoint(aligned, middleOf(draws));
  const slots = floodSlots(left);
  const days: RuleDay[] = [];
  let missing = 0;
  let total = 0;
  for (let c = 0; c < C; c++) {
    total += cases.weight[c];
    const x = visitX(aligned, { visit: cases.visit[c], point });
    if (!(x === x)) {
      missing += cases.weight[c];
      continue;
    }
    const seen = cases.classIndex[c];
    const odds = (a: number, b: number) => probability.subarray(c * K + a, c * K + b).reduce((sum, p) => sum + p, 0);
    days.push({
      reading: Math.exp(x) + aligned.offset,
      floodSlot: slots[c],
      weight: cases.weight[c],
      wasBelow: Number(seen < from),
      wasGood: Number(seen >= from && seen <= to),
      wasTooHigh: Number(seen >= high),
      oddsBelow: odds(0, from),
      oddsGood: odds(from, to + 1),
      oddsTooHigh: odds(high, K),
    });
  }
  days.sort((a, b) => a.reading - b.reading);
  const nLag = aligned.lagsHours.length;
  return {
    kind: 'rule-days',
    days: days,
    floods: floods.length,
    lagHours: C === 0 ? NaN : aligned.lagsHours[point % nLag],
    storageHours: C === 0 ? NaN : aligned.storagesHours[Math.floor(point / nLag)],
    good: [from, to] as const,
    tooHighFrom: high,
    unmatchedShare: missing / total,
  };
}

function middleOf(draws: LevelFit['draws']): { lagHours: number; storageHours: number } {
  return { lagHours: quantile(draws.lagHours, 0.5), storageHours: quantile(draws.storageHours, 0.5) };
}
