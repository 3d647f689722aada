import { gaugeAtNodes, limbShift, logGauge } from './gaugeFactor.js';
import { GROWING, LINE, SEGMENTS } from './levelData.js';
import { reachOfGrowing } from './reachOfGrowing.js';
import { logSighting, timesSighting } from './sightingFactor.js';
import { segmentReach } from './twoSegments.js';
import { knownOffset, MAX_NODES, type Workspace } from './workspace.js';

/** How finely and how far out a visit's state is integrated. */
export interface Accuracy {
  /** Sds of the gauge factor on either side. */
  readonly reach: number;
  /** Nodes per sd of the product of all factors: the trapezoid rule's error on a normal is 2·exp(-2π²·nodesPerSd²). */
  readonly nodesPerSd: number;
  /** Share of the peak below which the integrand counts as nothing. */
  readonly negligible: number;
  /** Cells to full precision, or from a table. */
  readonly exactCells: boolean;
  /** Below this plain products have lost their digits, and logs take over. */
  readonly smallestPlain: number;
}

/** For climbing: errors of 6e-7. */
export const CLIMB: Accuracy = Object.freeze({
  reach: 6.5,
  nodesPerSd: 0.87,
  negligible: 1e-11,
  exactCells: true,
  smallestPlain: 1e-200,
});

/** For weighing draws: 8e-4 at the very worst is far below what a weight can feel. */
export const WEIGH: Accuracy = Object.freeze({
  reach: 5,
  nodesPerSd: 0.63,
  negligible: 1e-6,
  exactCells: false,
  smallestPlain: 1e-7,
});

/** Times a window is widened, by its own width each time, where the integrand has not died down at its end, or refined. */
const MAX_CHANGES = 8;

/** Steps of the search for the highest point where sightings contradict the gauge or each other. */
const SEARCH_STEPS = 60;
/** Places at which a product of two tops is looked at. */
const SCAN_POINTS = 96;
const GOLDEN = 0.6180339887498949;

const SQRT_2PI = 2.5066282746310002;
/** Share of the nodes asked for below which a window is laid again. */
const ENOUGH_NODES = 0.95;

/** The logistic link reaches farther than a normal of the same s, and its cells' edges are a little sharper than one. */
const LOGIT_REACH = 8;
const LOGIT_SD = 1.15;
/** Beyond `reach` sds, how far a normal cell still counts, in blurs. */
const PROBIT_REACH = 1.5;
/** A numeric sighting is a whole normal where a class is only its integral: the trapezoid rule needs it a little finer. */
const NUMERIC_SD = 0.85;
/** The corner of two power laws: the trapezoid rule's error there falls with the square of the step only. */
const CORNER_SD = 0.25;
/** With growing noise the factor is skew, and sharper below than its sd says. */
const GROWING_SD = 0.7;

/**
 * Lays the nodes of visit i and fills the integrand at them.
 * @returns ln of the factor by which the integrand was divided (0 unless plain products underflow).
 */
export function layWindow(work: Workspace, i: number, accuracy: Accuracy): number {
  frame(work, i, accuracy);
  for (let change = 0; ; change++) {
    const lnFactor = fillIntegrand(work, i, accuracy);
    if (change === MAX_CHANGES || !(widen(work, accuracy) || refine(work, accuracy))) return lnFactor;
  }
}

/** Fills the integrand of visit i at the workspace's nodes; returns ln of the factor it was divided by. */
export function fillIntegrand(work: Workspace, i: number, accuracy: Accuracy): number {
  const { data, integrand, count } = work;
  const from = data.sightingStart[i];
  const to = data.sightingStart[i + 1];
  gaugeAtNodes(work, i);
  for (let j = from; j < to; j++) timesSighting(work, j, accuracy.exactCells);
  if (peakOf(work) > accuracy.smallestPlain) return 0;
  let best = -Infinity;
  for (let k = 0; k < count; k++) {
    integrand[k] = logIntegrand(work, i, work.lo + k * work.step);
    if (integrand[k] > best) best = integrand[k];
  }
  if (best === -Infinity) {
    integrand.fill(0, 0, count);
    return 0;
  }
  for (let k = 0; k < count; k++) integrand[k] = Math.exp(integrand[k] - best);
  return best;
}

function logIntegrand(work: Workspace, i: number, c: number): number {
  const { sightingStart } = work.data;
  let g = logGauge(work, i, c);
  for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) g += logSighting(work, j, c);
  return g;
}

/** Widens the nodes on each side where the integrand has not died down; false where it has on both. */
function widen(work: Workspace, { negligible }: Accuracy): boolean {
  const { integrand, count, step } = work;
  const enough = negligible * peakOf(work);
  const left = integrand[0] > enough;
  const right = integrand[count - 1] > enough;
  if (!left && !right) return false;
  const lo = work.lo - (left ? count * step : 0);
  const hi = work.lo + (count - 1) * step + (right ? count * step : 0);
  placeNodes(work, lo, hi, step);
  return true;
}

