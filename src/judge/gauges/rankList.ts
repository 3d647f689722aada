import type { Aligned } from '../../align/types.js';
import type { LevelFit } from '../../fit/types.js';
import type { LeftOut } from '../leaveFloodOut.js';
import { skillOf } from '../skill.js';
import type { Skill } from '../types.js';
import { floodSeed } from '../waysOfReading.js';
import { drawnSums, floodDraws, probabilityBest, probabilityBetter } from './compareScores.js';
import { leftOutScores, type LeftOutScores } from './leftOutScores.js';
import type { CandidateKind, CombinedGauge, RankedGauge } from './types.js';

/** A candidate as it is scored. */
export interface Scored {
  readonly id: string;
  readonly name: string;
  readonly kind: CandidateKind;
  readonly sources: readonly string[];
  readonly aligned: Aligned;
  readonly fit: LevelFit;
  readonly creekLeads: number | null;
  readonly moreAfterwards: boolean;
  readonly atLead: Skill | null;
  readonly combined?: CombinedGauge;
  readonly scores: LeftOutScores;
  readonly skill: Skill;
}

/** Scores on floods left out; null where there are no draws or nobody gave a verdict. */
export function scoreFit(
  fit: LevelFit,
  aligned: Aligned,
  { seed }: { seed: number },
): Pick<Scored, 'fit' | 'aligned' | 'scores' | 'skill'> | null {
  if (!(fit.draws.count > 0)) return null;
  const scores = leftOutScores(fit, aligned);
  const skill = skillOf(leftOutOf(scores), { seed: floodSeed(seed) });
  return skill === null ? null : { fit, aligned, scores, skill };
}

/** The scores' odds as `skillOf` and `floodScores` take them. */
export function leftOutOf({ cases, floods, probability, undependableShare }: LeftOutScores): LeftOut {
  return {
    kind: 'left-out',
    cases,
    probability,
    unmatchedShare: 0,
    floods: floods.map((flood) => ({ flood, visits: 0, paretoK: NaN })),
    worstParetoK: NaN,
    undependableShare,
  };
}

const total = (values: Float64Array): number => values.reduce((a, b) => a + b, 0);

/** By total score; equal ones by fewer gauges, then in the order given. */
export function bestFirst(list: readonly Scored[]): Scored[] {
  return [...list].sort(
    (a, b) => total(a.scores.scores) - total(b.scores.scores) || a.sources.length - b.sources.length,
  );
}

/** Candidates in order, their rows, and who beats whom. */
export interface RankedList {
  readonly ordered: readonly Scored[];
  readonly rows: readonly Omit<RankedGauge, 'reason' | 'gain'>[];
  readonly beats: readonly (readonly number[])[];
}

/** Orders candidates by their scores and compares them over the same floods drawn anew. */
export function rankList(list: readonly Scored[], { seed }: { seed: number }): RankedList {
  const ordered = bestFirst(list);
  if (ordered.length === 0) return { ordered, rows: [], beats: [] };
  const draws = floodDraws(ordered[0].scores.floods.length, { seed: floodSeed(seed) });
  const sums = drawnSums(
    ordered.map((s) => s.scores.scores),
    draws,
  );
  const best = probabilityBest(sums);
  const beats = sums.map((a) => sums.map((b) => probabilityBetter(a, b)));
  const rows = ordered.map((s, i) => ({
    rank: i + 1,
    id: s.id,
    name: s.name,
    kind: s.kind,
    gauges: s.sources.length,
    skill: s.skill,
    rps: total(s.scores.scores) / total(s.scores.cases.weight),
    beatsFirst: i === 0 ? null : beats[i][0],
    best: best[i],
    creekLeads: s.creekLeads,
    moreAfterwards: s.moreAfterwards,
    atLead: s.atLead,
    lagHours: s.fit.reading.lagHours,
    storageHours: s.combined === undefined ? s.fit.reading.storageHours : 0,
    parts: s.combined?.configurations[s.fit.reading.storageHours] ?? [],
    undependableShare: s.scores.undependableShare,
    status: s.fit.status,
  }));
  return { ordered, rows, beats };
}
