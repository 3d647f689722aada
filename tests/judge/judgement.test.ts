import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { improveSentences } from '../../src/judge/improve.js';
import { judgedEvidence } from '../../src/judge/judgedEvidence.js';
import { agreementSentence, judgedObservers } from '../../src/judge/judgedObservers.js';
import { classOdds } from '../../src/judge/classOdds.js';
import { judgedRules } from '../../src/judge/judgedRules.js';
import { printedEdges } from '../../src/judge/printedEdges.js';
import { roundSafer } from '../../src/judge/roundSafer.js';
import { judgedScores } from '../../src/judge/judgedScores.js';
import { judgedShift } from '../../src/judge/judgedShift.js';
import { judgeRelation } from '../../src/judge/judgeRelation.js';
import type { Judgement } from '../../src/judge/judgement.js';
import type { LeftOut } from '../../src/judge/leaveFloodOut.js';
import type { ShiftFinding } from '../../src/judge/shift.js';
import { skillOf } from '../../src/judge/skill.js';
import { trustOfJudgement } from '../../src/judge/trustOfJudgement.js';
import { firstScores } from '../../src/judge/firstScores.js';
import type { WaysOfReading } from '../../src/judge/waysOfReading.js';
import type { Run } from '../../src/series/creek.js';
import { plain } from '../../src/series/format.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { zoneClock } from '../../src/series/time.js';
import { smallWorld } from './smallWorld.js';
import { syntheticLeftOut } from './syntheticLeftOut.js';
import { DAY, FIVE, HOUR, syntheticAligned, syntheticFit } from './syntheticRelation.js';

const UTC = zoneClock('UTC');

function record(values: readonly number[], { fromMs = 0, stepMs = DAY, approved = 0 } = {}): GaugeRecord {
  return {
    kind: 'gauge-record',
    gauge: 'bridge',
    name: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(values, (_, i) => fromMs + i * stepMs),
    values: Float64Array.from(values),
    stepMs,
    maxGapMs: 3 * HOUR,
    approval: { approved, provisional: approved > 0 ? values.length - approved : 0, unknown: approved > 0 ? 0 : 1 },
    codes: {},
  };
}

const RUN: Run = { id: 'main', name: 'Main run', classes: FIVE, features: [] };

