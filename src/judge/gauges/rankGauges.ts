import type { Aligned } from '../../align/types.js';
import { fitLevels } from '../../fit/fitLevels.js';
import type { FitMode, LevelFit, Link } from '../../fit/types.js';
import { splitSeed } from '../../kernel/random.js';
import { CAUTIONS } from '../../series/cautions.js';
import type { DerivedGauge } from '../../series/creek.js';
import { floodScores } from '../skill.js';
import { chosenWay, floodSeed, waysOfReading } from '../waysOfReading.js';
import { chooseGauge, type Choice } from './chooseGauge.js';
import { combineGauges, derivedMean } from './combineGauges.js';
import { commonVisits } from './commonVisits.js';
import { CLEARLY, drawnSums, floodDraws, probabilityBetter } from './compareScores.js';
import { bestFirst, leftOutOf, rankList, scoreFit, type Scored } from './rankList.js';
import { choiceSentence, confirmReason, rankReason } from './rankWords.js';
import type { GaugeAside, GaugeCandidate, GaugeChoice, GaugeRanking } from './types.js';

export interface RankOptions {
  /** Hours before the sighting at which the last reading may be taken; default 0. */
  readonly leadHours?: number;
  /** Default 1. */
  readonly seed?: number;
  /** Draws of each fit; default 400. */
  readonly draws?: number;
  /** Default 'probit'. */
  readonly link?: Link;
  /**
   * Weighted means are tried of the best this many plain gauges that warn, two at a time and all of the first three; 0 or 1: none. Default
   * 4.
   */
  readonly combine?: number;
  readonly onProgress?: (progress: { readonly done: number; readonly total: number; readonly label: string }) => void;
}

/** The creek leads where that is likelier than not. */
const LEADS = 0.5;

/**
 * Ranks gauges for a run: single ones, derived ones, and weighted means of the best of them, by ranked probability skill on floods left
 * out, all on the same visits and floods, each by the way that its chart is read.
 *
 * Gauges that only confirm are ranked apart, by what they say afterwards: the creek leads them (lag below 0 likelier than not for the
 * single reading, over both signs), and reading them afterwards is clearly better than reading them before, which says nothing sure.
 * Comparisons draw the same floods for all. The order is that of the scores; `choice` follows a rule that luck does not lead (see
 * `chooseGauge`) and states the skill of the rule on floods that had no part in it.
 *
 * Which gauges are combined, and how, is decided by the scores of all floods: that one step is not repeated flood by flood. What a logger
 * says of the lag enters the single candidates' fits (`gridPrior`).
 *
 * @param candidates from the same visits; those whose record misses too many visits, or that can't be fitted, stand aside with a reason.
 * @returns empty lists where nothing can be scored.
 * @throws RangeError for two candidates of one id or of different runs, or a lead beyond all lags.
 * @example rankGauges([{ id: 'weir', name: 'the weir', kind: 'single', aligned }], { leadHours: 2 }).choice.sentence
 */
export function rankGauges(candidates: readonly GaugeCandidate[], options: RankOptions = {}): GaugeRanking {
  return rankAndPropose(candidates, options).ranking;
}

/**
 * A ranking, and the weighted mean that it would choose: to be derived, fitted, judged and ranked again as any gauge before anybody is
 * told to read it.
 */
export interface RankedWithProposal {
  readonly ranking: GaugeRanking;
  readonly proposal: DerivedGauge | null;
}

