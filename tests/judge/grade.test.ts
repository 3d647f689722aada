import { describe, expect, it } from 'vitest';
import { evidenceOf } from '../../src/judge/evidence.js';
import type { LoggedEvidence } from '../../src/judge/evidence.js';
import { gradeRelation } from '../../src/judge/grade.js';
import type { GradeInput } from '../../src/judge/trustRules.js';
import { lagWorthInClasses } from '../../src/judge/lagWorth.js';
import { gradeWays } from '../../src/judge/gradeWays.js';
import { waysOfReading } from '../../src/judge/waysOfReading.js';
import type { ReadingWay } from '../../src/fit/types.js';
import type { Skill } from '../../src/judge/types.js';
import { tallyGrades } from '../../tools/simulateGrade/tallyGrades.js';
import { expectClose } from '../expectClose.js';
import { DAY, syntheticAligned, syntheticFit } from './syntheticRelation.js';

const evidence: LoggedEvidence = {
  visits: 60,
  verdicts: 55,
  floods: 22,
  fullestFloodShare: 0.1,
  firstVisitMs: 0,
  lastVisitMs: 300 * DAY,
  spanDays: 300,
  classCounts: [15, 15, 15, 5, 5],
  limbs: { rising: 10, steady: 30, falling: 20 },
  goodEdges: [
    { between: ['low', 'good'], below: 30, above: 25, beside: 30 },
    { between: ['good', 'high'], below: 45, above: 10, beside: 20 },
  ],
};

const strong: Skill = {
  againstFrequencies: { value: 0.7, i80: [0.6, 0.78] },
  againstMonth: { value: 0.6, i80: [0.45, 0.7] },
};

const input: GradeInput = { evidence, skill: strong, undependableShare: 0.05, unmatchedShare: 0, lagWorth: 0.1 };

function graded(change: Partial<GradeInput>) {
  return gradeRelation({ ...input, ...change });
}

