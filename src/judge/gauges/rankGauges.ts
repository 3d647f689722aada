import type { Aligned } from '../../align/types.js';
import { fitLevels } from '../../fit/fitLevels.js';
import type { FitMode, LevelFit, Link } from '../../fit/types.js';
import { splitSeed } from '../../kernel/random.js';
import { CAUTIONS } from '../../series/cautions.js';
import { floodScores } from '../skill.js';
import type { Skill } from '../types.js';
import { floodSeed } from '../waysOfReading.js';
import { chooseGauge } from './chooseGauge.js';
import { combineGauges } from './combineGauges.js';
import { commonVisits } from './commonVisits.js';
import { CLEARLY, drawnSums, floodDraws, probabilityBetter } from './compareScores.js';
import { bestFirst, leftOutOf, rankList, scoreCandidate, type RankedList, type Scored } from './rankList.js';
import { choiceSentence, confirmReason, rankReason } from './rankWords.js';
import type { FittedCandidate, GaugeAside, GaugeCandidate, GaugeRanking, RankedGauge } from './types.js';

export interface RankOptions {
  /** Hours before the sighting at which the last reading may be taken; default 0. */
  readonly leadHours?: number;
  /** Default 1. */
  readonly seed?: number;
  /** Draws of each fit; default 400. */
  readonly draws?: number;
  /** Default 'probit'. */
  readonly link?: Link;
  /** Weighted means are made of the best this many gauges that warn, two at a time and all of the first three; 0 or 1: none. Default 4. */
  readonly combine?: number;
  readonly onProgress?: (progress: { readonly done: number; readonly total: number; readonly label: string }) => void;
}

/** The creek leads where that is likelier than not. */
const LEADS = 0.5;

/**
 * Ranks gauges for a run: single ones, derived ones, and weighted means of the best of them, by ranked probability skill on floods left out, all on the same visits
 * and floods.
 *
 * Gauges that only confirm are ranked apart, by what they say afterwards: the creek leads them (lag below 0 likelier than not for the single reading, over both signs), and
 * reading them afterwards is clearly better than reading them before, which says nothing sure. Comparisons draw the same floods for all. The order is that of the scores; `choice` follows a rule that luck does not lead (see `chooseGauge`) and states the skill of the rule on
 * floods that had no part in it.
 *
 * Which gauges are combined is decided by the scores of all floods: that one step is not repeated flood by flood. What a logger says of the lag enters the single
 * candidates' fits (`gridPrior`); a mean takes its lags and storages from those fits, and has a flat prior over its own grid.
 *
 * @param candidates from the same visits; those whose record misses too many visits, or that can't be fitted, stand aside with a reason.
 * @returns frozen; empty lists where nothing can be scored.
 * @throws RangeError for two candidates of one id or of different runs, or a lead beyond all lags.
 * @example rankGauges([{ id: 'weir', name: 'the weir', kind: 'single', aligned }], { leadHours: 2 }).choice.sentence
 */
export function rankGauges(candidates: readonly GaugeCandidate[], options: RankOptions = {}): GaugeRanking {
  return rankWithFits(candidates, options).ranking;
}

/** A ranking, and the fit behind its choice for people who want to go on from there; null where nothing was chosen. */
export interface RankedFits {
  readonly ranking: GaugeRanking;
  readonly chosen: FittedCandidate | null;
}

