import { choleskyInverse, choleskySolve, conditionNumber } from '../kernel/cholesky.js';
import { logisticQuantile } from '../kernel/logistic.js';
import { maximise, type MaximumDiary, type Objective } from '../kernel/newton.js';
import { normalQuantile } from '../kernel/normal.js';
import { checkedRows, type CheckedRows, type CumulativeLinkData } from './cumulativeLinkData.js';
import { mixedObjective, type MixedObjective } from './cumulativeLinkMixed.js';
import {
  cumulativeObjective,
  emptyCuts,
  fillCuts,
  parameterBlocks,
  type CumulativeRows,
} from './cumulativeLinkRows.js';
import type { FitStatus, Link } from './types.js';

export interface CumulativeLinkOptions {
  /** F. Default probit. */
  readonly link?: Link;
  /** `equidistant`: θ_k = start + (k - 1)·spacing, for 3 classes or more. Default `free`. */
  readonly thresholds?: 'free' | 'equidistant';
  /** Nodes of the adaptive quadrature over the random intercept; 1 is Laplace's approximation. Default 15. */
  readonly nodes?: number;
  /** Holds the random intercept's standard deviation here in place of estimating it (for a profile). */
  readonly heldSd?: number;
  /** Default 200. */
  readonly maxIterations?: number;
}

/** One estimated term. Standard errors are NaN unless the fit converged. */
export interface CumulativeLinkTerm {
  /** Threshold: `low|good`, the classes it parts; its own effect of a covariate: `low|good.name`; else the covariate. */
  readonly term: string;
  readonly part: 'threshold' | 'nominal' | 'location' | 'scale' | 'sd';
  readonly estimate: number;
  readonly standardError: number;
}

/** A fitted cumulative link model. */
export interface CumulativeLinkFit {
  readonly kind: 'cumulative-link-fit';
  readonly status: Exclude<FitStatus, 'constant-gauge'>;
  readonly statusSentence: string;
  readonly link: Link;
  /** Classes as given; the thresholds part those of them that were seen. */
  readonly classes: readonly string[];
  readonly classesSeen: readonly string[];
  /** P rows: thresholds, nominal, location, scale, then the random intercept's standard deviation. */
  readonly terms: readonly CumulativeLinkTerm[];
  /** θ, one between each two seen neighbours. */
  readonly thresholds: Float64Array;
  /** P × P, row-major, in the order of `terms`: inverse of the observed information. */
  readonly covariance: Float64Array;
  readonly logLik: number;
  readonly aic: number;
  /** Sum of the frequencies. */
  readonly observations: number;
  readonly randomIntercept?: {
    readonly sd: number;
    readonly nodes: number;
    /** Mode and variance of each group's intercept given its rows. */
    readonly modes: Float64Array;
    readonly variances: Float64Array;
  };
  /** The optimiser's diary. */
  readonly iterations: number;
  /** Largest absolute gradient. */
  readonly gradient: number;
  /** Condition number (1-norm) of the observed information, its diagonal scaled to 1 so that units don't matter. */
  readonly condition: number;
}

/** A cut that Newton's next step would still move by more than this, at a vanishing gradient, runs off to infinity. */
const RUNAWAY = 1e-3;

/** Beyond this scaled condition number a pivot is rounding: some terms repeat each other. */
const COLLINEAR = 1e13;

const SENTENCES: Readonly<Record<CumulativeLinkFit['status'], string>> = {
  converged: 'The fit converged.',
  separated:
    'Separated: the covariates part some classes without error, so the likelihood keeps rising as terms grow without bound; their estimates mean nothing, the log-likelihood is its limit.',
  singular: 'Singular: the data do not determine all terms (a covariate repeats another one or is constant).',
  'iteration-limit': 'The iterations ran out before the fit converged.',
  'too-few-rows': 'Fewer than two classes were seen: there is no threshold to estimate.',
};

