import { kaplanMeier, survivalAt } from '../../kernel/kaplanMeier.js';
import type { Forecast } from '../../series/forecast.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { VERDICT } from '../../series/visits.js';
import type { LevelChart } from '../types.js';
import { forecastOf, type ForecastAt } from './forecast.js';
import { likeMoments, FEWEST_LIKE, type LikeMoment } from './likeMoments.js';
import { carried, meanOdds } from './oddsNow.js';
import { seriesOf, type ReadingSeries } from './readingSeries.js';

const HOUR = 3_600_000;

/** Hours looked ahead, and the steps between. */
export const OUTLOOK_HOURS = 72;
const STEP_HOURS = 3;
/** A rise of this much (ln units) over the lowest value since counts as a new rise. */
const NEW_RISE = 0.25;

/** How the creek may go on, from past moments like this one. Hours count from the last reading plus the lag: the time at the creek. */
export interface Outlook {
  readonly kind: 'outlook';
  readonly classes: readonly string[];
  /** Time at the creek from which hours count. */
  readonly fromMs: number;
  readonly like: number;
  /** The official forecast that the steps follow as far as it reaches; null where there is none, or its past errors are not known. */
  readonly forecast:
    | (Pick<ForecastAt, 'issuedMs' | 'past' | 'off80'> & {
        readonly toHours: number;
        /** Hours ahead that `off80` and `past` are for: a day, or as far as it reaches. */
        readonly offHours: number;
      })
    | null;
  readonly steps: readonly {
    readonly hours: number;
    /** Odds of each class; they sum to 1 - notSeen. Null where no like moment was seen by visits. */
    readonly odds: readonly number[] | null;
    readonly notSeen: { readonly below: number; readonly above: number };
    /** Chart's own reading: median and 80 % of the like moments. */
    readonly reading: { readonly value: number; readonly i80: readonly [number, number] };
  }[];
  /** For each edge of the verdict that lies below the reading: how long until the creek falls through it. */
  readonly falls: readonly {
    readonly between: readonly [string, string];
    /** Hours after which half of the like moments have fallen through, where no new rise came first; null where fewer have in 72 h. */
    readonly medianHours: number | null;
    /** Share still above after 12, 24, 48 and 72 h, with Greenwood's standard error. */
    readonly stillAbove: readonly { readonly hours: number; readonly share: number; readonly se: number }[];
  }[];
  readonly why: 'no-reading' | 'nothing-like-it' | null;
}

/**
 * How the creek may go on for the next 72 hours: past moments like the last reading, carried forward through the chart.
 *
 * @param options.nowMs the moment to look ahead from; default the record's last reading.
 * @param options.leave past moments to be passed over. @param options.forecasts official ones of the gauge, by time of issue.
 * @returns `why` says why there is nothing; no moments are made up.
 * @example outlook(chart.level, record)
 */
export function outlook(
  level: LevelChart,
  record: GaugeRecord,
  {
    nowMs,
    leave,
    forecasts = [],
  }: { nowMs?: number; leave?: (timeMs: number) => boolean; forecasts?: readonly Forecast[] } = {},
): Outlook {
  const series = seriesOf(level, record);
  const last = series.x.findLastIndex((x) => x === x);
  const at = nowMs ?? (last < 0 ? NaN : series.timesMs[last]);
  const empty = {
    kind: 'outlook' as const,
    classes: level.odds.classes,
    steps: [],
    falls: [],
    like: 0,
    forecast: null,
  };
  const fromMs = at + level.reading.lagHours * HOUR;
  const x0 = series.at(at);
  if (!(x0 === x0)) return { ...empty, fromMs, why: 'no-reading' };
  const like = likeMoments(series, { nowMs: at, ...(leave && { leave }) });
  if (like.length < FEWEST_LIKE) return { ...empty, fromMs, like: like.length, why: 'nothing-like-it' };
  const official = forecastOf(level, record, forecasts);
  const steps = Array.from({ length: OUTLOOK_HOURS / STEP_HOURS }, (_, i) => (i + 1) * STEP_HOURS).flatMap((hours) => {
    const xs = official(at + hours * HOUR)?.xs ?? carried(series, { nowMs: at, hours, like });
    if (xs.length < FEWEST_LIKE) return [];
    const { odds, notSeen, reading } = meanOdds(level, xs, series.offset);
    return [{ hours, odds, notSeen, reading: reading! }];
  });
  const falls = level.edges
    .filter(({ feature, median }) => feature === VERDICT && Math.log(median - series.offset) < x0)
    .map(({ between, median }) => ({
      between,
      ...fallTimes(series, { x0, edge: Math.log(median - series.offset), like }),
    }));
  const told = steps.filter(({ hours }) => official(at + hours * HOUR) !== null).map(({ hours }) => hours);
  return {
    ...empty,
    fromMs,
    like: like.length,
    forecast: forecastSaid(told, (hours) => official(at + hours * HOUR)),
    steps,
    falls,
    why: null,
  };
}

function forecastSaid(hours: readonly number[], at: (hours: number) => ForecastAt | null): Outlook['forecast'] {
  const offHours = hours.findLast((h) => h <= 24) ?? hours[0];
  const one = offHours === undefined ? null : at(offHours);
  if (one === null) return null;
  const { issuedMs, past, off80 } = one;
  return { issuedMs, past, off80, offHours: offHours!, toHours: hours.at(-1)! };
}

/** Waiting times until x falls through an edge, cut off where a new rise comes first, at a gap, or at the end of the outlook. */
function fallTimes(
  series: ReadingSeries,
  { x0, edge, like }: { x0: number; edge: number; like: readonly LikeMoment[] },
): Pick<Outlook['falls'][number], 'medianHours' | 'stillAbove'> {
  const waits = like.map((moment) => waitUntil(series, { moment, drop: x0 - edge }));
  const survival = kaplanMeier(
    Float64Array.from(waits, ({ hours }) => hours),
    Uint8Array.from(waits, ({ fell }) => (fell ? 1 : 0)),
  );
  const half = survival.share.findIndex((share) => share <= 0.5);
  const stillAbove = [12, 24, 48, 72].map((hours) => {
    const before = survival.times.findLastIndex((time) => time <= hours);
    return { hours, share: survivalAt(survival, hours), se: before < 0 ? 0 : Math.sqrt(survival.variance[before]) };
  });
  return { medianHours: half < 0 ? null : survival.times[half], stillAbove };
}

function waitUntil(
  { at }: ReadingSeries,
  { moment, drop }: { moment: LikeMoment; drop: number },
): { readonly hours: number; readonly fell: boolean } {
  let lowest = moment.x;
  for (let hours = 1; hours <= OUTLOOK_HOURS; hours++) {
    const x = at(moment.timeMs + hours * HOUR);
    if (!(x === x) || x > lowest + NEW_RISE) return { hours, fell: false };
    if (x <= moment.x - drop) return { hours, fell: true };
    lowest = Math.min(lowest, x);
  }
  return { hours: OUTLOOK_HOURS, fell: false };
}
