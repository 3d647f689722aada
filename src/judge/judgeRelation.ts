import type { ReadingWay } from '../fit/types.js';
import { zoneClock } from '../series/time.js';
import { firstScores, type FirstScores } from './firstScores.js';
import { isUsableGrade } from './grade.js';
import { gradeWays } from './gradeWays.js';
import { improveSentences } from './improve.js';
import { judgedEvidence } from './judgedEvidence.js';
import { judgedObservers } from './judgedObservers.js';
import { judgedRules, type RuleReach } from './judgedRules.js';
import { judgedScores } from './judgedScores.js';
import { judgedShift } from './judgedShift.js';
import { judgedSuspects } from './judgedSuspects.js';
import type { Judgement } from './judgement.js';
import { lagSignOf } from './lagSign.js';
import { nextLook } from './nextLook.js';
import type { JudgedRelation, RelationRefits } from './refits/types.js';
import type { Rule } from './rule.js';
import { chosenWay, waysOfReading } from './waysOfReading.js';

export interface JudgeOptions {
  /** Seed of the relation's judging. */
  readonly seed: number;
  /** IANA zone of the creek, for months and days. */
  readonly timeZone: string;
  /** The sure range of good by each way of reading, as rules; default none. */
  readonly sureGood?: Readonly<Partial<Record<ReadingWay, Rule | null>>>;
  /** Whether each visit is held against the gauge, and the next look worked out, where no refits hold it; default true. */
  readonly visits?: boolean;
  /** How far a range to go by may reach; default 'good'. */
  readonly ruleReach?: RuleReach | undefined;
}

/** What a judgement goes on from. */
export interface Known {
  /** Scores by weights; default they are made here. */
  readonly first?: FirstScores;
  /** The judgement by them, whose parts stand that no refit changes. */
  readonly quick?: Judgement | undefined;
  readonly refits?: RelationRefits | undefined;
}

/**
 * How far to trust one run read from one gauge: grade, evidence, scores, rules, observers, shift, suspects, and what would make it better.
 *
 * Without refits the floods are left out by importance weights, and the parts that need fits of their own (lead curve, influence,
 * sensitivity, the chart without one observer, the charts before and after a shift) are null or empty: depth `quick`.
 *
 * @param relation the visits and the fits made from them. @param options.first, options.quick, options.refits what is known already.
 * @returns plain data for JSON; always a judgement: where nothing could be fitted it is "too thin" with the fit's own sentence.
 * @example judgeRelation(relation, { seed: 1, timeZone: 'UTC' }).grade
 */
export function judgeRelation(
  relation: Pick<JudgedRelation, 'run' | 'record' | 'aligned' | 'fits'>,
  { seed, timeZone, sureGood = {}, ruleReach, visits = true, refits, quick, ...known }: JudgeOptions & Known,
): Judgement {
  const { run, record, aligned, fits } = relation;
  const { first = firstScores(relation, { seed }) } = known;
  const left = refits?.leftOut ?? first.left;
  const ways = waysOfReading(aligned, fits, { left, chosen: first.chosen ?? undefined, seed });
  const chosen = chosenWay(ways);
  const fit = chosen?.fit ?? null;
  const clock = zoneClock(timeZone);
  const { grade, reasons, checks } = gradeWays(aligned, {
    ways,
    statusSentence: fits.effective.statusSentence,
    againstSeason: first.againstSeason,
    lagSign: lagSignOf(fits['any-lag'], { record }),
    personMove: largestPersonMove(refits),
  });
  const { before = null, after = null } = refits ?? {};
  const base = {
    kind: 'judgement' as const,
    run: run.id,
    runName: run.name,
    gauge: record.gauge,
    gaugeName: record.name,
    unit: record.unit,
    classes: run.classes,
    leadHours: fits.effective.leadHours,
    way: ways.chosen,
    grade,
    reasons,
    checks,
    depth: refits === undefined || refits.depth === 'visits' ? ('quick' as const) : ('full' as const),
    evidence: quick?.evidence ?? judgedEvidence({ aligned, record, fit }, clock),
    scores: judgedScores(ways, { stands: left['as-it-stands'], problems: refits?.problems ?? [], seed }),
    rules:
      chosen === null
        ? null
        : judgedRules(chosen, {
            aligned,
            sureGood: (ways.chosen && sureGood[ways.chosen]) ?? null,
            reach: ruleReach,
            usable: isUsableGrade(grade),
          }),
    leadCurve: refits?.leadCurve ?? null,
    observers: judgedObservers(aligned, { fit, seed, without: refits?.without ?? [] }),
    shift: judgedShift(aligned, { finding: first.shift, clock, before, after }),
    suspects: refits?.suspects ?? (visits ? judgedSuspects(fit, aligned, { record }) : NOT_HELD),
    nextLook: refits?.nextLook ?? (visits && fit !== null ? nextLook(fit, aligned, { record }) : null),
    influence: refits?.influence ?? null,
    sensitivity: refits?.sensitivity ?? null,
  };
  return { ...base, improve: improveSentences(base) };
}

const NOT_HELD: Judgement['suspects'] = {
  judged: 0,
  rows: [],
  sentence: 'Visits are held one by one against the gauge that is recommended only.',
};

/** Largest move of an edge without one person; undefined where no fit told it. */
function largestPersonMove(refits: RelationRefits | undefined): number | undefined {
  const moves = refits?.without.map(({ largestMove }) => largestMove) ?? [];
  return moves.length < 2 ? undefined : Math.max(...moves);
}