describe('gradeRelation', () => {
  it('all checks passed is a good guide, with its skill as the reason', () => {
    const { grade, reasons, checks } = gradeRelation(input);
    expect(grade).toBe('good guide');
    expect(reasons).toEqual([
      'On floods it had not seen, the gauge took away 70 % of the guesswork (80 % interval: 60 to 78 %); against the calendar 60 %.',
    ]);
    expect(checks.every((c) => c.pass)).toBe(true);
    expect(checks.filter((c) => c.essential).length).toBeGreaterThan(8);
    for (const c of checks) expect(c.comment.length).toBeGreaterThan(10);
  });

  it.each<[string, Partial<LoggedEvidence>, string]>([
    ['few visits', { verdicts: 14 }, 'Only 14 visits with a verdict; 15 are the least a chart can rest on.'],
    [
      'few floods',
      { floods: 7 },
      'All verdicts come from 7 floods; visits of one flood tell the same story, and 8 floods are the least.',
    ],
    [
      'one flood',
      { floods: 1 },
      'All verdicts come from 1 flood; visits of one flood tell the same story, and 8 floods are the least.',
    ],
    ['three weeks', { spanDays: 20.1 }, 'The log covers 20 days; that is one spell of weather, not a creek.'],
    [
      'one class',
      { classCounts: [40, 4, 0, 0, 0] },
      'All but 4 verdicts say the same class; an edge needs both of its sides. Log the days it did not go, too.',
    ],
  ])('%s is too thin, however good the fit', (_, change, reason) => {
    const result = graded({ evidence: { ...evidence, ...change } });
    expect(result.grade).toBe('too thin');
    expect(result.reasons).toEqual([reason]);
    expect(result.checks.filter((c) => !c.pass).map((c) => c.essential)).toContain(true);
  });

  it('an open sign of the lag over more than one flood fails, in words', () => {
    const { grade, checks, reasons } = graded({ lagSign: { lag80: [-8, 8], floodHours: 7, openFloods: 16 / 7 } });
    expect(grade).toBe('rough guide');
    expect(checks.find(({ id }) => id === 'lag-sign')).toMatchObject({ operator: '<=', threshold: 1, pass: false });
    expect(reasons).toContain(
      'It is open whether the gauge leads or trails: the lag may be anything from -8 to 8 hours, and a flood lasts about 7. Log exact times on several floods.',
    );
    const asked = (more: Partial<GradeInput>) => graded(more).checks.filter(({ id }) => id.startsWith('lag-')).length;
    expect([asked({ lagWorth: NaN }), asked({})]).toEqual([0, 1]);
  });

  it('asks what the gauge knows beyond the season only where that was worked out', () => {
    const season = (more: Partial<GradeInput>) => graded(more).checks.filter(({ id }) => id.startsWith('skill-season'));
    expect(season({})).toEqual([]);
    const weak = { value: 0.04, i90: [-0.05, 0.12] } as const;
    expect(season({ againstSeason: weak }).map((c) => [c.statistic, c.threshold])).toEqual([
      [-0.05, 0],
      [0.04, 0.1],
    ]);
    expect(graded({ againstSeason: weak })).toMatchObject({ grade: 'no usable relation' });
    expect(graded({ againstSeason: weak }).reasons).toContain(
      'Beyond what it usually reads at that time of the year, the gauge takes away 4 % of the guesswork, which rivers that share only the season reach by luck.',
    );
    const open = graded({ againstSeason: { value: 0.04, i90: [-0.05, 0.5] } });
    expect([open.grade, open.reasons]).toEqual([
      'too thin',
      ['The log is too small to tell whether this gauge knows more than the season.'],
    ]);
  });

  it('a chart that one person moves by more than its interval is at most a rough guide', () => {
    expect(graded({ personMove: 1 }).grade).toBe('good guide');
    const { grade, reasons } = graded({ personMove: 1.01 });
    expect(grade).toBe('rough guide');
    expect(reasons[1]).toBe(
      'Leave one person’s sightings out, and an edge moves by more than its 80 % interval. Get others to log the same days.',
    );
  });

  it('each threshold is on the passing side at its own value', () => {
    const edge = { ...evidence, verdicts: 15, floods: 8, spanDays: 30, classCounts: [10, 5, 0, 0, 0] };
    expect(graded({ evidence: edge }).grade).not.toBe('too thin');
  });

  it('a gauge that only shares the seasons has no usable relation', () => {
    const seasons: Skill = {
      againstFrequencies: { value: 0.2, i80: [0.08, 0.3] },
      againstMonth: { value: 0.02, i80: [-0.1, 0.12] },
    };
    const result = graded({ skill: seasons });
    expect(result.grade).toBe('no usable relation');
    expect(result.reasons).toEqual([
      'On floods it had not seen, the gauge took away 20 % of the guesswork (80 % interval: 8 to 30 %); against the calendar 2 %.',
      'On floods it had not seen, the gauge was not clearly better than the calendar: the two rivers share seasons, not floods.',
    ]);
  });

  it('a skill that is real but tiny is no usable relation either', () => {
    const tiny = {
      againstFrequencies: { value: 0.11, i80: [0.06, 0.16] },
      againstMonth: { value: 0.11, i80: [0.05, 0.16] },
    } as const;
    const result = graded({ skill: tiny });
    expect(result.grade).toBe('no usable relation');
    expect(result.reasons[1]).toBe(
      'The gauge takes away only 11 % of the guesswork; rivers that share nothing but the seasons reach 13 %.',
    );
  });

  it('a gauge that is worse than guessing is told so in words', () => {
    const worse = {
      againstFrequencies: { value: -0.08, i80: [-0.28, 0.07] },
      againstMonth: { value: -0.11, i80: [-0.35, 0.08] },
    } as const;
    const result = graded({ skill: worse });
    expect(result.grade).toBe('no usable relation');
    expect(result.reasons[0]).toBe(
      'On floods it had not seen, the gauge did worse than guessing by how often each class was logged: −8 % (80 % interval: −28 to 7 %); against the calendar −11 %.',
    );
    expect(result.reasons.slice(1)).toEqual([
      'On floods it had not seen, the gauge was not clearly better than knowing how often each class was logged.',
      'Nor was it clearly better than the calendar.',
    ]);
  });

  it('an interval from nothing to fair is too thin to say, told once', () => {
    const open = {
      againstFrequencies: { value: 0.3, i80: [-0.2, 0.6] },
      againstMonth: { value: 0.2, i80: [-0.3, 0.5] },
    } as const;
    const result = graded({ skill: open });
    expect(result.grade).toBe('too thin');
    expect(result.reasons).toEqual(['The log is too small to tell whether this gauge helps at all.']);
    // In a smaller log a rough skill is enough to leave it open; in a large one it isn't.
    const rough = {
      againstFrequencies: { value: 0.3, i80: [-0.2, 0.2] },
      againstMonth: { value: 0.2, i80: [-0.3, 0.2] },
    } as const;
    expect(graded({ skill: rough }).grade).toBe('no usable relation');
    expect(graded({ skill: rough, evidence: { ...evidence, verdicts: 39 } }).grade).toBe('too thin');
    expect(graded({ skill: rough, evidence: { ...evidence, floods: 14 } }).grade).toBe('too thin');
    // The calendar alone can close it.
    const closed = { ...rough, againstMonth: { value: 0.2, i80: [-0.3, 0.1] } } as const;
    expect(graded({ skill: closed, evidence: { ...evidence, verdicts: 39 } }).grade).toBe('no usable relation');
  });

  it.each<[string, Partial<GradeInput>, string]>([
    [
      'an edge of the good range that nobody was beyond',
      {
        evidence: {
          ...evidence,
          goodEdges: [evidence.goodEdges[0], { between: ['good', 'high'], below: 53, above: 2, beside: 17 }],
        },
      },
      'Only 2 verdicts of "high" or above: where that begins is mostly a guess.',
    ],
    [
      'an edge with too little below it',
      { evidence: { ...evidence, goodEdges: [{ between: ['low', 'good'], below: 0, above: 55, beside: 15 }] } },
      'Only 0 verdicts of "low" or below: where that begins is mostly a guess.',
    ],
    [
      'an open lag',
      { lagWorth: 0.8 },
      'The lag is so open that it moves the reading by 0.8 classes. Log exact times, most of all while the water rises or falls fast.',
    ],
    [
      'two months',
      { evidence: { ...evidence, spanDays: 61 } },
      'The log covers 61 days: too short to tell the gauge from the season.',
    ],
    [
      'undependable weights',
      { undependableShare: 0.6 },
      'For 60 % of the verdicts a single flood steers the fit so much that the test by leaving it out is not dependable.',
    ],
    [
      'a middling skill',
      { skill: { ...strong, againstFrequencies: { value: 0.35, i80: [0.25, 0.45] } } },
      'The share of the guesswork that the gauge takes away is 35 %; a fair guide asks for 40 %.',
    ],
    [
      'a skill that is not sure',
      { skill: { ...strong, againstFrequencies: { value: 0.45, i80: [0.15, 0.7] } } },
      'The low end of that range is 15 %; a fair guide asks for 20 %.',
    ],
  ])('%s caps at rough guide', (_, change, reason) => {
    const result = graded(change);
    expect(result.grade).toBe('rough guide');
    expect(result.reasons.slice(1)).toEqual([reason]);
  });

  it.each<[string, Partial<GradeInput>, string]>([
    [
      'fair skill',
      { skill: { ...strong, againstFrequencies: { value: 0.5, i80: [0.6, 0.78] } } },
      'The share of the guesswork that the gauge takes away is 50 %; a good guide asks for 60 %.',
    ],
    [
      'a wide interval',
      { skill: { ...strong, againstFrequencies: { value: 0.7, i80: [0.3, 0.8] } } },
      'The low end of that range is 30 %; a good guide asks for 40 %.',
    ],
    ['39 visits', { evidence: { ...evidence, verdicts: 39 } }, '39 visits with a verdict; a good guide asks for 40.'],
    ['14 floods', { evidence: { ...evidence, floods: 14 } }, '14 floods; a good guide asks for 15.'],
  ])('%s caps at fair guide', (_, change, reason) => {
    const result = graded(change);
    expect(result.grade).toBe('fair guide');
    expect(result.reasons.slice(1)).toEqual([reason]);
  });

  it('tells the share without a reading, and caps when it is large', () => {
    expect(graded({ unmatchedShare: 0.1 })).toMatchObject({ grade: 'good guide' });
    expect(graded({ unmatchedShare: 0.1 }).reasons).toContain(
      '10 % of the verdicts have no reading and were scored as guesses.',
    );
    expect(graded({ unmatchedShare: 0.3 })).toMatchObject({ grade: 'fair guide' });
  });

  it('without a fit it is too thin, and the lag is not asked where there is none', () => {
    const result = graded({ skill: null, lagWorth: NaN });
    expect(result.grade).toBe('too thin');
    expect(result.reasons[0]).toBe('No relation could be fitted.');
    expect(result.checks.map((c) => c.check)).not.toContain('what the open lag is worth');
    expect(JSON.parse(JSON.stringify(result))).toEqual(result);
  });

  it('a worse statistic never gives a better grade (each check in turn)', () => {
    const order = ['too thin', 'no usable relation', 'rough guide', 'fair guide', 'good guide'];
    const steps = [0, 0.1, 0.2, 0.3, 0.5, 0.65, 0.8];
    const grades = steps.map((s) =>
      order.indexOf(
        graded({
          skill: {
            againstFrequencies: { value: s, i80: [s - 0.1, s + 0.1] },
            againstMonth: { value: s, i80: [s - 0.1, s + 0.1] },
          },
        }).grade,
      ),
    );
    expect([...grades].sort((a, b) => a - b)).toEqual(grades);
    expect(new Set(grades).size).toBe(4);
  });
});

