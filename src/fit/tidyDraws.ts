import { GROWING, LINE, parametersOf, POWER, SEGMENTS, twoSegments } from '../kernel/levelLikelihood.js';
import type { PosteriorDraws } from './drawPosterior.js';
import type { GridProblem } from './gridProblem.js';
import { toNatural } from './parameters.js';
import { ratingWords } from './ratingWords.js';
import type { FittedFeature, LevelFit, RatingForm } from './types.js';

/** The draws by name, in the units that people know: edges and biases in x, sds as sds, ratings as base, a, p. */
export function tidyDraws(problem: GridProblem, posterior: PosteriorDraws): Pick<LevelFit, 'features' | 'draws'> {
  const { aligned, plan } = problem;
  const D = posterior.count;
  const U = plan.size;
  const O = plan.observers;
  const natural = new Float64Array(plan.natural.size);
  const nL = aligned.lagsHours.length;
  const lagHours = new Float64Array(D);
  const storageHours = new Float64Array(D);
  const mismatch = new Float64Array(D);
  const bias = new Float64Array(D * O);
  const limb = new Float64Array(D);
  const holders = aligned.features.map((f) => ({
    edges: new Float64Array(D * Math.max(0, f.classes.length - 1)),
    blur: new Float64Array(D),
    base: new Float64Array(D),
    a: new Float64Array(D),
    p: new Float64Array(D),
    noise: new Float64Array(D),
    base2: new Float64Array(D),
    a2: new Float64Array(D),
    p2: new Float64Array(D),
  }));
  for (let d = 0; d < D; d++) {
    toNatural(plan, posterior.u.subarray(d * U, (d + 1) * U), natural);
    lagHours[d] = aligned.lagsHours[posterior.g[d] % nL];
    storageHours[d] = aligned.storagesHours[Math.floor(posterior.g[d] / nL)];
    mismatch[d] = Math.exp(natural[plan.lnSigma]);
    limb[d] = natural[plan.gamma];
    for (let o = 0; o < O; o++) bias[d * O + o] = natural[plan.bias + o];
    for (let f = 0; f < holders.length; f++) {
      const K = plan.featureKind[f];
      const s = plan.featureStart[f];
      const h = holders[f];
      if (K > 0) {
        for (let k = 0; k < K - 1; k++) h.edges[d * (K - 1) + k] = natural[s + k];
        h.blur[d] = Math.exp(natural[s + K - 1]);
        continue;
      }
      // v + βp(exp((y - y0)/p) - 1) is base + exp((y - a)/p) with base = v - βp and a = y0 - p ln(βp); a line is base + (y - a)/p with p =
      // 1/β.
      const beta = Math.exp(natural[s + 1]);
      if (K !== LINE) {
        const p = Math.exp(natural[s + 2]);
        h.base[d] = natural[s] - beta * p;
        h.a[d] = problem.centre - p * Math.log(beta * p);
        h.p[d] = p;
      } else {
        h.base[d] = natural[s];
        h.a[d] = problem.centre;
        h.p[d] = 1 / beta;
      }
      if (K === SEGMENTS) {
        // m + Sp₂(exp((t - t_b)/p₂) - 1) likewise.
        const { atBreak, breakAt, slope, p2 } = twoSegments(natural, s, problem.likelihood.featureBreak[f]);
        h.base2[d] = natural[s] + atBreak - slope * p2;
        h.a2[d] = problem.centre + breakAt - p2 * Math.log(slope * p2);
        h.p2[d] = p2;
      }
      h.noise[d] = Math.exp(natural[s + parametersOf(K) - 1]);
    }
  }
  const alone = aligned.features.length === 1;
  const features = aligned.features.map((f, i): FittedFeature => {
    const h = holders[i];
    const numeric = f.classes.length === 0;
    return Object.freeze({
      id: f.id,
      name: f.name,
      classes: f.classes,
      ...(f.unit === undefined ? {} : { unit: f.unit }),
      edges: h.edges,
      blur: numeric ? new Float64Array(0) : h.blur,
      ...(numeric
        ? {
            rating: Object.freeze({
              form: plan.featureKind[i] === LINE ? ('line' as const) : ('power' as const),
              base: h.base,
              a: h.a,
              p: h.p,
              noise: h.noise,
              gross: problem.likelihood.featureGross[i],
              ...(plan.featureKind[i] === SEGMENTS && {
                upper: Object.freeze({
                  breakAt: problem.centre + problem.likelihood.featureBreak[i],
                  base: h.base2,
                  a: h.a2,
                  p: h.p2,
                }),
              }),
              noiseForm: plan.featureKind[i] === GROWING ? ('growing' as const) : ('constant' as const),
              noiseAt: problem.centre,
              ...chosen(problem, i),
            }),
          }
        : problem.likelihood.featureGross[i] > 0
          ? { gross: problem.likelihood.featureGross[i] }
          : {}),
      sharesMismatch: alone,
    });
  });
  return {
    features: Object.freeze(features),
    draws: Object.freeze({
      count: D,
      lagHours,
      storageHours,
      mismatch,
      observerSd: posterior.omega,
      bias,
      limb,
      visitLogLik: posterior.visitLogLik,
    }),
  };
}

const FORM_OF: ReadonlyMap<number, RatingForm> = new Map([
  [POWER, 'power'],
  [LINE, 'line'],
  [GROWING, 'growing'],
  [SEGMENTS, 'segments'],
]);

/** How the form of a numeric feature was chosen, in numbers and words. */
function chosen({ plan, options }: GridProblem, feature: number) {
  const evidence = options.ratingEvidence?.get(feature);
  return {
    formLogBayesFactor: evidence?.powerOverLine ?? NaN,
    noiseLogBayesFactor: evidence?.growingOverConstant ?? NaN,
    breakLogBayesFactor: evidence?.breakOverOne ?? NaN,
    ...ratingWords(FORM_OF.get(plan.featureKind[feature])!, evidence),
  };
}