export function rankAndPropose(
  candidates: readonly GaugeCandidate[],
  { leadHours = 0, seed = 1, draws = 400, link = 'probit', combine = 4, onProgress }: RankOptions = {},
): RankedWithProposal {
  checkCandidates(candidates);
  const common = commonVisits(candidates);
  const aside: GaugeAside[] = [...common.aside];
  const warning: Scored[] = [];
  const confirming: Scored[] = [];
  const fitOf = (aligned: Aligned, { modes, gridPrior }: { modes: readonly FitMode[]; gridPrior?: Float64Array }) =>
    fitLevels(aligned, {
      leadHours,
      link,
      draws,
      modes,
      seed: splitSeed(seed, `rank/${aligned.gauge}`),
      ...(gridPrior !== undefined && { gridPrior }),
    });
  // All or none: a gauge that was fitted to more visits than another would be compared unfairly.
  const standing = common.candidates.every((candidate) => stands(candidate, { leadHours, link }));
  const members = new Map<Scored, { aligned: Aligned; fit: LevelFit }>();
  common.candidates.forEach((candidate, i) => {
    const { id, name, kind, sources = [id], gridPrior, fitted } = candidate;
    onProgress?.({ done: i, total: common.candidates.length, label: name });
    const { flood } = candidate.aligned;
    const aligned = standing ? { ...fitted!.aligned, flood } : candidate.aligned;
    const both: readonly FitMode[] = ['one-reading', 'effective'];
    const modes: readonly FitMode[] = aligned.lagsHours[0] < 0 ? [...both, 'any-lag'] : both;
    const fits = standing ? fitted!.fits : fitOf(aligned, { modes, ...(gridPrior !== undefined && { gridPrior }) });
    const creekLeads = probabilityCreekLeads(fits['any-lag']);
    const own = chosenWay(waysOfReading(aligned, fits, { seed }))?.fit;
    const before = own === undefined ? null : scoreFit(own, aligned, { seed });
    const later = creekLeads > LEADS ? scoreFit(fits['any-lag'], aligned, { seed }) : null;
    const moreAfterwards = later !== null && (before === null || clearlyBetter(later, before, { seed }));
    const known = { id, name, kind, sources, creekLeads, moreAfterwards };
    if (moreAfterwards && !((before?.skill.againstFrequencies.i80[0] ?? 0) > 0))
      confirming.push({ ...known, ...later, atLead: before?.skill ?? null });
    else if (before !== null) {
      const scored = { ...known, ...before, atLead: null };
      warning.push(scored);
      if (kind === 'single') members.set(scored, { aligned, fit: fits.effective });
    } else aside.push({ id, name, reason: asideReason(fits.effective) });
  });
  for (const some of combinations(bestFirst([...members.keys()]).slice(0, combine))) {
    const combined = combineGauges(some.map((one) => members.get(one)!));
    const { effective } = fitOf(combined.aligned, { modes: ['effective'] });
    const scored = scoreFit(effective, combined.aligned, { seed });
    if (scored === null) continue;
    const { id, name } = combined;
    const sources = some.flatMap((one) => one.sources);
    const plainly = { creekLeads: null, moreAfterwards: false, atLead: null };
    warning.push({ id, name, kind: 'combined', sources, ...plainly, combined, ...scored });
  }

  const ranked = rankList(warning, { seed });
  const apart = rankList(confirming, { seed });
  const choice = choose(ranked.ordered, { seed });
  const told = toldChoice(ranked.ordered, choice);
  const won = ranked.ordered[choice?.chosen ?? -1];
  const ranking: GaugeRanking = {
    kind: 'gauge-ranking',
    run: candidates[0]?.aligned.run ?? '',
    leadHours,
    visits: common.visits,
    floods: (warning[0] ?? confirming[0])?.scores.floods.length ?? 0,
    warning: ranked.rows.map((row, i) => {
      const known = { ...row, gain: choice?.gains[i] ?? null };
      return { ...known, reason: rankReason(known, { first: ranked.rows[0].name, plain: told.plain?.name ?? null }) };
    }),
    confirming: apart.rows.map((row) => ({ ...row, gain: null, reason: confirmReason(row, { leadHours }) })),
    beats: ranked.beats,
    choice: { ...told, sentence: choiceSentence(told, { candidates: ranked.ordered.length }) },
    aside,
    cautions: CAUTIONS,
  };
  const proposal =
    won?.combined === undefined
      ? null
      : derivedMean(won.combined, won.combined.configurations[won.fit.reading.storageHours]);
  return { ranking, proposal };
}

