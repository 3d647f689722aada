/**
 * A second opinion with nothing in common with the code under test: fixed-point arithmetic on BigInts of 3000 bits, series
 * only. Good for |x| up to 41, where the series still leaves 200 correct bits of the upper normal tail.
 */
const BITS = 3000n;
export const ONE = 1n << BITS;

/** A double, exactly. */
export function big(x: number): bigint {
  let shift = 0n;
  while (!Number.isInteger(x)) {
    x *= 2;
    shift += 1n;
  }
  return (BigInt(x) << BITS) >> shift;
}

export const times = (a: bigint, b: bigint): bigint => (a * b) >> BITS;
export const over = (a: bigint, b: bigint): bigint => (a << BITS) / b;

/** Nearest double and a power of two: value = mantissa·2^exponent, so that nothing underflows on the way to a logarithm. */
function split(a: bigint): { mantissa: number; exponent: number } {
  const size = a < 0n ? -a : a;
  const length = BigInt(size.toString(2).length);
  const shift = length > 64n ? length - 64n : 0n;
  return { mantissa: Number(a >> shift), exponent: Number(shift - BITS) };
}

export function small(a: bigint): number {
  const { mantissa, exponent } = split(a);
  // In two steps, or 2^exponent itself would underflow.
  const half = Math.trunc(exponent / 2);
  return mantissa * 2 ** half * 2 ** (exponent - half);
}

/** ln a: a rough logarithm, mended by what its exponential leaves over. */
export function smallLog(a: bigint): number {
  const { mantissa, exponent } = split(a);
  const rough = Math.log(mantissa) + exponent * Math.LN2;
  return rough + Math.log1p(small(times(a, bigExp(-big(rough))) - ONE));
}

/** e^a by Taylor's series of a/2^16, squared 16 times. */
export function bigExp(a: bigint): bigint {
  const reduced = a >> 16n;
  let term = ONE;
  let sum = ONE;
  for (let n = 1n; term !== 0n && term !== -1n; n++) {
    term = times(term, reduced) / n;
    sum += term;
  }
  for (let i = 0; i < 16; i++) sum = times(sum, sum);
  return sum;
}

function arctanOfInverse(n: bigint): bigint {
  let power = ONE / n;
  let sum = power;
  for (let k = 3n, sign = -1n; power !== 0n; k += 2n, sign = -sign) {
    power /= n * n;
    sum += (sign * power) / k;
  }
  return sum;
}

function squareRoot(a: bigint): bigint {
  const target = a << BITS;
  let root = 1n << BigInt(Math.ceil(target.toString(2).length / 2));
  for (;;) {
    const next = (root + target / root) >> 1n;
    if (next >= root) return root;
    root = next;
  }
}

/** π by Machin's formula. */
export const PI = 4n * (4n * arctanOfInverse(5n) - arctanOfInverse(239n));
const ROOT_TWO_PI = squareRoot(2n * PI);

export function bigNormalPdf(x: number): bigint {
  const z = big(x);
  return over(bigExp(-times(z, z) / 2n), ROOT_TWO_PI);
}

/** Φ(x) = 1/2 + φ(x)·(x + x³/3 + x⁵/(3·5) + …). */
export function bigNormalCdf(x: number): bigint {
  if (x === Infinity) return ONE;
  if (x === -Infinity) return 0n;
  const z = big(x);
  const square = times(z, z);
  let term = z;
  let sum = z;
  for (let n = 3n; term > 1n || term < -1n; n += 2n) {
    term = times(term, square) / n;
    sum += term;
  }
  return ONE / 2n + times(bigNormalPdf(x), sum);
}

export function bigLogisticCdf(x: number): bigint {
  if (x === Infinity) return ONE;
  if (x === -Infinity) return 0n;
  return over(ONE, ONE + bigExp(-big(x)));
}
