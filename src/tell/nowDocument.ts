import type { OddsNow } from '../chart/day/oddsNow.js';
import { STALE_HOURS } from '../chart/day/oddsNow.js';
import type { Outlook } from '../chart/day/outlook.js';
import type { OutlookSkill } from '../chart/day/outlookSkill.js';
import type { Season } from '../chart/day/season.js';
import type { GaugeChart } from '../chart/types.js';
import { counted, figures, fixed, hours, lnShare, minute, parameterWord, rounded, share } from '../series/format.js';
import { unitLabel, type GaugeUnit } from '../series/units.js';
import { seasonWords } from './answerWords.js';
import { goodClasses } from '../judge/goodClasses.js';
import { heading, rows, says, type Block, type Document } from './document.js';
import { measured, number, table, text } from './table.js';

/** One run on a day: its gauge and what is said of it. */
export interface RunNow {
  readonly run: { readonly id: string; readonly name: string };
  /** Null where no gauge of the run is to be relied on. */
  readonly gauge: GaugeChart | null;
  readonly now: OddsNow | null;
  readonly outlook: Outlook | null;
  readonly season: Season | null;
}

/**
 * Is it on: for each run what the newest readings say of the time of arrival, how it may go on, and how the season goes.
 * @param options.notes said first, such as that the log is newer than the chart.
 */
export function nowDocument(
  {
    creek,
    runs,
    cautions,
  }: { creek: { name: string; timeZone: string }; runs: readonly RunNow[]; cautions: readonly string[] },
  { arrivalMs, notes = [] }: { arrivalMs: number; notes?: readonly string[] },
): Document {
  return {
    kind: 'document',
    subject: 'now',
    title: `${creek.name} at ${minute(arrivalMs, creek.timeZone)}`,
    cautions,
    body: [
      ...notes.flatMap((note) => says(note, 'note')),
      ...(runs.length > 1 ? rows(runsTable(runs, creek.timeZone)) : []),
      ...runs.flatMap((one) => [heading(2, one.run.name, one.run.id), ...runBlocks(one, creek.timeZone)]),
    ],
  };
}

/** Every run in one line: what its gauge shows, and the odds of less, of good and of more. */
function runsTable(runs: readonly RunNow[], timeZone: string) {
  const oddsOf = (side: -1 | 0 | 1) => (one: RunNow) => {
    const at = one.now;
    if (at === null || at.odds === null) return null;
    const [lowest, highest] = goodClasses(at.classes);
    const within = (k: number) => (k < lowest ? -1 : k > highest ? 1 : 0) === side;
    return at.odds.reduce((sum, p, k) => sum + (within(k) ? p : 0), 0);
  };
  return table('runs-now', 'All runs', runs, { timeZone })({
    run: text('run', 'The run.', ({ run }) => run.name),
    reading: text('gauge', 'Newest reading of its gauge.', ({ now, gauge }) =>
      now === null || now.newest === null || gauge === null
        ? 'none'
        : `${inUnit(now.newest.value, gauge.gauge.unit)}${limbOf(now)}`,
    ),
    less: number('odds', ['less', 'Odds of a class below the good ones.'], oddsOf(-1)),
    good: number('odds', ['good', 'Odds of a good class.'], oddsOf(0)),
    more: number('odds', ['more', 'Odds of a class above the good ones.'], oddsOf(1)),
    why: text('', 'Why there are no odds.', ({ now }) =>
      now === null ? 'no gauge to rely on' : now.why === null ? '' : NO_CHART[now.why],
    ),
  });
}

const NO_CHART: Readonly<Record<NonNullable<OddsNow['why']>, string>> = {
  'no-reading': 'no chart: no reading',
  stale: 'no chart: reading too old',
  'not-seen': 'no chart: not seen',
  'nothing-like-it': 'no chart: nothing like it',
};

function limbOf({ change }: Pick<OddsNow, 'change'>): string {
  if (change === null) return '';
  if (Math.abs(change) <= STEADY) return ', steady';
  return `, ${change > 0 ? 'rising' : 'falling'}`;
}

/** Change of ln reading in three hours below which water stands. */
const STEADY = 0.03;

function runBlocks({ gauge, now, outlook, season }: RunNow, timeZone: string): readonly Block[] {
  if (gauge === null || now === null)
    return says('No gauge is to be relied on for this run, so there is nothing to say of today.', 'refusal');
  return [
    ...says(readingSentence(now, gauge, timeZone)),
    ...says(carriedSentence(now, { unit: gauge.gauge.unit, timeZone })),
    ...(now.odds === null ? says(REFUSALS[now.why ?? 'not-seen'](now), 'refusal') : oddsBlocks(now)),
    ...says(now.odds === null ? undefined : todaySentence(gauge)),
    ...aheadBlocks(outlook, { skill: gauge.ahead?.skill ?? null, timeZone }),
    ...says(seasonWords(season), 'note'),
  ];
}

