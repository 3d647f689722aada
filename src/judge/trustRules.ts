import { counted, share, shareRange } from '../series/format.js';
import type { LoggedEvidence } from './evidence.js';
import type { LagSign } from './lagSign.js';
import type { SeasonSkill } from './skillAgainstSeason.js';
import { THRESHOLDS as T } from './thresholds.js';
import type { Grade, Skill, TrustCheck } from './types.js';

/** What the grade is made from. */
export interface GradeInput {
  readonly evidence: LoggedEvidence;
  /** Skill with floods left out; null where nothing could be fitted. */
  readonly skill: Skill | null;
  /** Share of the verdicts in floods whose leave-out weights have k̂ above 0.7. */
  readonly undependableShare: number;
  /** Share of the verdicts without a reading. */
  readonly unmatchedShare: number;
  /** What the uncertainty of the lag is worth in classes; NaN where it can't be said. */
  readonly lagWorth: number;
  /** Skill against the gauge's own usual reading of the season; null where it can't be worked out, left away where it was not asked. */
  readonly againstSeason?: SeasonSkill | null | undefined;
  /** Whether it is open that the gauge leads; null where it can't be said, left away where it was not asked. */
  readonly lagSign?: LagSign | null | undefined;
  /** Largest move of an edge when one person's sightings are left out, in shares of its 80 % interval; left away where no fit told it. */
  readonly personMove?: number | undefined;
}

export interface TrustRule extends Pick<TrustCheck, 'id' | 'check' | 'comment'> {
  readonly asks: readonly [
    statistic: number | null,
    operator: TrustCheck['operator'],
    threshold: number,
    unit: TrustCheck['unit'],
  ];
  /** The best grade that stays possible when this check fails. */
  readonly cap: Grade;
  /** A plain sentence for when it fails. */
  readonly fails: string;
}

/** All checks of a relation, in the order they are shown: evidence, skill, then what keeps a usable relation from a better grade. */
export function trustRules(input: GradeInput): readonly TrustRule[] {
  const { evidence } = input;
  return [
    ...evidenceRules(evidence),
    ...skillRules(input),
    ...edgeRules(evidence),
    ...lagRules(input),
    ...personRules(input),
    ...fairRules(input),
    ...goodRules(input),
  ];
}

function evidenceRules({ verdicts, floods, spanDays, classCounts }: LoggedEvidence): readonly TrustRule[] {
  const contrast = classCounts.reduce((a, b) => a + b, 0) - Math.max(0, ...classCounts);
  return [
    {
      id: 'verdicts',
      check: 'visits with a verdict',
      asks: [verdicts, '>=', T.verdicts, 'visits'],
      comment: 'three for each edge of a five-class run and for the blur',
      cap: 'too thin',
      fails: `Only ${counted(verdicts, 'visit')} with a verdict; ${T.verdicts} are the least a chart can rest on.`,
    },
    {
      id: 'floods',
      check: 'floods',
      asks: [floods, '>=', T.floods, 'floods'],
      comment:
        'visits of one flood are not independent; 8 is the fewest of which all but one agreeing is no luck (sign test, 5 %)',
      cap: 'too thin',
      fails:
        `All verdicts come from ${counted(floods, 'flood')}; visits of one flood tell the same story, ` +
        `and ${T.floods} floods are the least.`,
    },
    {
      id: 'span',
      check: 'span',
      asks: [spanDays, '>=', T.spanDays, 'days'],
      comment: 'a month holds more than one spell of weather',
      cap: 'too thin',
      fails: `The log covers ${counted(Math.round(spanDays), 'day')}; that is one spell of weather, not a creek.`,
    },
    {
      id: 'contrast',
      check: 'verdicts outside the commonest class',
      asks: [contrast, '>=', T.contrast, 'verdicts'],
      comment: 'an edge needs both of its sides',
      cap: 'too thin',
      fails:
        `All but ${counted(contrast, 'verdict')} say the same class; an edge needs both of its sides. ` +
        'Log the days it did not go, too.',
    },
  ];
}

