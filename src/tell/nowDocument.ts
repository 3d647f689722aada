import type { OddsNow } from '../chart/day/oddsNow.js';
import { STALE_HOURS } from '../chart/day/oddsNow.js';
import type { Outlook } from '../chart/day/outlook.js';
import type { OutlookSkill } from '../chart/day/outlookSkill.js';
import type { Season } from '../chart/day/season.js';
import type { GaugeChart } from '../chart/types.js';
import { counted, figures, fixed, hours, minute, parameterWord, rounded, share } from '../series/format.js';
import { unitLabel, type GaugeUnit } from '../series/units.js';
import { seasonWords } from './answerWords.js';
import { heading, rows, says, type Block, type Document } from './document.js';
import { number, table, text } from './table.js';

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
      ...runs.flatMap((one) => [heading(2, one.run.name, one.run.id), ...runBlocks(one, creek.timeZone)]),
    ],
  };
}

function runBlocks({ gauge, now, outlook, season }: RunNow, timeZone: string): readonly Block[] {
  if (gauge === null || now === null)
    return says('No gauge is to be relied on for this run, so there is nothing to say of today.', 'refusal');
  return [
    ...says(readingSentence(now, gauge, timeZone)),
    ...says(carriedSentence(now, gauge.gauge.unit)),
    ...(now.odds === null ? says(REFUSALS[now.why ?? 'not-seen'](now), 'refusal') : oddsBlocks(now)),
    ...aheadBlocks(outlook, gauge.ahead?.skill ?? null),
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
  const limb = change === null ? '' : change > 0.03 ? ', rising' : change < -0.03 ? ', falling' : ', steady';
  const when = `at ${minute(newest.timeMs, timeZone)}, ${hours(rounded(age, 1))} before you arrive`;
  return `${gauge.name} (${trust.grade}): ${parameterWord(gauge.parameter)} ${inUnit(newest.value, gauge.unit)} ${when}${limb}.`;
}

function carriedSentence({ carriedHours, like, reading }: OddsNow, unit: GaugeUnit): string | undefined {
  if (!(carriedHours > 0) || reading === null) return undefined;
  const [low, high] = reading.i80;
  return (
    `The chart asks for a reading that lies ${hours(rounded(carriedHours, 1))} ahead. ` +
    `${counted(like, 'past moment')} like this one went on to ${inUnit(reading.value, unit)} (80 %: ` +
    `${figures(low)} to ${figures(high)}).`
  );
}

function oddsBlocks(now: OddsNow): readonly Block[] {
  const { below, above } = now.notSeen;
  const made = table(
    'now',
    'Odds on arrival',
    now.classes,
  )({
    class: text('level', 'Class of the run.', (word: string) => word),
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
export function aheadBlocks(outlook: Outlook | null, skill: OutlookSkill | null): readonly Block[] {
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
  return [...rows(made), ...says(fallsSentence(outlook)), ...says(skillSentence(skill), 'note')];
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

function skillSentence(skill: OutlookSkill | null): string {
  if (skill === null) return 'The record is too short to tell how good such outlooks are.';
  return skill.usefulHours === null
    ? 'On years held out such outlooks were no better than the season: take them for nothing more.'
    : `On years held out such outlooks were better than the season up to ${hours(skill.usefulHours)} ahead, and not for sure beyond.`;
}

function inUnit(value: number, unit: GaugeUnit): string {
  return `${figures(value)} ${unitLabel(unit)}`;
}