/**
 * Moves the nodes closer together where the integrand is narrower than was foreseen (a steep rating read far from where the gauge puts the
 * creek); false where it isn't. A normal of sd s on nodes h apart sums to √(2π)·s/h of its top.
 */
function refine(work: Workspace, { negligible, nodesPerSd }: Accuracy): boolean {
  const { integrand, count, lo, step } = work;
  const peak = peakOf(work);
  let sum = 0;
  for (let k = 0; k < count; k++) sum += integrand[k];
  const found = sum / (peak * SQRT_2PI * nodesPerSd);
  if (!(found < ENOUGH_NODES)) return false;
  let first = 0;
  let last = count - 1;
  while (first < last && !(integrand[first] > negligible * peak)) first++;
  while (last > first && !(integrand[last] > negligible * peak)) last--;
  placeNodes(work, lo + (first - 1) * step, lo + (last + 1) * step, 0.9 * found * step);
  return true;
}

function peakOf({ integrand, count }: Workspace): number {
  let peak = 0;
  for (let k = 0; k < count; k++) if (integrand[k] > peak) peak = integrand[k];
  return peak;
}

/** Nodes from lo to hi, `step` apart or as much more as it takes. */
function placeNodes(work: Workspace, lo: number, hi: number, step: number): void {
  work.lo = lo;
  work.step = Math.max(step, (hi - lo) / (MAX_NODES - 2));
  work.count = Math.ceil((hi - lo) / work.step) + 1;
}

/** First nodes of visit i: where the gauge and each sighting leave something, spaced for the product of all of them. */
function frame(work: Workspace, i: number, accuracy: Accuracy): void {
  const { data, layout, natural, side } = work;
  const reach = reachWithGross(work, i, accuracy.reach);
  const known = work.matched[i] === 1;
  const sigma = known ? work.sigma : side.sd;
  // Between the tops of all factors.
  let lowest = known ? Infinity : side.mean;
  let highest = known ? -Infinity : side.mean;
  if (known) {
    const extra = limbShift(work, i);
    for (let q = data.nodeStart[i]; q < data.nodeStart[i + 1]; q++) {
      const x = side.x[q] + extra;
      if (x < lowest) lowest = x;
      if (x > highest) highest = x;
    }
  }
  // Where no factor has died down.
  let lo = lowest - reach * sigma;
  let hi = highest + reach * sigma;
  // A product of factors is narrower than each: curvatures add.
  let curvature = 1 / (sigma * sigma);
  let twoTops = false;
  let lost = false;
  for (let j = data.sightingStart[i]; j < data.sightingStart[i + 1]; j++) {
    const f = data.sightingFeature[j];
    const K = data.featureKind[f];
    const st = layout.featureStart[f];
    const offset = knownOffset(work, j);
    let s = work.width[f];
    const gross = (data.featureGross?.[f] ?? 0) > 0;
    if (gross) twoTops = true;
    if (K > 0) {
      const k = data.sightingClass[j];
      const far = (reach + (data.link === 1 ? LOGIT_REACH * LOGIT_SD : PROBIT_REACH)) * s;
      if (k > 0) {
        const edge = natural[st + k - 1] - offset;
        if (!gross && edge - far > lo) lo = edge - far;
        if (edge + far > highest) highest = edge + far;
      }
      if (k < K - 1) {
        const edge = natural[st + k] - offset;
        if (!gross && edge + far < hi) hi = edge + far;
        if (edge - far < lowest) lowest = edge - far;
      }
      if (data.link === 1) s *= LOGIT_SD;
    } else {
      const far = (reach + PROBIT_REACH) * s;
      const beta = Math.exp(natural[st + 1]);
      const p = K === LINE ? Infinity : Math.exp(natural[st + 2]);
      const above = data.sightingValue[j] - natural[st];
      const zero = data.centre - offset;
      let from: number;
      let to: number;
      let top = NaN;
      if (K === GROWING) {
        let sd: number;
        ({ from, top, to, sd } = reachOfGrowing(above, { eta: s, far, beta, p }));
        s = GROWING_SD * sd;
        // Below its offset a reading pushes the state up with no end in sight: the top is to be looked for.
        if (!(from === from) && !gross) lost = true;
      } else if (K === SEGMENTS) {
        const rating = segmentReach(work, f, { above, far, s });
        ({ from, to } = rating);
        s = (rating.corner ? CORNER_SD : NUMERIC_SD) * rating.sd;
      } else {
        from = inverseRating(above - far, beta, p);
        to = inverseRating(above + far, beta, p);
        // The rating's slope there, taken a noise higher: a curve that steepens is read more sharply above than below.
        s = (NUMERIC_SD * s) / (K === LINE ? beta : Math.max(beta + (above + s) / p, s / p));
      }
      if (K === GROWING) twoTops = true;
      // A number that may be grossly wrong dies down nowhere; one that speaks of another place altogether is.
      if (gross && (zero + to < lo || zero + from > hi)) continue;
      if (!gross && zero + from > lo) lo = zero + from;
      if (!gross && zero + to < hi) hi = zero + to;
      const tops = K === GROWING ? { low: top, high: top } : { low: from, high: to };
      if (zero + tops.low < lowest) lowest = zero + tops.low;
      if (zero + tops.high > highest) highest = zero + tops.high;
    }
    curvature += 1 / (s * s);
  }
  const narrow = 1 / Math.sqrt(curvature);
  if (!lost && hi - lo > 3 * narrow) placeNodes(work, lo, hi, narrow / accuracy.nodesPerSd);
  else frameContradiction(work, i, { lowest, highest, narrow, accuracy, looks: twoTops ? SCAN_POINTS : 0 });
}