/**
 * Fits a cumulative link model by maximum likelihood:
 *
 *   P(class ≤ k) = F((θ_k + zᵀδ_k - xᵀβ - u)/exp(wᵀζ)),  u ~ N(0, sd²) shared by a group.
 *
 * Positive β: larger x, higher classes. Newton's method on exact derivatives; with a random intercept adaptive Gauss-Hermite
 * quadrature, exact gradient, Hessian by its differences. Standard errors from the observed information.
 * Model and sign convention: P. McCullagh, "Regression models for ordinal data", J. R. Statist. Soc. B 42 (1980) 109-142;
 * A. Agresti, Analysis of Ordinal Categorical Data (2nd ed. 2010).
 *
 * Classes nobody saw have no threshold of their own and are left out (`classesSeen`). With fewer than two seen the status is
 * `too-few-rows`. Where a direction exists along which no row's probability ever falls, the maximum lies at infinity and
 * the status is `separated` (the cone condition of A. Albert & J. A. Anderson, Biometrika 71 (1984) 1-10, for cumulative
 * models).
 * @param data n rows
 * @throws TypeError, RangeError for lengths that differ, values that are not finite, indices out of range
 * @example
 * fitCumulativeLink(
 *   { classes: ['low', 'good', 'high'], classIndex: Int32Array.of(0, 1, 0, 2, 1, 2), location: { x: Float64Array.of(1, 2, 3, 4, 5, 6) } },
 *   { link: 'logit' },
 * ).terms[2].estimate // 1.1…
 */
export function fitCumulativeLink(
  data: CumulativeLinkData,
  { link = 'probit', thresholds = 'free', nodes = 15, heldSd, maxIterations = 200 }: CumulativeLinkOptions = {},
): CumulativeLinkFit {
  const checked = checkedRows(data, { link, thresholds });
  if (checked.rows.classes < 2) return tooFewRows(checked, link);
  const { rows } = checked;
  const plain = maximise(cumulativeObjective(rows), startingPoint(rows), { maxIterations });
  if (checked.group === undefined)
    return assemble(checked, { diary: plain, objective: cumulativeObjective(rows), link });
  const mixed = mixedObjective(rows, { group: checked.group, groups: checked.groups, nodes, heldSd });
  const start = heldSd === undefined ? Float64Array.of(...plain.point, 0.5) : plain.point;
  const diary = maximise(mixed.objective, start, { maxIterations, maxStep: 2 });
  return assemble(checked, { diary, objective: mixed.objective, link, mixed, nodes, heldSd });
}

/** No covariate does anything: thresholds at the quantiles of the cumulative shares. */
function startingPoint(rows: CumulativeRows): Float64Array {
  const point = new Float64Array(parameterBlocks(rows).count);
  const counts = new Float64Array(rows.classes);
  let total = 0;
  for (let i = 0; i < rows.n; i++) {
    counts[rows.classIndex[i]] += rows.weights[i];
    total += rows.weights[i];
  }
  const theta = new Float64Array(rows.classes - 1);
  let below = 0;
  for (let k = 0; k < theta.length; k++) {
    below += counts[k];
    theta[k] = (rows.link === 0 ? normalQuantile : logisticQuantile)(below / total);
  }
  if (rows.equidistant) {
    point[0] = theta[0];
    point[1] = (theta[theta.length - 1] - theta[0]) / (theta.length - 1);
  } else point.set(theta);
  return point;
}

interface Outcome {
  readonly diary: MaximumDiary;
  readonly objective: Objective;
  readonly link: Link;
  readonly mixed?: MixedObjective;
  readonly nodes?: number;
  readonly heldSd?: number;
}

