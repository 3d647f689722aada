import { keepVisits, type VisitLook } from '../../src/align/keepVisits.js';
import type { Aligned } from '../../src/align/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { GRADES, isUsableGrade } from '../../src/judge/grade.js';
import { gradeWays } from '../../src/judge/gradeWays.js';
import { waysOfReading } from '../../src/judge/waysOfReading.js';
import type { Grade } from '../../src/judge/types.js';
import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import { smallWorld, type SmallWorld } from '../../tests/judge/smallWorld.js';

const WORLDS: readonly Pick<SmallWorld, 'kind' | 'mismatch'>[] = [
  { kind: 'related', mismatch: 0.1 },
  { kind: 'related', mismatch: 0.2 },
  { kind: 'related', mismatch: 0.4 },
  { kind: 'seasons', mismatch: 0.2 },
];

/** Ways to take visits away; each gives who stays. */
const CUTS: Readonly<Record<string, (aligned: Aligned, random: Random) => (visit: VisitLook) => boolean>> = {
  'a third at random': (aligned, random) => atRandom(aligned, random, 1 / 3),
  'two thirds at random': (aligned, random) => atRandom(aligned, random, 2 / 3),
  'last third in time':
    (aligned) =>
    ({ index }) =>
      index < (2 / 3) * aligned.visitIds.length,
  'a third of the floods': (aligned, random) => {
    const gone = new Set(aligned.flood.filter((f, i) => aligned.flood.indexOf(f) === i && random.uniform() < 1 / 3));
    return ({ flood }) => !gone.has(flood);
  },
};

interface CutTally {
  cases: number;
  /** Shorter logs with a better grade. */
  better: number;
  /** Of those, from a grade that no one may plan with to one that someone may. */
  madeUsable: number;
  worse: number;
  /** From which grade to which, of the better ones. */
  readonly from: Record<string, number>;
}

export interface GradeTally {
  /** Logs graded whole and shortened. */
  readonly cases: number;
  /** Share with a better grade when shortened. */
  readonly betterShare: number;
  /** Share that became usable by it. */
  readonly madeUsableShare: number;
  readonly byCut: Readonly<Record<string, CutTally>>;
}

/** Grades `cases` whole logs, and each with visits taken away in one of four ways, in turn. */
export function tallyGrades(
  cases: number,
  { firstSeed, draws = 400, onCase }: { firstSeed: number; draws?: number; onCase?: (done: number) => void },
): GradeTally {
  const byCut: Record<string, CutTally> = Object.fromEntries(
    Object.keys(CUTS).map((cut) => [cut, { cases: 0, better: 0, madeUsable: 0, worse: 0, from: {} }]),
  );
  const cuts = Object.keys(CUTS);
  for (let c = 0; c < cases; c++) {
    const seed = firstSeed + c;
    const random = createRandom(splitSeed(seed, 'grade'));
    const visits = 30 + random.integer(71);
    const world = WORLDS[Math.floor(c / cuts.length) % WORLDS.length];
    const aligned = smallWorld({ ...world, seed, visits, days: 12 * visits });
    const cut = cuts[c % cuts.length];
    const grade = gradeOf(aligned, { draws, seed });
    const shorter = gradeOf(keepVisits(aligned, CUTS[cut](aligned, random)), { draws, seed });
    const change = GRADES.indexOf(shorter) - GRADES.indexOf(grade);
    const tally = byCut[cut];
    tally.cases++;
    if (change < 0) tally.worse++;
    if (change > 0) {
      tally.better++;
      if (!isUsableGrade(grade) && isUsableGrade(shorter)) tally.madeUsable++;
      const step = `${grade} to ${shorter}`;
      tally.from[step] = (tally.from[step] ?? 0) + 1;
    }
    onCase?.(c + 1);
  }
  const all = Object.values(byCut);
  const total = (count: (tally: CutTally) => number) => all.reduce((sum, tally) => sum + count(tally), 0);
  return {
    cases,
    betterShare: total((t) => t.better) / cases,
    madeUsableShare: total((t) => t.madeUsable) / cases,
    byCut,
  };
}

function gradeOf(aligned: Aligned, { draws, seed }: { draws: number; seed: number }): Grade {
  const fits = fitLevels(aligned, { modes: ['one-reading'], draws, seed });
  return gradeWays(aligned, { ways: waysOfReading(aligned, fits, { seed }) }).grade;
}

function atRandom(aligned: Aligned, random: Random, gone: number): (visit: VisitLook) => boolean {
  const stays = aligned.visitIds.map(() => random.uniform() >= gone);
  return ({ index }) => stays[index];
}