/**
 * Sds out to which the gauge counts: where a sighting may be grossly wrong, all that its sound part stands higher than the gross one
 * has to be fallen first.
 */
function reachWithGross({ data, width }: Workspace, i: number, reach: number): number {
  let square = reach * reach;
  for (let j = data.sightingStart[i]; j < data.sightingStart[i + 1]; j++) {
    const f = data.sightingFeature[j];
    const lambda = data.featureGross?.[f] ?? 0;
    const sharpest = data.featureKind[f] > 0 ? 1 : SQRT_2PI * width[f];
    if (lambda > 0) square += 2 * Math.max(0, -Math.log(sharpest * lambda));
  }
  return Math.sqrt(square);
}

/**
 * y - y0 at which the rating reads `above` more than at y0: p·ln(1 + above/(βp)), above/β for a line (p = Infinity); NaN below its
 * offset.
 */
function inverseRating(above: number, beta: number, p: number): number {
  if (p === Infinity) return above / beta;
  const scaled = 1 + above / (beta * p);
  return scaled > 0 ? p * Math.log(scaled) : NaN;
}

/**
 * Nodes where no value of c suits all factors: around the highest point of their product, found by golden section between their tops (each
 * has one, and so has what little of the product there is), out to where it has died down. A reading whose noise grows with the water
 * can say both that it is right and the
 * others are wrong, and that it was a very bad one: two tops. There the product is looked at in `looks` places first; the section
 * starts around the best of them, and every
 * place that counts belongs to the window.
 */
function frameContradiction(
  work: Workspace,
  i: number,
  {
    lowest,
    highest,
    narrow,
    accuracy,
    looks,
  }: { lowest: number; highest: number; narrow: number; accuracy: Accuracy; looks: number },
): void {
  const apart = (highest - lowest) / Math.max(1, looks - 1);
  const seen = Array.from({ length: looks }, (_, k) => logIntegrand(work, i, lowest + k * apart));
  const best = seen.indexOf(seen.reduce((top, g) => Math.max(top, g), -Infinity));
  let a = looks === 0 ? lowest : lowest + Math.max(0, best - 1) * apart;
  let b = looks === 0 ? highest : lowest + Math.min(looks - 1, best + 1) * apart;
  let c = b - GOLDEN * (b - a);
  let d = a + GOLDEN * (b - a);
  let gc = logIntegrand(work, i, c);
  let gd = logIntegrand(work, i, d);
  for (let n = 0; n < SEARCH_STEPS && b - a > 0.1 * narrow; n++) {
    if (gc > gd) {
      b = d;
      d = c;
      gd = gc;
      c = b - GOLDEN * (b - a);
      gc = logIntegrand(work, i, c);
    } else {
      a = c;
      c = d;
      gc = gd;
      d = a + GOLDEN * (b - a);
      gd = logIntegrand(work, i, d);
    }
  }
  const top = 0.5 * (a + b);
  const fall = -Math.log(accuracy.negligible);
  const enough = logIntegrand(work, i, top) - fall;
  const lo = top - fallAt(work, i, { top, first: -narrow, enough });
  const hi = top + fallAt(work, i, { top, first: narrow, enough });
  const first = seen.findIndex((g) => g > enough);
  const last = seen.findLastIndex((g) => g > enough);
  // A normal falls by that much in √(2·fall) sds: on a steep rating the product is narrower than its factors are at their tops.
  const sd = Math.min(narrow, (hi - lo) / (2 * Math.sqrt(2 * fall)));
  placeNodes(
    work,
    first < 0 ? lo : Math.min(lo, lowest + (first - 1) * apart),
    last < 0 ? hi : Math.max(hi, lowest + (last + 1) * apart),
    sd / accuracy.nodesPerSd,
  );
}

/** How far from `top` in the direction of `first` the ln integrand is below `enough`, to within an eighth. */
function fallAt(
  work: Workspace,
  i: number,
  { top, first, enough }: { top: number; first: number; enough: number },
): number {
  let inside = 0;
  let outside = first;
  for (let n = 0; n < SEARCH_STEPS && logIntegrand(work, i, top + outside) > enough; n++) {
    inside = outside;
    outside *= 2;
  }
  for (let n = 0; n < 3; n++) {
    const middle = 0.5 * (inside + outside);
    if (logIntegrand(work, i, top + middle) > enough) inside = middle;
    else outside = middle;
  }
  return Math.abs(outside);
}