function assemble(
  checked: CheckedRows,
  { diary, objective, link, mixed, nodes = 1, heldSd }: Outcome,
): CumulativeLinkFit {
  const { rows } = checked;
  const P = diary.point.length;
  const point = diary.point.slice();
  const covariance = new Float64Array(P * P).fill(NaN);
  const status = judge(rows, diary, objective);
  if (status === 'converged' && diary.factor) choleskyInverse(diary.factor, P, covariance);
  const withSd = mixed !== undefined && heldSd === undefined;
  // The likelihood is even in the standard deviation: only the sign convention makes it positive.
  const turned = withSd && point[P - 1] < 0;
  if (turned) {
    point[P - 1] = -point[P - 1];
    for (let q = 0; q < P - 1; q++) {
      covariance[q * P + P - 1] = -covariance[q * P + P - 1];
      covariance[(P - 1) * P + q] = -covariance[(P - 1) * P + q];
    }
  }
  const sd = heldSd ?? point[P - 1];
  const groups = mixed?.modes(diary.point);
  const names = checked.names(withSd);
  return Object.freeze({
    kind: 'cumulative-link-fit',
    status,
    statusSentence: SENTENCES[status],
    link,
    classes: checked.classes,
    classesSeen: checked.classesSeen,
    terms: Object.freeze(
      names.map((name, q) =>
        Object.freeze({ ...name, estimate: point[q], standardError: Math.sqrt(covariance[q * P + q]) }),
      ),
    ),
    thresholds: rows.equidistant
      ? Float64Array.from({ length: rows.classes - 1 }, (_, k) => point[0] + k * point[1])
      : point.slice(0, rows.classes - 1),
    covariance,
    logLik: diary.value,
    aic: 2 * P - 2 * diary.value,
    observations: rows.weights.reduce((sum, w) => sum + w, 0),
    ...(groups && {
      randomIntercept: Object.freeze({
        sd,
        nodes,
        modes: groups.mode.map((v) => (turned ? -1 : 1) * sd * v),
        variances: groups.variance.map((s) => sd * sd * s),
      }),
    }),
    iterations: diary.iterations,
    gradient: diary.gradient,
    condition: scaledCondition(diary.hessian, P),
  });
}

function scaledCondition(hessian: Float64Array, P: number): number {
  const size = Float64Array.from({ length: P }, (_, q) => Math.sqrt(Math.abs(hessian[q * P + q])));
  return conditionNumber(
    hessian.map((h, at) => -h / (size[Math.floor(at / P)] * size[at % P])),
    P,
  );
}

/** What the optimiser calls converged may be the flat far end of a likelihood that never stops rising. */
function judge(rows: CumulativeRows, diary: MaximumDiary, objective: Objective): CumulativeLinkFit['status'] {
  if (diary.factor === undefined) return diary.status;
  const P = diary.point.length;
  const step = new Float64Array(P);
  objective(diary.point, step);
  choleskySolve(diary.factor, P, step);
  const reach = cutMoves(rows, diary.point, step);
  if (scaledCondition(diary.hessian, P) > COLLINEAR) return 'singular';
  if (reach.furthest <= RUNAWAY) return diary.status;
  return reach.neverFalls ? 'separated' : diary.status === 'converged' ? 'singular' : diary.status;
}

/**
 * How a step moves the cuts: the furthest move, and whether every row's upper cut rises or stays and its lower cut falls or
 * stays, so that no row's probability falls however far one goes on in that direction.
 */
function cutMoves(
  rows: CumulativeRows,
  p: Float64Array,
  step: Float64Array,
): { furthest: number; neverFalls: boolean } {
  const blocks = parameterBlocks(rows);
  const cuts = emptyCuts(blocks.count);
  let furthest = 0;
  let worst = 0;
  for (let i = 0; i < rows.n; i++) {
    if (rows.weights[i] === 0) continue;
    fillCuts(cuts, rows, { blocks, i, p, u: 0 });
    let down = 0;
    let up = 0;
    for (let q = 0; q < blocks.scale; q++) {
      down -= cuts.da[q] * step[q];
      up += cuts.db[q] * step[q];
    }
    furthest = Math.max(furthest, Math.abs(down), Math.abs(up));
    worst = Math.min(worst, down, up);
  }
  return { furthest, neverFalls: worst >= -1e-4 * furthest };
}

function tooFewRows(checked: CheckedRows, link: Link): CumulativeLinkFit {
  return Object.freeze({
    kind: 'cumulative-link-fit',
    status: 'too-few-rows',
    statusSentence: SENTENCES['too-few-rows'],
    link,
    classes: checked.classes,
    classesSeen: checked.classesSeen,
    terms: Object.freeze([]),
    thresholds: new Float64Array(0),
    covariance: new Float64Array(0),
    logLik: NaN,
    aic: NaN,
    observations: checked.rows.weights.reduce((sum, w) => sum + w, 0),
    iterations: 0,
    gradient: NaN,
    condition: NaN,
  });
}