/** Were a candidate's fits made of the visits that it has here, for the same lead? */
function stands({ aligned, fitted }: GaugeCandidate, { leadHours, link }: { leadHours: number; link: Link }): boolean {
  if (fitted === undefined) return false;
  const { effective } = fitted.fits;
  const same = fitted.aligned.visitIds.length === aligned.visitIds.length;
  return same && effective.leadHours === leadHours && effective.link === link;
}

function checkCandidates(candidates: readonly GaugeCandidate[]): void {
  const ids = new Set<string>();
  for (const { id, aligned } of candidates) {
    if (ids.has(id)) throw new RangeError(`rankGauges: two candidates have the id '${id}'`);
    ids.add(id);
    if (aligned.run !== candidates[0].aligned.run)
      throw new RangeError(
        `rankGauges: '${id}' belongs to run '${aligned.run}', the first to '${candidates[0].aligned.run}'`,
      );
  }
}

/** P(lag < 0) of the fit over both signs; 0 where it was not made. */
function probabilityCreekLeads({ draws }: LevelFit): number {
  let below = 0;
  for (const lag of draws.lagHours) if (lag < 0) below++;
  return draws.count === 0 ? 0 : below / draws.count;
}

/** Does a reading taken afterwards clearly say more than one before going? */
function clearlyBetter(
  later: Pick<Scored, 'scores'>,
  before: Pick<Scored, 'scores'>,
  { seed }: { seed: number },
): boolean {
  const draws = floodDraws(before.scores.floods.length, { seed: floodSeed(seed) });
  const [a, b] = drawnSums([later.scores.scores, before.scores.scores], draws);
  return probabilityBetter(a, b) >= CLEARLY;
}

function asideReason(fit: LevelFit): string {
  return fit.draws.count > 0 ? 'Nobody gave a verdict that could be scored.' : fit.statusSentence;
}

/** Two at a time, and the first three together; of discharges, whose mean is a discharge. */
function combinations(best: readonly Scored[]): Scored[][] {
  const flows = best.filter(({ aligned }) => aligned.parameter === 'discharge');
  const pairs = flows.flatMap((a, i) => flows.slice(i + 1).map((b) => [a, b]));
  return flows.length >= 3 ? [...pairs, flows.slice(0, 3)] : pairs;
}

function choose(ordered: readonly Scored[], { seed }: { seed: number }): Choice | null {
  if (ordered.length === 0) return null;
  const base = floodScores(leftOutOf(ordered[0].scores)).frequencies;
  return chooseGauge(
    ordered.map(({ kind, sources, scores }) => ({ plain: kind === 'single', gauges: sources.length, scores })),
    { base, draws: floodDraws(base.length, { seed: floodSeed(seed) }), seed: floodSeed(seed) },
  );
}

function toldChoice(ordered: readonly Scored[], choice: Choice | null): Omit<GaugeChoice, 'sentence'> {
  const unknown = { value: null, i80: [null, null] } as const;
  if (choice === null)
    return { id: null, name: null, why: 'no-gauge', plain: null, gain: null, skill: unknown, sameChoice: null };
  const { chosen, plain, gains, skill, sameChoice } = choice;
  const named = (at: number) => (at < 0 ? null : { id: ordered[at].id, name: ordered[at].name });
  const known = { plain: named(plain), gain: gains[chosen] ?? null, skill, sameChoice };
  if (chosen < 0) return { id: null, name: null, why: 'none-reliable', ...known };
  const why = ordered.length === 1 ? 'only-one' : ordered[chosen].kind === 'single' ? 'best-single' : 'clear-gain';
  return { id: ordered[chosen].id, name: ordered[chosen].name, why, ...known };
}
