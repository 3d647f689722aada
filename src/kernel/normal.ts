/**
 * The standard normal distribution in full double precision.
 *
 * Rational minimax approximations of W. J. Cody, "Rational Chebyshev approximations for the error function",
 * Math. Comp. 23 (1969) 631-637, in the form for the normal integral of his "Algorithm 715: SPECFUN", ACM TOMS 19 (1993)
 * 22-32. The quantile is M. J. Wichura, "Algorithm AS 241: the percentage points of the normal distribution",
 * Appl. Statist. 37 (1988) 477-484, routine PPND16. Coefficients from memory; the tests hold them to a continued
 * fraction and a series that share nothing with them.
 */

export const SQRT_TWO_PI = 2.5066282746310002;
const ONE_OVER_SQRT_TWO_PI = 0.3989422804014327;
export const LOG_SQRT_TWO_PI = 0.9189385332046728;

/** Below this Φ(y) - 1/2 is the well-conditioned quantity: the quartile, rounded. */
const CENTRE = 0.67448975;
/** √32: from here on the expansion in 1/y² is used. */
const FAR = 5.656854249492381;

/** (Φ(y) - 1/2)/y for |y| ≤ 0.675. */
function centreRatio(y: number): number {
  const s = y * y;
  return (
    ((((0.065682337918207449113 * s + 2.2352520354606839287) * s + 161.02823106855587881) * s + 1067.6894854603709582) *
      s +
      18154.981253343561249) /
    ((((s + 47.20258190468824187) * s + 976.09855173777669322) * s + 10260.932208618978205) * s + 45507.789335026729956)
  );
}

/** e^{y²/2}·Φ(-y) for 0.66 ≤ y ≤ √32. */
function middleRatio(y: number): number {
  return (
    ((((((((1.0765576773720192317e-8 * y + 0.39894151208813466764) * y + 8.8831497943883759412) * y +
      93.506656132177855979) *
      y +
      597.27027639480026226) *
      y +
      2494.5375852903726711) *
      y +
      6848.1904505362823326) *
      y +
      11602.651437647350124) *
      y +
      9842.7148383839780218) /
    ((((((((y + 22.266688044328115691) * y + 235.38790178262499861) * y + 1519.377599407554805) * y +
      6485.558298266760755) *
      y +
      18615.571640885098091) *
      y +
      34900.952721145977266) *
      y +
      38912.003286093271411) *
      y +
      19685.429676859990727)
  );
}

/** 1/√(2π) - y·e^{y²/2}·Φ(-y) for y ≥ √32; about 0.4/y². */
function farDefect(y: number): number {
  const s = 1 / (y * y);
  return (
    (s *
      (((((0.02307344176494017303 * s + 0.21589853405795699) * s + 0.1274011611602473639) * s + 0.022235277870649807) *
        s +
        0.001421619193227893466) *
        s +
        2.9112874951168792e-5)) /
    (((((s + 1.28426009614491121) * s + 0.468238212480865118) * s + 0.0659881378689285515) * s +
      0.00378239633202758244) *
      s +
      7.29751555083966205e-5)
  );
}

/** e^{-y²/2} without the loss of digits that rounding y² brings from about y = 2 on. */
export function expHalfSquare(y: number): number {
  if (y < 2 && y > -2) return Math.exp(-0.5 * y * y);
  if (!(y < 40 && y > -40)) return y !== y ? NaN : 0;
  const head = Math.trunc(y * 16) / 16;
  return Math.exp(-0.5 * head * head) * Math.exp(-0.5 * (y - head) * (y + head));
}

/**
 * The upper tail with its exponential taken out: e^{y²/2}·Φ(-y), for y ≥ 0; falls from 1/2 as 1/(y√(2π)).
 * Every tail ratio is built on it, because it neither under- nor overflows.
 */
export function scaledUpperTail(y: number): number {
  if (y < CENTRE) return (0.5 - y * centreRatio(y)) * Math.exp(0.5 * y * y);
  if (y < FAR) return middleRatio(y);
  return (ONE_OVER_SQRT_TWO_PI - farDefect(y)) / y;
}

/** Φ(-y) for y ≥ 0 where e = e^{-y²/2} is at hand already. */
export function upperTail(y: number, e: number): number {
  if (y < CENTRE) return 0.5 - y * centreRatio(y);
  return e * (y < FAR ? middleRatio(y) : (ONE_OVER_SQRT_TWO_PI - farDefect(y)) / y);
}