function skillRules({ evidence, skill, againstSeason }: GradeInput): readonly TrustRule[] {
  // An interval that holds both nothing and a useful skill says that the log is too small, not that the gauge is useless. In a log large
  // enough for a good guide a rough skill would have shown, so only a fair one stays open.
  const large = evidence.verdicts >= T.verdictsGood && evidence.floods >= T.floodsGood;
  const useful = large ? T.skillFair : T.skillRough;
  const tops = [skill?.againstFrequencies.i80[1], skill?.againstMonth.i80[1], againstSeason?.i90[1]];
  const open = skill !== null && tops.every((top) => (top ?? Infinity) >= useful);
  const cap: Grade = skill === null || open ? 'too thin' : 'no usable relation';
  const frequencies = skill?.againstFrequencies ?? null;
  const low = frequencies?.i80[0] ?? null;
  const beats = (low ?? -Infinity) > T.skillLow;
  const notBetter =
    'On floods it had not seen, the gauge was not clearly better than knowing how often each class was logged.';
  const said = (nothing: string, otherwise: string) =>
    skill === null ? nothing : open ? 'The log is too small to tell whether this gauge helps at all.' : otherwise;
  return [
    {
      id: 'skill-frequencies-low',
      check: 'skill against the logged frequencies, low end of 80 %',
      asks: [low, '>', T.skillLow, ''],
      comment:
        'floods left out; above 0: the gauge beats knowing how often each class was logged, with 90 % confidence',
      cap,
      fails: said('No relation could be fitted.', notBetter),
    },
    {
      id: 'skill-month-low',
      check: 'skill against the month, low end of 80 %',
      asks: [skill?.againstMonth.i80[0] ?? null, '>', T.skillLow, ''],
      comment: 'two rivers can share the seasons and nothing else; the gauge must beat the calendar',
      cap,
      fails: said(
        'There is nothing to compare with the calendar.',
        beats
          ? 'On floods it had not seen, the gauge was not clearly better than the calendar: the two rivers share seasons, not floods.'
          : 'Nor was it clearly better than the calendar.',
      ),
    },
    {
      id: 'skill-frequencies',
      check: 'skill against the logged frequencies',
      asks: [frequencies?.value ?? null, '>=', T.skillRough, ''],
      comment: 'records that share only the seasons reach 0.13 (rank correlation 0.5)',
      cap,
      fails: said(
        'There is no skill to judge.',
        beats
          ? `The gauge takes away only ${share(frequencies?.value ?? null)} of the guesswork; rivers that ` +
              'share nothing but the seasons reach 13 %.'
          : notBetter,
      ),
    },
    ...(againstSeason ? seasonRules(againstSeason, { cap, open }) : []),
  ];
}

/** What the gauge must know beyond the season. */
function seasonRules({ value, i90 }: SeasonSkill, { cap, open }: { cap: Grade; open: boolean }): readonly TrustRule[] {
  const fails = open
    ? 'The log is too small to tell whether this gauge knows more than the season.'
    : `Beyond what it usually reads at that time of the year, the gauge takes away ${share(value)} of ` +
      'the guesswork, which rivers that share only the season reach by luck.';
  return [
    {
      id: 'skill-season-low',
      check: 'skill against the usual reading of the season, low end of 90 %',
      asks: [i90[0], '>', T.skillSeasonLow, ''],
      comment:
        "the day's own reading tells more than the median of that fortnight over the years, with 95 % confidence",
      cap,
      fails,
    },
    {
      id: 'skill-season',
      check: 'skill against the usual reading of the season',
      asks: [value, '>=', T.skillSeason, ''],
      comment: 'a tenth of the guesswork that the season leaves; rivers that share only the season rarely reach it',
      cap,
      fails,
    },
  ];
}