/** What `rankGauges` does, with the fit of the chosen candidate kept. */
export function rankWithFits(
  candidates: readonly GaugeCandidate[],
  { leadHours = 0, seed = 1, draws = 400, link = 'probit', combine = 4, onProgress }: RankOptions = {},
): RankedFits {
  checkCandidates(candidates);
  const common = commonVisits(candidates);
  const aside: GaugeAside[] = [...common.aside];
  const warning: Scored[] = [];
  const confirming: { scored: Scored; atLead: Skill | null }[] = [];
  const saysMoreAfterwards = new Set<string>();
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
  common.candidates.forEach((candidate, i) => {
    const { id, name, kind, sources = [id], gridPrior, fitted } = candidate;
    onProgress?.({ done: i, total: common.candidates.length, label: name });
    const { flood } = candidate.aligned;
    const aligned = standing ? Object.freeze({ ...fitted!.aligned, flood }) : candidate.aligned;
    const modes: readonly FitMode[] = aligned.lagsHours[0] < 0 ? ['effective', 'any-lag'] : ['effective'];
    const fits = standing ? fitted!.fits : fitOf(aligned, { modes, ...(gridPrior !== undefined && { gridPrior }) });
    const creekLeads = probabilityCreekLeads(fits['any-lag']);
    const scoredBy = (fit: LevelFit): Scored | null =>
      scoreCandidate({ id, name, kind, sources, aligned, fit, creekLeads }, { seed });
    const atLead = scoredBy(fits.effective);
    const afterwards = creekLeads > LEADS ? scoredBy(fits['any-lag']) : null;
    const more = afterwards !== null && clearlyMore(afterwards, atLead, { seed });
    if (more && saysNothingSure(atLead)) confirming.push({ scored: afterwards, atLead: atLead?.skill ?? null });
    else if (atLead !== null) {
      warning.push(atLead);
      if (more) saysMoreAfterwards.add(id);
    } else aside.push({ id, name, reason: asideReason(fits.effective) });
  });
  for (const members of combinations(bestFirst(warning).slice(0, combine))) {
    const combined = combineGauges(members, {
      id: members.map((m) => m.id).join('+'),
      name: members.map((m) => m.name).join(' with '),
    });
    const scored = scoreCandidate(
      {
        id: combined.id,
        name: combined.name,
        kind: 'combined',
        sources: members.flatMap((m) => m.sources),
        aligned: combined.aligned,
        fit: fitOf(combined.aligned, { modes: ['effective'] }).effective,
        creekLeads: null,
        combined,
      },
      { seed },
    );
    if (scored !== null) warning.push(scored);
  }

  const ranked = rankList(warning, { seed });
  const apart = rankList(
    confirming.map((c) => c.scored),
    { seed },
  );
  const choice = choiceOf(ranked.ordered, { seed });
  const ranking: GaugeRanking = Object.freeze({
    kind: 'gauge-ranking' as const,
    run: candidates[0]?.aligned.run ?? '',
    leadHours,
    visits: common.visits,
    floods: warning[0]?.scores.floods.length ?? confirming[0]?.scored.scores.floods.length ?? 0,
    warning: Object.freeze(
      ranked.rows.map((row) =>
        Object.freeze({
          ...row,
          reason: rankReason(row, {
            first: ranked.rows[0].name,
            moreAfterwards: saysMoreAfterwards.has(row.id),
            ...partOf(row, ranked),
          }),
        }),
      ),
    ),
    confirming: Object.freeze(
      apart.rows.map((row) => {
        const { atLead } = confirming.find((c) => c.scored.id === row.id)!;
        return Object.freeze({
          ...row,
          reason: confirmReason({ ...row, creekLeads: row.creekLeads! }, { leadHours, atLead }),
        });
      }),
    ),
    beats: ranked.beats,
    choice,
    aside: Object.freeze(aside),
    cautions: CAUTIONS,
  });
  return { ranking, chosen: ranked.ordered.find(({ id }) => id === choice.id) ?? null };
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

/** Does a gauge that the creek leads clearly say more afterwards than before going? */
function clearlyMore(afterwards: Scored, atLead: Scored | null, { seed }: { seed: number }): boolean {
  if (atLead === null) return true;
  const draws = floodDraws(atLead.scores.floods.length, { seed: floodSeed(seed) });
  const [later, before] = drawnSums([afterwards.scores.scores, atLead.scores.scores], draws);
  return probabilityBetter(later, before) >= CLEARLY;
}

/** What surely says something before going is no mere confirmation, however much more it says afterwards: a flattened wave tells by its slope what it does not show yet. */
function saysNothingSure(atLead: Scored | null): boolean {
  const low = atLead?.skill.againstFrequencies.i80[0] ?? null;
  return !(low !== null && low > 0);
}

function asideReason(fit: LevelFit): string {
  return fit.draws.count > 0 ? 'Nobody gave a verdict that could be scored.' : fit.statusSentence;
}

/** Two at a time, and the first three together; only gauges of one parameter, and none twice. */
function combinations(best: readonly Scored[]): Scored[][] {
  const pairs = best.flatMap((a, i) => best.slice(i + 1).map((b) => [a, b]));
  const all = best.length >= 3 ? [...pairs, best.slice(0, 3)] : pairs;
  return all.filter((members) => {
    const sources = members.flatMap((m) => m.sources);
    return (
      new Set(sources).size === sources.length &&
      members.every((m) => m.aligned.parameter === members[0].aligned.parameter)
    );
  });
}

/** A combined gauge's best part, and how often the combination scores better than it. */
function partOf(
  row: Omit<RankedGauge, 'reason'>,
  { ordered, beats }: RankedList,
): { bestPart?: { name: string; beats: number } } {
  const self = row.rank - 1;
  const { combined } = ordered[self];
  if (combined === undefined) return {};
  // In order of score, so the first part found is the best one.
  const part = ordered.findIndex((s) => s.combined === undefined && combined.members.includes(s.aligned.gauge));
  return { bestPart: { name: ordered[part].name, beats: beats[self][part] } };
}

function choiceOf(ordered: readonly Scored[], { seed }: { seed: number }): GaugeRanking['choice'] {
  if (ordered.length === 0)
    return Object.freeze({
      id: null,
      name: null,
      skill: Object.freeze({ value: null, i80: Object.freeze([null, null] as const) }),
      sameChoice: null,
      sentence: choiceSentence(
        { name: null, skill: { value: null, i80: [null, null] }, sameChoice: null },
        { candidates: 0 },
      ),
    });
  const base = floodScores(leftOutOf(ordered[0].scores)).frequencies;
  const choosable = ordered.map(({ sources, scores }) => ({ gauges: sources.length, scores }));
  const { chosen, skill, sameChoice } = chooseGauge(choosable, {
    base,
    draws: floodDraws(base.length, { seed: floodSeed(seed) }),
    seed: floodSeed(seed),
  });
  const won = chosen < 0 ? null : ordered[chosen];
  const choice = { id: won?.id ?? null, name: won?.name ?? null, skill, sameChoice };
  return Object.freeze({ ...choice, sentence: choiceSentence(choice, { candidates: ordered.length }) });
}