/** 1 - y·Φ(-y)/φ(y) for y ≥ 0: from 1 at 0 down to about 1/y², with full relative precision in the far tail. */
export function tailDefect(y: number): number {
  if (y < FAR) return 1 - y * SQRT_TWO_PI * scaledUpperTail(y);
  return SQRT_TWO_PI * farDefect(y);
}

/** φ(x) = e^{-x²/2}/√(2π). */
export function normalPdf(x: number): number {
  return ONE_OVER_SQRT_TWO_PI * expHalfSquare(x);
}

/**
 * Φ(x), to about 1e-15 relative in both tails until it underflows near x = -38.5; NaN for NaN.
 * @example normalCdf(-1.96) // 0.0249978951482204
 */
export function normalCdf(x: number): number {
  const y = x < 0 ? -x : x;
  if (y < CENTRE) return 0.5 + x * centreRatio(y);
  const tail = upperTail(y, expHalfSquare(y));
  return x < 0 ? tail : 1 - tail;
}

/**
 * ln Φ(x), to about 1e-15 relative everywhere: it does not underflow on the left (ln Φ(-1000) = -500007.8…) nor
 * vanish on the right (ln Φ(10) = -7.6e-24).
 */
export function logNormalCdf(x: number): number {
  if (x > 0) return Math.log1p(0 - normalCdf(-x));
  if (x > -5) return Math.log(normalCdf(x));
  if (x === -Infinity) return -Infinity;
  return -0.5 * x * x + Math.log(scaledUpperTail(-x));
}

/** erfc(x) = 2Φ(-x√2), the exponential taken of x itself so that no digits go in the tail. */
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x);
  const y = x * Math.SQRT2;
  if (y < CENTRE) return 1 - 2 * y * centreRatio(y);
  if (x === Infinity) return 0;
  const head = Math.trunc(x * 16) / 16;
  return 2 * Math.exp(-head * head) * Math.exp(-(x - head) * (x + head)) * scaledUpperTail(y);
}

/**
 * Φ⁻¹(p): relative error about 1e-15. 0 gives -Infinity, 1 gives Infinity, outside [0, 1] NaN.
 * @example normalQuantile(0.975) // 1.959963984540054
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) return p === 0 ? -Infinity : p === 1 ? Infinity : NaN;
  const q = p - 0.5;
  if (q <= 0.425 && q >= -0.425) {
    const r = 0.180625 - q * q;
    return (
      (q *
        (((((((2509.0809287301226727 * r + 33430.575583588128105) * r + 67265.770927008700853) * r +
          45921.953931549871457) *
          r +
          13731.693765509461125) *
          r +
          1971.5909503065514427) *
          r +
          133.14166789178437745) *
          r +
          3.387132872796366608)) /
      (((((((5226.495278852545925 * r + 28729.085735721942674) * r + 39307.89580009271061) * r +
        21213.794301586595867) *
        r +
        5394.1960214247511077) *
        r +
        687.1870074920579083) *
        r +
        42.313330701600911252) *
        r +
        1)
    );
  }
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const z = r <= 5 ? quantileMiddle(r - 1.6) : quantileFar(r - 5);
  return q < 0 ? -z : z;
}

function quantileMiddle(r: number): number {
  return (
    (((((((7.7454501427834140764e-4 * r + 0.0227238449892691845833) * r + 0.24178072517745061177) * r +
      1.27045825245236838258) *
      r +
      3.64784832476320460504) *
      r +
      5.7694972214606914055) *
      r +
      4.6303378461565452959) *
      r +
      1.42343711074968357734) /
    (((((((1.05075007164441684324e-9 * r + 5.475938084995344946e-4) * r + 0.0151986665636164571966) * r +
      0.14810397642748007459) *
      r +
      0.68976733498510000455) *
      r +
      1.6763848301838038494) *
      r +
      2.05319162663775882187) *
      r +
      1)
  );
}

function quantileFar(r: number): number {
  return (
    (((((((2.01033439929228813265e-7 * r + 2.71155556874348757815e-5) * r + 0.0012426609473880784386) * r +
      0.026532189526576123093) *
      r +
      0.29656057182850489123) *
      r +
      1.7848265399172913358) *
      r +
      5.4637849111641143699) *
      r +
      6.6579046435011037772) /
    (((((((2.04426310338993978564e-15 * r + 1.4215117583164458887e-7) * r + 1.8463183175100546818e-5) * r +
      7.868691311456132591e-4) *
      r +
      0.0148753612908506148525) *
      r +
      0.13692988092273580531) *
      r +
      0.59983220655588793769) *
      r +
      1)
  );
}
