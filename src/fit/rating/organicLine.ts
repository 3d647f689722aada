import { checkPairs } from './checkPairs.js';
import { moments } from './rankCorrelation.js';

export interface OrganicLine {
  readonly kind: 'organic-line';
  readonly status: 'ok' | 'too-few-rows' | 'constant';
  readonly slope: number;
  readonly intercept: number;
  /** Pearson's r. */
  readonly correlation: number;
  readonly observations: number;
}

/**
 * Line of organic correlation (reduced major axis; MOVE.1 of record extension): slope = sign(r)·sd(y)/sd(x), through the means. It
 * keeps the spread of y, which ordinary least squares shrinks, so extended records keep their floods and droughts. For flows
 * take logarithms first. Source: R. M. Hirsch, Water Resour. Res. 18 (1982) 1081-1088; D. R. Helsel et al., USGS TM 4-A3,
 * 2020, section 10.2 (formula from memory).
 * @param x n finite numbers
 * @param y n finite numbers
 * @returns with fewer than 3 rows, or one column constant or no correlation at all, the status says so and the slope is NaN
 * @throws RangeError for lengths that differ or values that are not finite
 * @example organicLine([1, 2, 3], [2, 4, 7]).slope // 2.517
 */
export function organicLine(x: ArrayLike<number>, y: ArrayLike<number>): OrganicLine {
  checkPairs('organicLine', { x, y });
  const { meanX, meanY, sxx, syy, sxy } = moments(x, y);
  const n = x.length;
  const status = n < 3 ? 'too-few-rows' : sxx > 0 && syy > 0 && sxy !== 0 ? 'ok' : 'constant';
  const slope = status === 'ok' ? Math.sign(sxy) * Math.sqrt(syy / sxx) : NaN;
  return Object.freeze({
    kind: 'organic-line',
    status,
    slope,
    intercept: meanY - slope * meanX,
    correlation: status === 'ok' ? sxy / Math.sqrt(sxx * syy) : NaN,
    observations: n,
  } as const);
}