describe('evidenceOf', () => {
  it('counts visits, floods, classes, seasons, limbs and both sides of good', () => {
    const aligned = syntheticAligned([
      { x: 1, saw: 0, flood: 0, timeMs: Date.UTC(2020, 0, 1), slope: 0.2 },
      { x: 1, saw: 2, flood: 0, timeMs: Date.UTC(2020, 0, 3), slope: -0.2 },
      { x: 2, saw: 3, flood: 1, timeMs: Date.UTC(2020, 4, 3) },
      { x: 2, flood: 2, timeMs: Date.UTC(2020, 5, 1) },
    ]);
    expect(evidenceOf(aligned)).toEqual({
      visits: 4,
      verdicts: 3,
      floods: 2,
      fullestFloodShare: 2 / 3,
      firstVisitMs: Date.UTC(2020, 0, 1),
      lastVisitMs: Date.UTC(2020, 5, 1),
      spanDays: 123,
      classCounts: [1, 0, 1, 1, 0],
      limbs: { rising: 1, steady: 2, falling: 1 },
      goodEdges: [
        { between: ['low', 'good'], below: 1, above: 2, beside: 1 },
        { between: ['good', 'high'], below: 2, above: 1, beside: 2 },
      ],
    });
  });

  it('two classes have one edge to judge; no visits are counted as none', () => {
    const two = syntheticAligned(
      [
        { x: 1, saw: 0 },
        { x: 2, saw: 1 },
      ],
      { classes: ['no', 'yes'] },
    );
    expect(evidenceOf(two).goodEdges).toEqual([{ between: ['no', 'yes'], below: 1, above: 1, beside: 2 }]);
    expect(evidenceOf(syntheticAligned([]))).toMatchObject({
      visits: 0,
      verdicts: 0,
      floods: 0,
      firstVisitMs: null,
      spanDays: 0,
    });
  });
});

