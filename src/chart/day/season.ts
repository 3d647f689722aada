import { goodClasses } from '../../judge/goodClasses.js';
import { quantile } from '../../kernel/quantile.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { zoneClock } from '../../series/time.js';
import { oddsAt, seenOdds } from '../figures/oddsAt.js';
import type { LevelChart } from '../types.js';
import { seriesOf } from './readingSeries.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

/** A year counts where the record tells of at least this many of its days. */
const DAYS_OF_A_YEAR = 330;

/** How often each class comes, day by day at noon, over a gauge's whole record. */
export interface Season {
  readonly kind: 'season';
  readonly classes: readonly string[];
  /** Classes that count as good. */
  readonly good: readonly string[];
  /** January first: days known, share of them in each class, and share outside what visits have met. */
  readonly months: readonly {
    readonly days: number;
    readonly share: readonly number[];
    readonly below: number;
    readonly above: number;
  }[];
  /**
   * Days with good water in a year: the median year and its 80 % spread, over years and over the edges; null without a year that is known.
   */
  readonly goodDays: {
    readonly median: number;
    readonly i80: readonly [number, number];
    readonly years: number;
  } | null;
  /**
   * The fewest months that hold three quarters of the good days, as stretches of first and last month (0 to 11), a turn of the year in one.
   * Empty without any.
   */
  readonly mostly: readonly (readonly [first: number, last: number])[];
  /** Longest run of days on which good was the likeliest class. */
  readonly longestGood: { readonly days: number; readonly fromMs: number } | null;
}

interface Day {
  readonly noonMs: number;
  readonly month: number;
  readonly year: number;
  readonly odds: readonly (readonly number[])[] | null;
  readonly outside: -1 | 0 | 1;
}

/**
 * Season of a run by one chart: the class of every day at noon, with all that the chart does not know of it. Days whose reading no visit
 * has met belong to no class.
 *
 * @param options.timeZone IANA zone of the creek.
 * @example seasonOf(chart.level, record, { timeZone: 'America/Denver' }).goodDays
 */
export function seasonOf(level: LevelChart, record: GaugeRecord, { timeZone }: { timeZone: string }): Season {
  const { classes } = level.odds;
  const [lowest, highest] = goodClasses(classes);
  const good = classes.map((_, k) => k).filter((k) => k >= lowest && k <= highest);
  const days = noons(level, record, timeZone);
  const months = Array.from({ length: 12 }, (_, m) => {
    const own = days.filter(({ month }) => month === m);
    const part = (n: number) => (own.length === 0 ? 0 : n / own.length);
    return {
      days: own.length,
      share: classes.map((_, k) => part(own.reduce((sum, { odds }) => sum + (odds === null ? 0 : odds[0][k]), 0))),
      below: part(own.filter(({ outside }) => outside < 0).length),
      above: part(own.filter(({ outside }) => outside > 0).length),
    };
  });
  return {
    kind: 'season',
    classes,
    good: good.map((k) => classes[k]),
    months,
    goodDays: goodDays(days, good),
    mostly: fullestMonths(months.map(({ share }) => good.reduce((sum, k) => sum + share[k], 0))),
    longestGood: longestGood(days, good),
  };
}

function noons(level: LevelChart, record: GaugeRecord, timeZone: string): readonly Day[] {
  const series = seriesOf(level, record);
  const n = series.timesMs.length;
  if (n === 0) return [];
  const clock = zoneClock(timeZone);
  const lagMs = level.reading.lagHours * HOUR;
  const table = { ...level.odds, seen: level.seen };
  const days: Day[] = [];
  const first = Math.floor((series.timesMs[0] + lagMs) / DAY) - 1;
  const last = Math.ceil((series.timesMs[n - 1] + lagMs) / DAY) + 1;
  for (let day = first; day <= last; day++) {
    const localNoonMs = day * DAY + 12 * HOUR;
    const noonMs = localNoonMs - clock.offsetAt(localNoonMs);
    const x = series.at(noonMs - lagMs);
    if (!(x === x)) continue;
    const { side, rows } = seenOdds(table, series.offset + Math.exp(x), { oddsAt });
    const local = new Date(localNoonMs);
    days.push({
      noonMs,
      month: local.getUTCMonth(),
      year: local.getUTCFullYear(),
      outside: side,
      odds: side === 0 ? rows : null,
    });
  }
  return days;
}

function goodDays(days: readonly Day[], good: readonly number[]): Season['goodDays'] {
  const years = [...new Set(days.map(({ year }) => year))]
    .map((year) => days.filter((day) => day.year === year))
    .filter((own) => own.length >= DAYS_OF_A_YEAR);
  if (years.length === 0) return null;
  const sums = (row: number) =>
    Float64Array.from(years, (own) =>
      own.reduce(
        (sum, { odds }) =>
          sum +
          (odds === null
            ? 0
            : Math.min(
                1,
                good.reduce((p, k) => p + odds[row][k], 0),
              )),
        0,
      ),
    );
  return {
    median: quantile(sums(0), 0.5),
    i80: [quantile(sums(1), 0.1), quantile(sums(2), 0.9)],
    years: years.length,
  };
}

/** The fullest months until they hold three quarters of the sum, joined where they follow each other. */
function fullestMonths(amounts: readonly number[]): Season['mostly'] {
  const total = amounts.reduce((a, b) => a + b, 0);
  if (!(total > 0)) return [];
  const held = new Set<number>();
  let sum = 0;
  for (const month of [...amounts.keys()].sort((a, b) => amounts[b] - amounts[a])) {
    if (sum >= 0.75 * total) break;
    held.add(month);
    sum += amounts[month];
  }
  const starts = [...held].filter((month) => !held.has((month + 11) % 12)).sort((a, b) => a - b);
  return starts.map((first) => {
    let last = first;
    while (held.has((last + 1) % 12) && (last + 1) % 12 !== first) last = (last + 1) % 12;
    return [first, last] as const;
  });
}

function longestGood(days: readonly Day[], good: readonly number[]): Season['longestGood'] {
  let best: Season['longestGood'] = null;
  let run = 0;
  days.forEach(({ odds, noonMs }, i) => {
    const isGood = odds !== null && good.includes(odds[0].indexOf(Math.max(...odds[0])));
    const follows = i > 0 && noonMs - days[i - 1].noonMs < 1.5 * DAY;
    run = isGood ? (follows ? run + 1 : 1) : 0;
    if (run > (best?.days ?? 0)) best = { days: run, fromMs: noonMs - (run - 1) * DAY };
  });
  return best;
}
