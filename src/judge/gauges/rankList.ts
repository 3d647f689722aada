import { quantile } from '../../kernel/quantile.js';
import type { LeftOut } from '../leaveFloodOut.js';
import { skillOf } from '../skill.js';
import type { Skill } from '../types.js';
import { floodSeed } from '../waysOfReading.js';
import { drawnSums, floodDraws, probabilityBest, probabilityBetter } from './compareScores.js';
import { leftOutScores, type LeftOutScores } from './leftOutScores.js';
import type { CombinedPart, FittedCandidate, RankedGauge } from './types.js';

/** A candidate with its scores on the shared floods. */
export interface Scored extends FittedCandidate {
  readonly scores: LeftOutScores;
  readonly skill: Skill;
}

/** Null where there are no draws or nobody gave a verdict. */
export function scoreCandidate(candidate: FittedCandidate, { seed }: { seed: number }): Scored | null {
  if (!(candidate.fit.draws.count > 0)) return null;
  const scores = leftOutScores(candidate.fit, candidate.aligned);
  const skill = skillOf(leftOutOf(scores), { seed: floodSeed(seed) });
  return skill === null ? null : { ...candidate, scores, skill };
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
  readonly rows: readonly Omit<RankedGauge, 'reason'>[];
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
  const beats = sums.map((a) => Object.freeze(sums.map((b) => probabilityBetter(a, b))));
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
    creekLeads: s.kind === 'combined' ? null : s.creekLeads,
    ...readingOf(s),
    undependableShare: s.scores.undependableShare,
    status: s.fit.status,
  }));
  return { ordered, rows, beats: Object.freeze(beats) };
}

/** Median lag and storage; for a combined gauge those of each part, and the shortest lag. */
function readingOf({ fit, combined }: Scored): Pick<RankedGauge, 'lagHours' | 'storageHours' | 'parts'> {
  const { draws } = fit;
  if (combined === undefined)
    return { lagHours: quantile(draws.lagHours, 0.5), storageHours: quantile(draws.storageHours, 0.5), parts: [] };
  const drawn = Array.from(draws.storageHours, (v) => combined.configurations[v]);
  const parts = combined.members.map((gauge, j): CombinedPart =>
    Object.freeze({
      gauge,
      weight: drawn.reduce((sum, parts) => sum + parts[j].weight, 0) / drawn.length,
      lagHours: quantile(
        Float64Array.from(drawn, (parts) => parts[j].lagHours),
        0.5,
      ),
      storageHours: quantile(
        Float64Array.from(drawn, (parts) => parts[j].storageHours),
        0.5,
      ),
    }),
  );
  return { lagHours: Math.min(...parts.map((p) => p.lagHours)), storageHours: 0, parts: Object.freeze(parts) };
}