/** What each edge of the good range asks of the log: verdicts on both of its sides, and some near it. */
function edgeRules({ goodEdges }: LoggedEvidence): readonly TrustRule[] {
  return goodEdges.flatMap(({ between, below, above, beside }): TrustRule[] => {
    const fewer = below < above ? `"${between[0]}" or below` : `"${between[1]}" or above`;
    const rarer = Math.min(below, above);
    return [
      {
        id: 'edge-sides',
        check: `verdicts beside the edge ${between[0]} / ${between[1]}, rarer side`,
        asks: [rarer, '>=', T.besideGoodEdge, 'verdicts'],
        comment: 'an edge of the good range that nobody has been beyond is a guess',
        cap: 'rough guide',
        fails: `Only ${counted(rarer, 'verdict')} of ${fewer}: where that begins is mostly a guess.`,
      },
      {
        id: 'edge-near',
        check: `verdicts within one class of the edge ${between[0]} / ${between[1]}`,
        asks: [beside, '>=', T.besideGoodEdge, 'verdicts'],
        comment: 'the two classes that meet there; farther ones only say that it lies somewhere between',
        cap: 'rough guide',
        fails: `Only ${counted(beside, 'verdict')} of "${between[0]}" or "${between[1]}": where they meet is mostly a guess.`,
      },
    ];
  });
}

/** What an open lag costs: in classes, and in floods where even its sign is open. Each is asked only where it can be said. */
function lagRules({ lagWorth, lagSign }: Pick<GradeInput, 'lagWorth' | 'lagSign'>): readonly TrustRule[] {
  const rules: TrustRule[] = [];
  if (Number.isFinite(lagWorth))
    rules.push({
      id: 'lag-worth',
      check: 'what the open lag is worth',
      asks: [lagWorth, '<=', T.lagWorth, 'classes'],
      comment: 'half the 80 % interval of the lag × the usual change per hour, over the usual width of a class',
      cap: 'rough guide',
      fails:
        'The lag is so open that it moves the reading by ' +
        `${counted(Math.round(10 * lagWorth) / 10, 'class').replace(/classs$/, 'classes')}. Log exact ` +
        'times, most of all while the water rises or falls fast.',
    });
  if (lagSign) {
    const [low, high] = lagSign.lag80.map(Math.round);
    rules.push({
      id: 'lag-sign',
      check: 'open sign of the lag',
      asks: [lagSign.openFloods, '<=', T.openLagFloods, 'flood lengths'],
      comment:
        'width of the 80 % interval of the lag where it holds both signs (else 0), over the usual length of a flood',
      cap: 'rough guide',
      fails:
        `It is open whether the gauge leads or trails: the lag may be anything from ${low} to ${high} ` +
        `hours, and a flood lasts about ${Math.round(lagSign.floodHours)}. Log exact times on several ` +
        'floods.',
    });
  }
  return rules;
}

/** A chart that stands or falls with one person is a rough guide. */
function personRules({ personMove }: GradeInput): readonly TrustRule[] {
  if (personMove === undefined) return [];
  return [
    {
      id: 'one-person',
      check: 'largest move of an edge without one person',
      asks: [personMove, '<=', T.personMove, '80 % intervals'],
      comment: 'an interval that one person leaving moves the edge out of speaks for that person, not for the creek',
      cap: 'rough guide',
      fails:
        'Leave one person’s sightings out, and an edge moves by more than its 80 % interval. Get others to log the same days.',
    },
  ];
}

