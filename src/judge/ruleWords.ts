/** A share as a whole percentage, without minus zero. */
export function percentOf(value: number): string {
  const whole = Math.round(value * 100);
  return `${whole === 0 ? 0 : whole} %`;
}

/** A share of something counted, as a percentage that is 0 only for none. */
export function sharePercent(share: number): string {
  return share > 0 && share < 0.005 ? 'under 1 %' : percentOf(share);
}

/** `3 visits`, `1 visit`, `2.5 visits`. */
export function count(n: number, noun: string): string {
  const text = Number.isInteger(n) ? String(n) : n.toFixed(1);
  return `${text} ${n === 1 ? noun : `${noun}s`}`;
}