function readingSentence(
  { newest, change, arrivalMs }: OddsNow,
  { gauge, trust }: GaugeChart,
  timeZone: string,
): string {
  if (newest === null) return `${gauge.name}: no reading before then (${trust.grade}).`;
  const age = (arrivalMs - newest.timeMs) / 3_600_000;
  const fast = change === null || Math.abs(change) <= STEADY ? '' : ` (${lnShare(change)} in three hours)`;
  const limb = `${limbOf({ change })}${fast}`;
  const ago = age > 72 ? counted(Math.round(age / 24), 'day') : hours(rounded(age, 1));
  const when = `at ${minute(newest.timeMs, timeZone)}, ${ago} before you arrive`;
  return `${gauge.name} (${trust.grade}): ${parameterWord(gauge.parameter)} ${inUnit(newest.value, gauge.unit)} ${when}${limb}.`;
}

function carriedSentence(
  { carriedHours, like, reading, forecastMs, askedMs, newest }: OddsNow,
  { unit, timeZone }: { unit: GaugeUnit; timeZone: string },
): string | undefined {
  if (reading === null) return undefined;
  if (!(carriedHours > 0))
    return newest === null || newest.timeMs <= askedMs
      ? undefined
      : `The chart goes by what it works out for ${minute(askedMs, timeZone)}: ${inUnit(reading.value, unit)}.`;
  const [low, high] = reading.i80;
  const by =
    forecastMs === null
      ? `${counted(like, 'past moment')} like this one went on to`
      : `The official forecast of ${minute(forecastMs, timeZone)}, off as ${counted(like, 'past one')} were, makes it`;
  return (
    `The chart asks for a reading that lies ${hours(rounded(carriedHours, 1))} ahead. ` +
    `${by} ${inUnit(reading.value, unit)} (80 %: ${figures(low)} to ${figures(high)}).`
  );
}

function oddsBlocks(now: OddsNow): readonly Block[] {
  const { below, above } = now.notSeen;
  const off = (way: 'lower' | 'higher', word: string) => now.ifOff[way]?.[now.classes.indexOf(word)] ?? null;
  const made = table(
    'now',
    'Odds on arrival',
    now.classes,
  )({
    class: text('level', 'Class of the run.', (word) => word),
    odds: {
      as: 'odds' as const,
      label: 'odds',
      means: 'Odds of the class on arrival; the 80 % interval is the chart’s own.',
      of: (word: string) => now.odds![now.classes.indexOf(word)]!,
      i80: (word: string) => {
        const k = now.classes.indexOf(word);
        return [now.low80![k]!, now.high80![k]!] as const;
      },
    },
    lower: number('odds', ['if 10 % lower', 'Odds, were the reading a tenth lower.'], (word) => off('lower', word)),
    higher: number('odds', ['if 10 % higher', 'Odds, were the reading a tenth higher.'], (word) => off('higher', word)),
  });
  const unseen = [
    above > 0 ? `above the highest visit with odds of ${share(above)}` : '',
    below > 0 ? `below the lowest with odds of ${share(below)}` : '',
  ].filter((part) => part !== '');
  return [
    ...rows(made),
    ...says(
      unseen.length === 0 ? undefined : `The reading may come to lie ${unseen.join(', and ')}: not seen, no class.`,
      'refusal',
    ),
  ];
}

/** What the latest visits say of a drift that the odds, made for any season, leave open. */
function todaySentence({ level }: GaugeChart): string | undefined {
  const today = level?.asOfToday;
  if (today === undefined || !today.told) return undefined;
  const { median, i80 } = today.drift;
  return (
    `By the last ${counted(today.visits60, 'visit')} in 60 days the creek stood ${lnShare(median)} ` +
    `(${lnShare(i80[0]!)} to ${lnShare(i80[1]!)}) off what the gauge says; the odds are those of any season.`
  );
}

const REFUSALS: Readonly<Record<NonNullable<OddsNow['why']>, (now: OddsNow) => string>> = {
  'no-reading': () => 'No chart for this time: the gauge has no reading before it.',
  stale: () =>
    `No chart for this time: the newest reading is more than ${STALE_HOURS} hours older than the one that the chart asks for.`,
  'not-seen': ({ notSeen }) =>
    'No chart for this reading: it lies ' +
    `${notSeen.above > notSeen.below ? 'above the highest' : 'below the lowest'} visit. Nobody has been there ` +
    'and told.',
  'nothing-like-it': ({ like }) =>
    'No chart for this time: the reading asked for does not exist yet, and only ' +
    `${counted(like, 'past moment')} of the record were like this one.`,
};