/** Places in a value that JSON could not carry: NaN, infinities, undefined, typed arrays, functions. */
function notForJson(value: unknown, path = 'it'): string[] {
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return [];
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${path} is ${value}`];
  if (Array.isArray(value)) return value.flatMap((inner, i) => notForJson(inner, `${path}[${i}]`));
  if (typeof value !== 'object' || ArrayBuffer.isView(value)) return [`${path} is a ${typeof value}`];
  return Object.entries(value).flatMap(([key, inner]) => notForJson(inner, `${path}.${key}`));
}

/** Both ways of reading with the same left-out odds. */
function waysWith(left: LeftOut, aligned = syntheticAligned([])): WaysOfReading {
  const draw = { edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1 };
  const fit = syntheticFit(aligned, [draw]);
  const way = { fit, left, skill: skillOf(left, { seed: 1, resamples: 50 })! };
  return { effective: way, 'one-reading': way, gain: null, chosen: 'effective' };
}

describe('the evidence', () => {
  const visit = (month: number, saw: number, more: object = {}) => ({
    x: saw,
    saw,
    timeMs: Date.UTC(2031, month, 10),
    slope: 0.1,
    ...more,
  });

  it('of no visit is nothing, and that is what is missing', () => {
    const none = judgedEvidence({ aligned: syntheticAligned([]), record: record([1, 2]), fit: null }, UTC);
    expect(none).toMatchObject({ visits: 0, firstVisitMs: null, ageDays: null, span: [null, null] });
    expect(none.missing).toEqual(['There is no visit with a reading of this gauge.']);
  });

  it('asks for drive-by rows where nobody logged low water, and for the other things that are missing, worst first', () => {
    const aligned = syntheticAligned([2, 2, 2, 3, 2].map((saw, i) => visit(4, saw, { flood: i < 3 ? 0 : i })));
    const { missing } = judgedEvidence({ aligned, record: record([1, 2]), fit: null }, UTC);
    expect(missing).toEqual([
      'No verdict of "too low": people log when it runs, so nobody writes down the days it does not, and the low edge stays vague. Drive by on a low day and log it.',
      'Only 1 verdict of "high" or more: where too much begins is mostly a guess. A look from the bank on a high day is enough.',
      'No visit on falling water: what the gauge says on the way down is untested.',
      'One flood holds 60 % of the verdicts, and its visits tell one story. Log other floods.',
    ]);
  });

  it('says when no visit met rising water', () => {
    const aligned = syntheticAligned([visit(1, 2, { slope: -0.1 })]);
    const { missing, limbs } = judgedEvidence({ aligned, record: record([1]), fit: null }, UTC);
    expect(limbs).toEqual({ rising: 0, steady: 0, falling: 1 });
    expect(missing).toContain(
      'No visit on rising water: what the gauge says on the way up is untested, and that is when it hurts.',
    );
  });

  it('counts months by the creek’s own clock', () => {
    const aligned = syntheticAligned([{ x: 1, saw: 2, timeMs: Date.UTC(2031, 3, 1, 3) }]);
    const months = (zone: string) =>
      judgedEvidence({ aligned, record: record([1]), fit: null }, zoneClock(zone)).monthCounts;
    expect(months('UTC').indexOf(1)).toBe(3);
    expect(months('America/Denver').indexOf(1)).toBe(2);
  });

  it('names months without a visit in which the gauge is often in the good range', () => {
    // Good lies between e^1 and e^2; the record reads 5 in March and 100 in the other months.
    const days = Array.from({ length: 365 }, (_, d) => new Date(Date.UTC(2031, 0, 1 + d)).getUTCMonth());
    const values = days.map((month) => (month === 2 ? 5 : 100));
    const aligned = syntheticAligned([visit(5, 2)]);
    const fit = syntheticFit(aligned, [{ edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1 }]);
    const { missing } = judgedEvidence({ aligned, record: record(values, { fromMs: Date.UTC(2031, 0, 1) }), fit }, UTC);
    expect(missing).toContain('No visit in March, though 100 % of its readings lie in the good range.');
  });

  it('says how old the log is by the record’s own end, and what is provisional', () => {
    const aligned = syntheticAligned([visit(0, 2)]);
    const last = record([1, 2], { fromMs: Date.UTC(2031, 0, 10), stepMs: 1500 * DAY, approved: 0 });
    const { ageDays, missing } = judgedEvidence({ aligned, record: last, fit: null }, UTC);
    expect(ageDays).toBe(1500);
    expect(missing).toContain(
      "The last visit is 4 years older than the record's end: the bed may have moved since. Log a few visits this season.",
    );
    const provisional = { ...last, approval: { approved: 1, provisional: 3, unknown: 0 } };
    const judged = judgedEvidence({ aligned, record: provisional, fit: null }, UTC);
    expect(judged.approvedShare).toBe(0.25);
    expect(judged.missing).toContain(
      "Only 25 % of the gauge's readings are approved; provisional ones can still be corrected.",
    );
  });

  it('says when the lag is learned from the clock because times are vague', () => {
    const aligned = syntheticAligned([visit(0, 2), visit(1, 2)]);
    const vague = {
      ...aligned,
      nodeStart: Int32Array.of(0, 2, 4),
      nodeWeight: Float64Array.of(0.5, 0.5, 0.5, 0.5),
      x: new Float64Array(4),
    };
    expect(judgedEvidence({ aligned: vague, record: record([1]), fit: null }, UTC).missing).toContain(
      'No visit has an exact time: the lag is learned from the clock. Write down when you were at each feature.',
    );
  });
});

describe('the scores', () => {
  /** Ten floods, one verdict each: eight right, one higher than said, one lower; three classes. */
  const left = syntheticLeftOut(
    Array.from({ length: 10 }, (_, flood) => ({
      odds: [0.1, 0.8, 0.1],
      saw: flood === 0 ? 2 : flood === 1 ? 0 : 1,
      flood,
    })),
  );

  it('say how often the chart is wrong and in which direction, by hand', () => {
    const scores = judgedScores(waysWith(left), { stands: left, seed: 3 })!;
    expect(scores.confusion).toMatchObject({
      table: [
        [0, 0, 0],
        [1, 8, 1],
        [0, 0, 0],
      ],
    });
    const inWords = ({ value, i80: [from, to] }: { value: number | null; i80: readonly (number | null)[] }) =>
      `${Math.round(value! * 100)} % (${Math.round(from! * 100)} to ${Math.round(to! * 100)})`;
    const { right, seenHigher, seenLower } = scores.confusion;
    expect([right.value, seenHigher.value, seenLower.value]).toEqual([0.8, 0.1, 0.1]);
    expect(scores.sentence).toBe(
      `On floods it had not seen, the chart named the right class in ${inWords(right)} of the visits, off by one at most in 100 %; ` +
        `the creek was higher than said in ${inWords(seenHigher)}, lower in ${inWords(seenLower)}.`,
    );
    expect(scores.floods.length).toBe(10);
    // RPS of a hit: 0.1² + 0.1² = 0.02; of a miss by one: 0.1² + 0.9² = 0.82.
    expect(scores.floods.map(({ rps }) => Number(rps.toFixed(9)))).toEqual([
      0.82,
      0.82,
      ...new Array<number>(8).fill(0.02),
    ]);
    expect(scores.ways[0]!.rps.value).toBeCloseTo((2 * 0.82 + 8 * 0.02) / 10, 12);
  });

  it('hold each way against the gauge as it stands, which is not held against itself', () => {
    const { ways } = judgedScores(waysWith(left), { stands: left, seed: 3 })!;
    expect(ways.map(({ way }) => way)).toEqual(['effective', 'one-reading', 'as-it-stands']);
    expect(ways.map(({ skill }) => skill.againstNoLag)).toEqual([
      { value: 0, i80: [0, 0] },
      { value: 0, i80: [0, 0] },
      null,
    ]);
    const without = judgedScores(waysWith(left), { stands: null, seed: 3 })!;
    expect(without.ways.map(({ way, skill }) => [way, skill.againstNoLag])).toEqual([
      ['effective', null],
      ['one-reading', null],
    ]);
  });

  it('say how floods were left out, and how far that is to be trusted', () => {
    const says = (k: number, undependableShare: number) =>
      judgedScores(waysWith({ ...left, worstParetoK: k, undependableShare }), {
        stands: null,
        seed: 1,
      })!.methodSentence;
    expect(says(0.42, 0)).toBe(
      'Floods were left out by weighting the draws of one fit, not by fitting anew: the worst k̂ is 0.42; below 0.7 such weights are dependable.',
    );
    expect(says(Infinity, 0.25)).toBe(
      'Floods were left out by weighting the draws of one fit, not by fitting anew: one flood alone steers the fit; 25 % of the verdicts lie in floods above 0.7, where such weights are not dependable.',
    );
    const refits = judgedScores(waysWith({ ...left, refitted: left.floods.length }), {
      stands: null,
      problems: ['One did not end.'],
      seed: 1,
    });
    expect(refits!.methodSentence).toBe(
      'Every flood was left out by a fit of its own that never saw it. One did not end.',
    );
    expect(refits!.method).toBe('refits');
    const some = judgedScores(waysWith({ ...left, refitted: 2 }), { stands: null, seed: 1 })!;
    expect(some.method).toBe('weights');
    expect(some.methodSentence).toBe(
      'Of 10 floods, 2 that would steer such weights (k̂ above 0.7) were left out by fits of their own, the others by weighting the draws of one fit.',
    );
  });

  it('hold the stated odds to nothing where nothing was seen', () => {
    const { reliability } = judgedScores(waysWith(syntheticLeftOut([], 3)), { stands: null, seed: 1 })!;
    expect(reliability.sentence).toBe('There is nothing to hold the stated odds to.');
  });

  it('are null where nothing was fitted', () => {
    const none: WaysOfReading = { effective: null, 'one-reading': null, gain: null, chosen: null };
    expect(judgedScores(none, { stands: null, seed: 1 })).toBe(null);
  });
});

describe('the rule', () => {
  /** A clean gauge: class k at x = k - 0.5, three floods a class. */
  const visits = Array.from({ length: 15 }, (_, i) => ({
    x: Math.floor(i / 3) - 0.5,
    saw: Math.floor(i / 3),
    flood: i,
  }));
  const aligned = syntheticAligned(visits);
  const left = syntheticLeftOut(
    visits.map(({ saw, flood }) => ({ odds: FIVE.map((_, k) => (k === saw ? 1 : 0)), saw, flood })),
    5,
  );
  const draws = [0.98, 1, 1.02].map((scale) => ({
    edges: [0, 1, 2, 3].map((e) => e * scale),
    mismatch: 0.1,
    blur: 0.1,
  }));
  const way = { ...waysWith(left).effective!, fit: syntheticFit(aligned, draws) };

  const judged = (more: Partial<Parameters<typeof judgedRules>[1]> = {}) =>
    judgedRules(way, { aligned, sureGood: null, usable: true, ...more })!;

  it('is described by the logged days inside it and by floods that it was not chosen by', () => {
    const { chosen, sentence, frontier } = judged();
    const { rule, cost, costLeftOut, digits } = chosen!;
    // Good stands at x = 1.5: every day that reads e^1.5 is good, and none else.
    expect(rule.atLeast).toBeLessThanOrEqual(Math.exp(1.5));
    expect(rule.atMost).toBeGreaterThanOrEqual(Math.exp(1.5));
    expect([cost.goDays, cost.tooHigh.cases, cost.wasted.cases]).toEqual([3, 0, 0]);
    expect(costLeftOut).toMatchObject({ days: 15, goDays: 3, goodDays: 3, wasted: { value: 0 }, missed: { value: 0 } });
    expect(sentence).toContain(
      `Of 3 logged days inside ${plain(rule.atLeast, digits)} to ${plain(rule.atMost, digits)} m³/s, 3 were neither below good nor "too high". Chosen without the flood in question, such a range holds 3 logged days: 0 "too high" (90 % confidence: in at most 54 % of floods)`,
    );
    expect(frontier.length).toBeLessThanOrEqual(40);
  });

  it('says of the days inside how many were neither below good nor too high', () => {
    // Two low days read as the good ones do.
    const mixed = visits.map((day, i) => (i === 1 || i === 4 ? { ...day, x: 1.5 } : day));
    const own = syntheticAligned(mixed);
    const odds = mixed.map(({ saw, flood }) => ({ odds: FIVE.map((_, k) => (k === saw ? 1 : 0)), saw, flood }));
    const itsWay = { ...waysWith(syntheticLeftOut(odds, 5)).effective!, fit: syntheticFit(own, draws) };
    const { chosen, sentence } = judgedRules(itsWay, { aligned: own, sureGood: null, usable: true })!;
    const { goDays, wasted, tooHigh } = chosen!.cost;
    const inside = mixed.filter(({ x }) => Math.exp(x) >= chosen!.rule.atLeast && Math.exp(x) <= chosen!.rule.atMost);
    const good = inside.filter(({ saw }) => saw === 2 || saw === 3).length;
    expect([goDays, goDays - wasted.cases - tooHigh.cases]).toEqual([inside.length, good]);
    expect(inside.length).toBeGreaterThan(good);
    expect(sentence).toMatch(new RegExp(`^Of ${inside.length} logged days inside .*, ${good} were neither below good`));
  });

  it('states the cost on floods that it was not chosen by, not the flattering one', () => {
    // Good days read x = 1.2, 1.5, 1.8: without its own flood the outer two lie outside the rule of the others.
    const spread = visits.map(({ x, ...day }, i) => ({ ...day, x: x + ((i % 3) - 1) * 0.3 }));
    const wider = syntheticAligned(spread);
    const { costLeftOut, cost } = judgedRules(
      { ...way, fit: syntheticFit(wider, draws) },
      { aligned: wider, sureGood: null, usable: true },
    )!.chosen!;
    expect(costLeftOut.missed.value!).toBeGreaterThan(cost.missed.value!);
  });

  it('names none for a gauge that carries no plan', () => {
    expect(judged({ usable: false }).sentence).toBe(
      'No range is named: the grade of this gauge is too low to plan by.',
    );
  });

  it('holds the sure range of good to the same days', () => {
    const sure = { atLeast: Math.exp(0.4), atMost: Math.exp(1.6) };
    const { sureGood } = judged({ sureGood: sure });
    expect(sureGood).toMatchObject({ rule: sure, cost: { goDays: 6, wasted: { value: 0.5 }, missed: { value: 0 } } });
  });

  it('stays within the printed edges of good, on their steps, with odds of "too high" under the rate (property)', () => {
    const world = fc.record({
      edges: fc.tuple(...[0, 1, 2, 3].map((k) => fc.double({ min: 0.7 * k, max: 0.7 * k + 0.6, noNaN: true }))),
      mismatch: fc.double({ min: 0.05, max: 0.8, noNaN: true }),
      jitter: fc.double({ min: 0.01, max: 0.2, noNaN: true }),
    });
    fc.assert(
      fc.property(world, ({ edges, mismatch, jitter }) => {
        const some = [-2, -1, 0, 1, 2].map((z) => ({
          edges: edges.map((e) => e + z * jitter),
          mismatch,
          blur: 0.1,
        }));
        const fit = syntheticFit(aligned, some);
        const chart = printedEdges(fit);
        for (const reach of ['good', 'beyond-good'] as const) {
          const found = judgedRules({ fit, left }, { aligned, sureGood: null, usable: true, reach })!.chosen;
          if (found === null) continue;
          const [first, last] = reach === 'good' ? [chart[1], chart[2]] : [chart[0], chart[3]];
          expect(found.rule.atLeast).toBeGreaterThanOrEqual(first.value);
          expect(found.rule.atMost).toBeLessThanOrEqual(last.value);
          for (const odds of found.tooHighAtEnds) expect(odds).toBeLessThanOrEqual(0.05 + 1e-12);
          expect(classOdds(fit, found.rule.atMost)[4]).toBe(found.tooHighAtEnds[1]);
          expect(Number(found.rule.atMost.toFixed(found.digits))).toBe(found.rule.atMost);
          expect(found.rule.atMost).toBe(
            roundSafer(found.rule.atMost, { width: chart[2].width80, side: 'down' }).value,
          );
        }
      }),
      { numRuns: 60 },
    );
  });

  it('reaches past the good range only where that is asked for', () => {
    // A good range too narrow for the step of its edges, and days that were good above it.
    const high = visits.map(({ x, ...day }) => ({ ...day, x: x + 0.45 }));
    const above = syntheticAligned(high);
    const its = { fit: syntheticFit(above, draws), left: { ...left } };
    const within = judgedRules(its, { aligned: above, sureGood: null, usable: true })!.chosen;
    const beyond = judgedRules(its, { aligned: above, sureGood: null, usable: true, reach: 'beyond-good' })!.chosen!;
    const upper = printedEdges(its.fit)[2].value;
    expect(within === null || within.rule.atMost <= upper).toBe(true);
    expect(beyond.cost.goDays).toBeGreaterThanOrEqual(within?.cost.goDays ?? 0);
  });

  it('says so where the odds of too high pass the rate everywhere', () => {
    const high = syntheticLeftOut(
      visits.map(({ flood }) => ({ odds: [0, 0, 0.5, 0, 0.5], saw: flood % 2 === 0 ? 2 : 4, flood })),
      5,
    );
    const rules = judgedRules({ ...way, left: high }, { aligned, sureGood: null, usable: true })!;
    expect(rules.chosen).toBe(null);
    expect(rules.sentence).toBe(
      'No range keeps the odds of "too high" at 5 % or below: no rule can be made for this gauge.',
    );
  });

  it('is null without a verdict', () => {
    expect(judgedRules({ ...way, left: syntheticLeftOut([], 5) }, { aligned, sureGood: null, usable: true })).toBe(
      null,
    );
  });
});

describe('observers', () => {
  const visits = [0, 1, 2, 3].map((i) => ({ x: i, saw: i }));
  const aligned = {
    ...syntheticAligned(visits),
    observers: ['Ann', 'Bo'],
    sightingObserver: Int32Array.of(0, 0, 1, 1),
  };
  /** Classes are 1 ln unit wide; Ann's bias as given, Bo's the opposite. */
  const rowsFor = (biases: readonly number[]) => {
    const fit = syntheticFit(
      aligned,
      biases.map(() => ({ edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1 })),
    );
    const bias = Float64Array.from(biases.flatMap((b) => [b, -b]));
    return judgedObservers(aligned, { fit: { ...fit, draws: { ...fit.draws, bias } }, seed: 1 }).rows;
  };

  it('who read high or low are said to, in shares of a class', () => {
    const [ann, bo] = rowsFor(Array.from({ length: 11 }, (_, i) => 0.25 + 0.01 * i));
    expect(ann).toMatchObject({ observer: 'Ann', sightings: 2, visits: 2, above: 1 });
    expect(ann!.sentence).toBe('Ann reads higher than the others: about 0.3 of a class (80 % interval: 0.3 to 0.3).');
    expect(bo!.sentence).toBe('Bo reads lower than the others: about 0.3 of a class (80 % interval: 0.3 to 0.3).');
  });

  it('who show no lean are said to show none, with what is possible', () => {
    const [ann] = rowsFor(Array.from({ length: 11 }, (_, i) => -0.5 + 0.1 * i));
    expect(ann!.sentence).toBe(
      'Ann reads like the others, as far as the log can tell (80 % interval: 0.4 of a class lower to 0.4 higher).',
    );
    expect(rowsFor([0, 0])[0]!.sentence).toContain('under 0.1');
  });

  it('alone are not compared, and without shared visits nobody agrees or not', () => {
    const one = syntheticAligned(visits);
    const fit = syntheticFit(one, [{ edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1 }]);
    const observers = judgedObservers(one, { fit, seed: 1 });
    expect(observers.rows[0]!.sentence).toBe('Ann is the only observer: there is nobody to compare with.');
    expect(agreementSentence(observers)).toBe(
      'No feature was seen by two people on one visit, so their agreement can not be measured.',
    );
    expect(judgedObservers(one, { fit: null, seed: 1 }).rows).toEqual([]);
  });
});

describe('the shift in words', () => {
  const day = (n: number) => Date.UTC(2031, 0, n);
  const finding = (probability: number, median: number, i80: readonly [number, number]): ShiftFinding => ({
    kind: 'shift',
    status: 'judged',
    probability,
    found: probability >= 0.9,
    logBayesFactor: 0,
    step: {
      betweenMs: [day(3), day(9)],
      gapProbability: 0.5,
      date80Ms: [day(1), day(20)],
      size: { median, i80, i95: i80 },
      visitsBefore: 12,
      visitsAfter: 8,
    },
    pettitt: null,
    residuals: Float64Array.of(0.1, NaN),
  });
  const aligned = syntheticAligned([
    { x: 1, saw: 2 },
    { x: NaN, saw: 2 },
  ]);
  const judged = (given: ShiftFinding | null) => judgedShift(aligned, { finding: given, clock: UTC });

  it('says date, direction and size of a step that was found', () => {
    const { sentence, residuals } = judged(finding(0.97, Math.log(1.5), [Math.log(1.3), Math.log(1.7)]));
    expect(sentence).toBe(
      'The relation most likely moved (probability 97 %) between 2031-01-03 and 2031-01-09: since then the creek stands higher at the same reading, as if the gauge read 50 % more than it does (80 % interval: 30 % to 70 %). 12 visits before, 8 after; the chart mixes both.',
    );
    expect(residuals).toEqual([{ visit: 'v0', timeMs: 0, residual: 0.1 }]);
  });

  it('never gives a probability of one, and turns the interval of a fall', () => {
    const { sentence } = judged(finding(0.9999, Math.log(0.8), [Math.log(0.7), Math.log(0.9)]));
    expect(sentence).toContain('(probability over 99 %)');
    expect(sentence).toContain(
      'stands lower at the same reading, as if the gauge read 20 % less than it does (80 % interval: 10 % to 30 %)',
    );
  });

  it('says of an open one that the log can not tell yet and what would, without a direction that it has not', () => {
    const { sentence } = judged(finding(0.6, Math.log(1.1), [Math.log(0.9), Math.log(1.2)]));
    expect(sentence).toContain(
      "The log can't tell yet whether the relation moved (probability 60 %; 90 % would be a finding)",
    );
    expect(sentence).toContain('(80 % interval: 10 % less to 20 % more). Verdicts on new floods would tell: so far ');
  });

  it('does not call not found not there', () => {
    expect(judged(finding(0.1, 0.1, [0, 0.2])).sentence).toBe(
      'No lasting change was found (probability 10 %), but a poor gauge can hide one.',
    );
    expect(judged(null)).toMatchObject({
      status: 'too-few',
      sentence: 'Too few floods to say whether the relation moved: three on either side are the least.',
    });
  });
});

describe('what would improve it', () => {
  const aligned = smallWorld({ kind: 'related', seed: 5, visits: 10, days: 60 });
  const base = judgeRelation(
    { run: RUN, record: record([1, 5, 20]), aligned, fits: fitLevels(aligned, { draws: 100 }) },
    { seed: 1, timeZone: 'UTC' },
  );

  it('is said in three sentences at most, the log’s own lack first where the grade carries no plan', () => {
    expect(base.grade).toBe('too thin');
    expect(base.improve.length).toBe(3);
    expect(base.improve[0]).toBe('Log 5 more visits with a verdict; 15 are the least.');
  });

  it('of a gauge without a relation is another gauge', () => {
    const failed = { ...base.checks[4]!, id: 'skill-month-low' as const, pass: false };
    expect(improveSentences({ ...base, grade: 'no usable relation', checks: [failed] })).toEqual([
      'Try another gauge, or a sum or difference of two: more visits will not make this one know the creek.',
    ]);
  });

  it('of a usable one begins with the next look', () => {
    const look = { feature: 'verdict', from: 1, to: 2, shrinkage: 0.1, sentence: 'Look there.' };
    const [first] = improveSentences({
      ...base,
      grade: 'fair guide',
      nextLook: { byValue: [], byFeature: [], looks: [look, { ...look, sentence: 'Or there.' }] },
    });
    expect(first).toBe('Look there.');
  });
});

describe('a whole judgement', () => {
  const aligned = smallWorld({ kind: 'related', seed: 11, visits: 40, days: 400 });
  const fits = fitLevels(aligned, { draws: 200 });
  const readings = record(Array.from({ length: 400 }, (_, d) => Math.exp(0.5 + Math.sin(d / 20))));
  const relation = { run: RUN, record: readings, aligned, fits };
  const options = { seed: 42, timeZone: 'America/Denver' };
  const judgement = judgeRelation(relation, options);

  it('can be written as JSON as it is, and comes back the same', () => {
    expect(notForJson(judgement)).toEqual([]);
    expect(JSON.parse(JSON.stringify(judgement))).toEqual(judgement);
  });

  it('is short in a chart: the same grade, reasons, checks, evidence, and the skill of its way', () => {
    const { way, grade, reasons, checks, evidence, scores } = judgement;
    const short = trustOfJudgement(judgement);
    expect(short).toMatchObject({ way, grade, reasons, checks, evidence });
    const { againstFrequencies, againstMonth } = scores!.ways.find((score) => score.way === way)!.skill;
    expect(short.skill).toEqual({ againstFrequencies, againstMonth });
  });

  it('is the same for the same seed', () => {
    expect(judgeRelation(relation, options)).toEqual(judgement);
  });

  it('is quick without refits, and says so by what it leaves away', () => {
    expect(judgement).toMatchObject({ depth: 'quick', leadCurve: null, influence: null, sensitivity: null });
    expect(judgement.scores).toMatchObject({ method: 'weights' });
    expect(judgement.shift).toMatchObject({ before: null, after: null });
  });

  it('takes odds from refits, keeps the way that they were planned for, and is full then', () => {
    const first = { ...firstScores(relation, { seed: 42 }), chosen: 'one-reading' as const };
    const left = first.left['one-reading']!;
    const sure: LeftOut = {
      ...left,
      refitted: left.floods.length,
      probability: left.probability.map((_, at) =>
        left.cases.classIndex[Math.floor(at / 5)] === at % 5 ? 0.96 : 0.01,
      ),
    };
    const refits = {
      depth: 'doubtful-floods' as const,
      suspects: undefined,
      nextLook: undefined,
      leftOut: { effective: sure, 'one-reading': sure, 'as-it-stands': null },
      leadCurve: null,
      without: [],
      influence: null,
      sensitivity: null,
      before: null,
      after: null,
      problems: [],
    };
    const full = judgeRelation(relation, { ...options, first, quick: judgement, refits });
    expect([full.evidence, full.suspects, full.nextLook]).toEqual([
      judgement.evidence,
      judgement.suspects,
      judgement.nextLook,
    ]);
    expect(full).toMatchObject({ depth: 'full', way: 'one-reading' });
    expect(full.scores!.method).toBe('refits');
    expect(full.scores!.confusion.right.value).toBe(1);
    expect(full.scores!.ways.map(({ way }) => way)).toEqual(['effective', 'one-reading']);
    expect(trustOfJudgement(full).skill!.againstFrequencies.value).toBeGreaterThan(0.9);
    expect(notForJson(full)).toEqual([]);
  });

  it('of a relation that could not be fitted is too thin, with the fit’s own sentence and nothing made up', () => {
    const none = syntheticAligned([{ x: 1, saw: 2 }]);
    const judged: Judgement = judgeRelation(
      { run: RUN, record: record([]), aligned: none, fits: fitLevels(none) },
      options,
    );
    expect(judged).toMatchObject({ grade: 'too thin', way: null, scores: null, rules: null, nextLook: null });
    expect(judged.reasons[0]).toBe(fitLevels(none).effective.statusSentence);
    expect(notForJson(judged)).toEqual([]);
  });
});