describe('lagWorthInClasses', () => {
  const aligned = syntheticAligned(
    [
      { x: 1, saw: 1, slope: 0.1 },
      { x: 2, saw: 2, slope: -0.1 },
      { x: 2, saw: 2, slope: NaN },
    ],
    { lags: [0, 2, 4] },
  );
  const draws = [0, 2, 2, 2, 4].map((lagHours) => ({ edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1, lagHours }));

  it('half the 80 % width × |dx/dt| over the class width', () => {
    // A fifth of the probability at 0 and at 4 h each: 80 % lie between 0 and 4; half of 4 h × 0.1 per hour over a class of 1.
    expectClose(lagWorthInClasses(syntheticFit(aligned, draws), aligned), 0.2, { rel: 1e-12, why: 'by hand' });
  });

  it('can’t be said with two classes or without draws', () => {
    expect(lagWorthInClasses(syntheticFit(aligned, []), aligned)).toBeNaN();
    const two = syntheticAligned([{ x: 1, saw: 0 }], { classes: ['no', 'yes'] });
    expect(lagWorthInClasses(syntheticFit(two, [{ edges: [1], mismatch: 0.1, blur: 0.1 }]), two)).toBeNaN();
  });
});

describe('gradeWays', () => {
  const classOf = (x: number) => Math.min(4, Math.max(0, Math.floor(x)));
  const many = Array.from({ length: 60 }, (_, i) => {
    const x = 2.5 + 2.4 * Math.sin(1.3 * i);
    return { x, saw: classOf(x), flood: Math.floor(i / 3), timeMs: i * 7 * DAY };
  });
  const aligned = syntheticAligned(many);
  const draws = Array.from({ length: 200 }, (_, d) => ({
    edges: [1, 2, 3, 4].map((e) => e + 0.03 * Math.sin(d)),
    mismatch: 0.2,
    blur: 0.1,
  }));
  const fitted = (mismatch: number, mode: ReadingWay) =>
    syntheticFit(
      aligned,
      draws.map((d) => ({ ...d, mismatch })),
      { mode },
    );
  const scored = (mismatches: Partial<Record<ReadingWay, number>>) =>
    waysOfReading(
      aligned,
      Object.fromEntries(
        Object.entries(mismatches).map(([way, mismatch]) => [way, fitted(mismatch, way as ReadingWay)]),
      ),
      { seed: 7 },
    );

  it('takes one reading unless the effective one clearly beats it, and grades what was taken', () => {
    const better = scored({ effective: 0.2, 'one-reading': 3 });
    expect(better.chosen).toBe('effective');
    expect(better.gain!.value).toBeGreaterThan(0.2);
    expect(better.gain!.i80[0]).toBeGreaterThan(0);
    expect(gradeWays(aligned, { ways: better }).grade).toBe('good guide');
    const worse = scored({ effective: 3, 'one-reading': 0.2 });
    expect(worse.chosen).toBe('one-reading');
    expectClose(worse.gain!.value!, -better.gain!.value!, { abs: 1e-12, why: 'the same two ways, changed about' });
    expect(gradeWays(aligned, { ways: worse }).grade).toBe('good guide');
    // A gain that is sure but small pays for no arithmetic.
    const hardly = scored({ effective: 0.2, 'one-reading': 0.22 });
    expect(hardly.gain!.value).toBeGreaterThan(0);
    expect(hardly.gain!.value).toBeLessThan(0.03);
    expect(hardly.chosen).toBe('one-reading');
  });

  it('has no gain with one way alone, and is the same for the same seed', () => {
    const once = () => scored({ effective: 0.2 });
    expect(once()).toEqual(once());
    expect(once()).toMatchObject({ 'one-reading': null, gain: null, chosen: 'effective' });
  });

  it('where nothing was fitted it is too thin, in the fit’s own words first', () => {
    const ways = waysOfReading(aligned, { effective: syntheticFit(aligned, []) }, { seed: 1 });
    const { grade, reasons } = gradeWays(aligned, { ways, statusSentence: 'The gauge never moved.' });
    expect(grade).toBe('too thin');
    expect(reasons.slice(0, 2)).toEqual(['The gauge never moved.', 'No relation could be fitted.']);
  });
});

// The small twin of tools/simulate.ts, whose 480 cases stand in validation/grade.json.
describe('a grade with fewer visits', () => {
  it('is hardly ever better, and never makes a gauge usable', () => {
    const { betterShare, madeUsableShare } = tallyGrades(8, { firstSeed: 1, draws: 200 });
    // At one in forty, two of eight come about once in 60 tries.
    expect(betterShare).toBeLessThanOrEqual(1 / 8);
    expect(madeUsableShare).toBe(0);
  });
});