/**
 * How the creek may go on: odds of each class hour by hour, the time until it falls through each edge, and how far ahead such an outlook is
 * worth anything.
 */
export function aheadBlocks(
  outlook: Outlook | null,
  { skill, timeZone }: { skill: OutlookSkill | null; timeZone: string },
): readonly Block[] {
  if (outlook === null || outlook.why !== null) return [];
  const { steps, classes } = outlook;
  const shown = steps.filter(({ hours: h }) => AHEAD_HOURS.includes(h));
  const made = table(
    'ahead',
    `Outlook, by ${counted(outlook.like, 'past moment')} like this one`,
    shown,
  )({
    hours: number('hours', ['ahead', 'Hours ahead of the last reading, at the creek.'], ({ hours: h }) => h),
    ...Object.fromEntries(
      classes.map((word, k) => [
        `odds${k}`,
        number('odds', [word, `Odds of ${word}.`], ({ odds }: (typeof shown)[number]) => odds?.[k] ?? null),
      ]),
    ),
    unseen: number(
      'odds',
      ['not seen', 'Odds of water that no visit has met.'],
      ({ notSeen }) => notSeen.below + notSeen.above,
    ),
  });
  return [
    ...rows(made),
    ...says(forecastSentence(outlook, timeZone)),
    ...says(fallsSentence(outlook)),
    ...says(skillSentence(skill), 'note'),
  ];
}

/** How far the official forecast leads the outlook, and how far off such forecasts were. */
function forecastSentence({ forecast }: Outlook, timeZone: string): string | undefined {
  if (forecast === null) return undefined;
  const { issuedMs, past, off80, offHours, toHours } = forecast;
  const off = `${lnShare(off80[0])} to ${lnShare(off80[1])}`;
  return (
    `Up to ${hours(toHours)} ahead it follows the official forecast of ${minute(issuedMs, timeZone)}. ` +
    `After ${hours(offHours)} the gauge was ${off} off such a forecast (80 % of ${counted(past, 'past one')}).`
  );
}

const AHEAD_HOURS: readonly number[] = [6, 12, 24, 48, 72];

function fallsSentence({ falls }: Outlook): string | undefined {
  if (falls.length === 0) return undefined;
  const parts = [...falls].reverse().map(({ between: [below], medianHours, stillAbove }) => {
    const { share: above, se } = stillAbove.find(({ hours: h }) => h === 24)!;
    const half =
      medianHours === null
        ? 'in fewer than half of them within three days'
        : `in half of them within ${hours(medianHours)}`;
    const later = above === 0 ? 'all' : `${share(1 - above)} ± ${fixed(100 * se, 0)}`;
    return `to "${below}" ${half} (${later} within a day)`;
  });
  return `After moments like this one, until a new rise, the level fell ${parts.join('; ')}.`;
}

/** What outlooks of years held out were worth, by how far ahead they looked. */
export function outlookSkillTable({ leads }: OutlookSkill) {
  type Lead = OutlookSkill['leads'][number];
  return table(
    'outlook-skill',
    'Outlooks made for years held out',
    leads,
  )({
    hours: number('hours', ['ahead', 'Hours ahead.'], ({ hours: h }: Lead) => h),
    moments: number('count', ['moments', 'Past moments looked ahead from.'], ({ moments }) => moments),
    season: measured('share', ['over the season', 'Guesswork of the season taken away.'], (lead) => lead.againstSeason),
    persistence: measured(
      'share',
      ['over no change', 'Guesswork of the class staying as it is taken away.'],
      (lead) => lead.againstPersistence,
    ),
    brier: number(
      'number',
      ['Brier score of good', 'Mean squared error of the odds of good.'],
      ({ good }) => good.score,
    ),
    reliability: number(
      'number',
      ['of that, odds off', 'Reliability: how far the odds of good were from how often it was good.'],
      ({ good }) => good.reliability,
    ),
  });
}

function skillSentence(skill: OutlookSkill | null): string {
  if (skill === null) return 'The record is too short to tell how good such outlooks are.';
  return skill.usefulHours === null
    ? 'On years held out such outlooks were no better than the season: take them for nothing more.'
    : `On years held out such outlooks were better than the season up to ${hours(skill.usefulHours)} ahead, and not for sure beyond.`;
}

function inUnit(value: number, unit: GaugeUnit): string {
  return `${figures(value)} ${unitLabel(unit)}`;
}
