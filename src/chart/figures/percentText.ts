import type { Measured } from '../../judge/floodRatios.js';
import type { Interval } from '../../judge/types.js';

const NBSP = '\u00a0';

/**
 * A share as a whole percentage with a true minus; never `−0`.
 * @returns `unknown` for null and for what is no number; `under 1 %` for a little more than nothing.
 * @example percentText(-0.086) // '−9 %'
 */
export function percentText(share: number | null): string {
  if (share === null || !Number.isFinite(share)) return 'unknown';
  // What happened once must not read as never.
  return share > 0 && share < 0.005 ? `under 1${NBSP}%` : `${percentDigits(share)}${NBSP}%`;
}

/** Two ends as `3 to 12`, in percent without the sign; `open` where there is no end. */
export function percentRange([from, to]: Interval): string {
  const end = (value: number | null) => (value === null ? 'open' : percentDigits(value));
  return `${end(from)} to ${end(to)}`;
}

/**
 * A measured share with its 80 % interval.
 * @returns the share alone where nothing is known of its interval.
 * @example measuredText({ value: 0.68, i80: [0.55, 0.79] }) // '68 % (55 to 79)'
 */
export function measuredText({ value, i80 }: Measured): string {
  if (value === null || (i80[0] === null && i80[1] === null)) return percentText(value);
  return `${percentText(value)} (${percentRange(i80)})`;
}

/**
 * A spread in ln units as a change in percent, signed.
 * @example lnPercentText(0.2) // '+22 %'
 */
export function lnPercentText(ln: number): string {
  const percent = Math.round(100 * Math.expm1(ln));
  return `${percent > 0 ? '+' : percent < 0 ? '−' : ''}${Math.abs(percent)}${NBSP}%`;
}

function percentDigits(share: number): string {
  const percent = Math.round(100 * share);
  return `${percent < 0 ? '−' : ''}${Math.abs(percent)}`;
}
