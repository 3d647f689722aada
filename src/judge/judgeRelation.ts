import type { Aligned } from '../align/types.js';
import type { LevelFit, ReadingWay } from '../fit/types.js';
import { zoneClock } from '../series/time.js';
import { asItStands } from './asItStands.js';
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
import type { LeftOut } from './leaveFloodOut.js';
import { nextLook } from './nextLook.js';
import type { JudgedRelation, RelationRefits } from './refits/types.js';
import type { Rule } from './rule.js';
import { shiftOf, type ShiftFinding } from './shift.js';
import { chosenWay, waysOfReading } from './waysOfReading.js';

export interface JudgeOptions {
  /** Seed of the relation's judging. */
  readonly seed: number;
  /** IANA zone of the creek, for months and days. */
  readonly timeZone: string;
  /** The sure range of good by each way of reading, as rules; default none. */
  readonly sureGood?: Readonly<Partial<Record<ReadingWay, Rule | null>>>;
  /** How far a range to go by may reach; default 'good'. */
  readonly ruleReach?: RuleReach | undefined;
}

/** What fits of their own told, and the way of reading that they were planned for. */
export interface WithRefits {
  readonly refits: RelationRefits;
  readonly way: ReadingWay;
}

/**
 * How far to trust one run read from one gauge: grade, evidence, scores, rules, observers, shift, suspects, and what would make it better.
 *
 * Without refits the floods are left out by importance weights, and the parts that need fits of their own (lead curve, influence, sensitivity, the chart without
 * one observer, the charts before and after a shift) are null or empty: depth `quick`.
 *
 * @param relation the visits and the fits made from them; `shift` where it was looked for already.
 * @param options.given refits; the way of reading stays the one that they were planned for.
 * @returns plain data for JSON; always a judgement: where nothing could be fitted it is "too thin" with the fit's own sentence.
 * @example judgeRelation(relation, { seed: 1, timeZone: 'UTC' }).grade
 */
export function judgeRelation(
  {
    run,
    record,
    aligned,
    fits,
    shift,
  }: Pick<JudgedRelation, 'run' | 'record' | 'aligned' | 'fits'> & { readonly shift?: ShiftFinding | null },
  { seed, timeZone, sureGood = {}, ruleReach, given }: JudgeOptions & { readonly given?: WithRefits | undefined },
): Judgement {
  const refits = given?.refits;
  const ways = waysOfReading(aligned, fits, { left: refits?.leftOut ?? {}, chosen: given?.way, seed });
  const chosen = chosenWay(ways);
  const fit = chosen?.fit ?? null;
  const clock = zoneClock(timeZone);
  const { grade, reasons, checks } = gradeWays(aligned, {
    ways,
    statusSentence: fits.effective.statusSentence,
    beyond: { record, anyLag: fits['any-lag'], seed },
    personMove: largestPersonMove(refits),
  });
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
    depth: refits === undefined ? ('quick' as const) : ('full' as const),
    evidence: judgedEvidence({ aligned, record, fit }, clock),
    scores: judgedScores(ways, {
      stands: standsLeft({ aligned, fit, seed }, refits),
      method: refits === undefined ? 'weights' : 'refits',
      problems: refits?.problems ?? [],
      seed,
    }),
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
    shift: judgedShift(aligned, {
      finding: shift ?? (fit === null ? null : shiftOf(fit, aligned)),
      clock,
      before: refits?.before ?? null,
      after: refits?.after ?? null,
    }),
    suspects: judgedSuspects(fit, aligned, { record }),
    nextLook: fit === null ? null : nextLook(fit, aligned, { record }),
    influence: refits?.influence ?? null,
    sensitivity: refits?.sensitivity ?? null,
  };
  return { ...base, improve: improveSentences(base) };
}

/** Largest move of an edge without one person; undefined where no fit told it. */
function largestPersonMove(refits: RelationRefits | undefined): number | undefined {
  const moves = refits?.without.map(({ largestMove }) => largestMove) ?? [];
  return moves.length < 2 ? undefined : Math.max(...moves);
}

/** Left-out odds of the gauge as it stands: from the refits where they have them, else by a fit at the lead's own lag. */
function standsLeft(
  { aligned, fit, seed }: { aligned: Aligned; fit: LevelFit | null; seed: number },
  refits: RelationRefits | undefined,
): LeftOut | null {
  if (fit === null) return null;
  if (refits !== undefined) return refits.leftOut['as-it-stands'];
  return asItStands(aligned, { leadHours: fit.leadHours, link: fit.link, seed, draws: fit.draws.count })?.left ?? null;
}
