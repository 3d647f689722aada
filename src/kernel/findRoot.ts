/**
 * A root of f between two points where its signs differ: bisection mixed with the secant (regula falsi with the Illinois
 * correction), which never leaves the bracket. An end where f is NaN counts as having the sign opposite to the other end's.
 * @returns NaN where the two ends have the same sign
 * @example findRoot((x) => x * x - 2, { low: 0, high: 2 }) // 1.4142135623730951
 */
export function findRoot(f: (x: number) => number, { low, high }: { low: number; high: number }): number {
  let a = low;
  let b = high;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa !== fa) fa = -fb;
  if (fb !== fb) fb = -fa;
  if (!(fa * fb < 0)) return NaN;
  for (let step = 0; step < 200; step++) {
    const middle = 0.5 * (a + b);
    const secant = b - (fb * (b - a)) / (fb - fa);
    // Every third step halves: the secant alone crawls along a bent curve.
    const inside = secant > Math.min(a, b) && secant < Math.max(a, b) && step % 3 !== 2;
    const x = inside ? secant : middle;
    if (x === a || x === b || Math.abs(b - a) <= 4e-16 * Math.max(Math.abs(a), Math.abs(b))) return x;
    const fx = f(x);
    if (fx === 0) return x;
    if (fx * fb < 0) {
      a = b;
      fa = fb;
    } else fa /= 2;
    b = x;
    fb = fx;
  }
  return b;
}