function fairRules({ evidence, skill, undependableShare }: GradeInput): readonly TrustRule[] {
  return [
    {
      id: 'span-fair',
      check: 'span for a fair guide',
      asks: [evidence.spanDays, '>=', T.spanFairDays, 'days'],
      comment: 'the window of the month base is 90 days; a shorter log cannot tell gauge and season apart',
      cap: 'rough guide',
      fails: `The log covers ${counted(Math.round(evidence.spanDays), 'day')}: too short to tell the gauge from the season.`,
    },
    {
      id: 'undependable',
      check: 'verdicts whose left-out odds rest on undependable weights',
      asks: [undependableShare, '<=', T.undependable, 'share'],
      comment: 'Pareto k above 0.7 when their flood is divided out of the fit',
      cap: 'rough guide',
      fails:
        `For ${share(undependableShare)} of the verdicts a single flood steers the fit so much that the ` +
        'test by leaving it out is not dependable.',
    },
    ...skillFor('fair', { skill, cap: 'rough guide', asked: [T.skillFair, T.skillFairLow] }),
  ];
}

function goodRules({ evidence, skill, unmatchedShare }: GradeInput): readonly TrustRule[] {
  return [
    ...skillFor('good', { skill, cap: 'fair guide', asked: [T.skillGood, T.skillGoodLow] }),
    {
      id: 'verdicts-good',
      check: 'visits with a verdict for a good guide',
      asks: [evidence.verdicts, '>=', T.verdictsGood, 'visits'],
      comment: 'fewer leave the skill itself too vague',
      cap: 'fair guide',
      fails: `${counted(evidence.verdicts, 'visit')} with a verdict; a good guide asks for ${T.verdictsGood}.`,
    },
    {
      id: 'floods-good',
      check: 'floods for a good guide',
      asks: [evidence.floods, '>=', T.floodsGood, 'floods'],
      comment: 'fewer leave the skill itself too vague',
      cap: 'fair guide',
      fails: `${counted(evidence.floods, 'flood')}; a good guide asks for ${T.floodsGood}.`,
    },
    {
      id: 'unmatched',
      check: 'verdicts without a reading',
      asks: [unmatchedShare, '<=', T.unmatched, 'share'],
      comment: 'a gauge that is silent when it is needed is no good guide',
      cap: 'fair guide',
      fails: `The gauge is silent for ${share(unmatchedShare)} of the verdicts.`,
    },
  ];
}

/** The skill that a fair or a good guide asks for, and the low end of its interval. */
function skillFor(
  grade: 'fair' | 'good',
  { skill, cap, asked }: { skill: Skill | null; cap: Grade; asked: readonly [number, number] },
): readonly TrustRule[] {
  const { value, i80 } = skill?.againstFrequencies ?? { value: null, i80: [null, null] };
  const fails = (what: string, found: number | null, threshold: number) =>
    `${what} is ${share(found)}; a ${grade} guide asks for ${share(threshold)}.`;
  return [
    {
      id: `skill-${grade}`,
      check: `skill for a ${grade} guide`,
      asks: [value, '>=', asked[0], ''],
      comment: grade === 'fair' ? 'two fifths of the guesswork gone' : 'three fifths of the guesswork gone',
      cap,
      fails: fails('The share of the guesswork that the gauge takes away', value, asked[0]),
    },
    {
      id: `skill-${grade}-low`,
      check: `skill for a ${grade} guide, low end of 80 %`,
      asks: [i80[0], '>=', asked[1], ''],
      comment: grade === 'fair' ? 'and surely more than a trace' : 'and surely as much as a fair guide',
      cap,
      fails: fails('The low end of that range', i80[0], asked[1]),
    },
  ];
}

/** The skill in a paddler's words. */
export function skillSentence({ againstFrequencies: { value, i80 }, againstMonth }: Skill): string {
  const range = i80[0] === null || i80[1] === null ? '' : ` (80 % interval: ${shareRange(i80)})`;
  const calendar = `against the calendar ${share(againstMonth.value)}`;
  const head =
    (value ?? 0) < 0
      ? `did worse than guessing by how often each class was logged: ${share(value)}`
      : `took away ${share(value)} of the guesswork`;
  return `On floods it had not seen, the gauge ${head}${range}; ${calendar}.`;
}
