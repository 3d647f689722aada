/**
 * Where the factor of a reading with growing noise stands, as y - y0: its top, its ends (NaN where it has none: far above the water it says
 * no more than that a reading so low is unlikely), and its sd at the steeper side of the top. With q = A·e^-u - βp, A = above + βp, ln of
 * the factor is -q²/(2η²) - u, highest where q² + βp·q = η². A reading below the offset (A < 0) has its top far down and no ends.
 */
export function reachOfGrowing(
  above: number,
  { eta, far, beta, p }: { eta: number; far: number; beta: number; p: number },
): { from: number; top: number; to: number; sd: number } {
  const g = beta * p;
  const root = Math.hypot(0.5 * g, eta);
  const q = above + g > 0 ? (eta * eta) / (0.5 * g + root) : -0.5 * g - root;
  const at = (residual: number): number => {
    const ratio = (above + g) / (residual + g);
    return ratio > 0 ? p * Math.log(ratio) : NaN;
  };
  const ends = above + g > 0;
  return {
    from: ends ? at(far) : NaN,
    top: at(q),
    to: ends ? at(-far) : NaN,
    sd: (eta * p) / (Math.abs(g + q) + eta),
  };
}
