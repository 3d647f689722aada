import { fixed, share } from '../../series/format.js';
import { fitLevels } from '../fitLevels.js';
import { gridEstimate, type Estimate } from '../../kernel/estimate.js';
import { LIMB_LOG_BAYES_FACTOR } from '../termEvidence.js';
import type { FitStatus, LevelFit, Link } from '../types.js';
import { alignFlowLag, type FlowLagAligned, type FlowLagOptions } from './alignFlowLag.js';

/** Does the lag shorten as flow grows? */
export interface FlowLag {
  readonly kind: 'flow-lag';
  readonly status: FitStatus;
  readonly visits: number;
  /** The lag at `flowAt`, hours. */
  readonly lag: Estimate;
  /** m, averaged over m = 0 as well. */
  readonly exponent: Estimate;
  /** Posterior probability of each exponent tried. */
  readonly exponents: readonly { readonly exponent: number; readonly probability: number }[];
  readonly flowAt: number;
  /** ln of how much likelier the visits are with a lag that shortens than with one lag for all flows; within ±13.8. */
  readonly logBayesFactor: number;
  /** True above ln 20: below that it is noise that people would have to compute with. */
  readonly kept: boolean;
  readonly sentence: string;
  readonly aligned: FlowLagAligned;
  readonly fit: LevelFit;
}

/**
 * Judges a lag that depends on the flow, L = L0·(Q/Q0)^-m, against one lag for all flows, by the evidence of the visits. A variant: charts
 * use one lag.
 *
 * @param input as for `alignVisits`. @param options.draws of the fit; default 300.
 * @param options.seed default 1. @param options.link default 'probit'. The rest as in `alignFlowLag`.
 * @returns with too few visits a status and NaN; `kept` false.
 * @example flowLag({ creek, run, record, visits }).sentence
 */
export function flowLag(
  input: Parameters<typeof alignFlowLag>[0],
  {
    draws = 300,
    seed = 1,
    link = 'probit',
    ...options
  }: FlowLagOptions & { readonly draws?: number; readonly seed?: number; readonly link?: Link } = {},
): FlowLag {
  const flow = alignFlowLag(input, options);
  const { aligned, configurations, gridPrior } = flow;
  const { effective } = fitLevels(aligned, {
    gridPrior,
    draws,
    seed,
    link,
    modes: ['effective'],
    leadHours: options.leadHours ?? 0,
  });
  const nL = aligned.lagsHours.length;
  const exponentAt = (g: number): number => configurations[Math.floor(g / nL)].exponent;
  const { probability } = effective.grid;
  const exponents = [...new Set(configurations.map((c) => c.exponent))].map((exponent) =>
    Object.freeze({
      exponent,
      probability: probability.reduce((sum, p, g) => sum + (exponentAt(g) === exponent ? p : 0), 0),
    }),
  );
  // The prior gives half to m = 0, so that the odds are the Bayes factor.
  const fixed = exponents.find((e) => e.exponent === 0)!.probability;
  const drawn = effective.draws.count > 0;
  const logBayesFactor = drawn && exponents.length > 1 ? Math.log(odds(1 - fixed)) - Math.log(odds(fixed)) : NaN;
  const body = {
    lag: gridEstimate(probability, { of: (g) => aligned.lagsHours[g % nL] }),
    exponent: gridEstimate(probability, { of: exponentAt }),
    logBayesFactor,
    kept: logBayesFactor > LIMB_LOG_BAYES_FACTOR,
  };
  return Object.freeze({
    kind: 'flow-lag' as const,
    status: effective.status,
    visits: aligned.visitIds.length,
    exponents: Object.freeze(exponents),
    flowAt: flow.flowAt,
    ...body,
    sentence: drawn ? sentenceOf(body, exponents) : effective.statusSentence,
    aligned: flow,
    fit: effective,
  });
}

/** Points far below the best are not fitted and have no weight: a share is known to about a millionth. */
function odds(share: number): number {
  return Math.max(share, 1e-6);
}

function sentenceOf(
  { lag, exponent, logBayesFactor, kept }: Pick<FlowLag, 'lag' | 'exponent' | 'logBayesFactor' | 'kept'>,
  exponents: FlowLag['exponents'],
): string {
  if (exponents.length < 2) return 'Only one lag for all flows was tried.';
  const ratio = Math.exp(Math.abs(logBayesFactor));
  const times = ratio > 1000 ? 'over 1000' : fixed(ratio, ratio < 10 ? 1 : 0);
  if (kept)
    return (
      `The lag shortens as the flow grows: about ${fixed(lag.median, 1)} h at a usual visit, and with four ` +
      `times the flow ${share(4 ** -exponent.median)} of it. The visits are ${times} times as ` +
      'likely that way.'
    );
  if (ratio < 1.2)
    return 'The visits can not tell whether the lag shortens as the flow grows: one lag for all flows will do.';
  return logBayesFactor >= 0
    ? `One lag for all flows will do: that it shortens with the flow makes the visits only ${times} times as likely.`
    : `One lag for all flows fits better: the visits are ${times} times as likely without a lag that shortens.`;
}
