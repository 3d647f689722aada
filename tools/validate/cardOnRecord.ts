import { seriesOf } from '../../src/chart/day/readingSeries.js';
import { oddsAt } from '../../src/chart/figures/oddsAt.js';
import type { LevelChart } from '../../src/chart/types.js';
import { classFrequencies } from '../../src/judge/frequencies.js';
import { verdictCases } from '../../src/judge/verdictCases.js';
import type { Aligned } from '../../src/align/types.js';
import { quantile } from '../../src/kernel/quantile.js';
import { rankedProbabilityScore } from '../../src/kernel/rps.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT } from '../../src/series/visits.js';
import type { Grade } from '../../src/judge/types.js';
import { probitPlace } from './probitPlace.js';
import type { LaterClasses } from './readLater.js';

const HOUR = 3_600_000;

/** Hours of the later record, each with what the card says of it. */
interface Hour {
  readonly timeMs: number;
  /** ln of the reading that the card asks for, above zero flow. */
  readonly x: number;
  readonly came: number;
  readonly odds: readonly number[];
  /** As often as people log such a class, over how often it came. */
  readonly asDrawn: number;
}

/** What a set of hours says of the card. */
export interface Met {
  readonly hours: number;
  /** Guesswork taken away against the logged frequencies; null without an hour. */
  readonly skill: number | null;
  readonly higher: { readonly odds: number; readonly met: number };
  readonly lower: { readonly odds: number; readonly met: number };
}

/** A printed edge against where half of the later hours lie; ln units, chart minus truth. Null where no hour lies on one side. */
export interface PrintedEdge {
  readonly between: readonly [string, string];
  readonly error: number | null;
  readonly inside80: boolean | null;
  readonly inside95: boolean | null;
  /** The truth lies below the 80 % interval: whoever trusts it meets more water than said. */
  readonly unsafe: boolean | null;
}

/** The printed card, by its own instruction at its own reading, on the later record. */
export interface CardOnRecord {
  readonly grade: Grade;
  /** Hours with a class and a reading that visits have met; the card says nothing of the others. */
  readonly seenShare: number;
  /** Against hours as visits are drawn (the card's edges), and all hours alike (its edges of all days, where it has them). */
  readonly edges: { readonly asDrawn: readonly PrintedEdge[]; readonly allHours: readonly PrintedEdge[] };
  readonly met: { readonly asDrawn: Met; readonly allHours: Met; readonly whenItRuns: Met };
  /** As drawn, by year from October on. */
  readonly bySeason: readonly (Met & { readonly from: string; readonly allHours: number | null })[];
}

/** Holds the card of one run and gauge against the later record. @returns null where nothing can be scored */
export function cardOnRecord(
  { level, grade, record, aligned }: { level: LevelChart; grade: Grade; record: GaugeRecord; aligned: Aligned },
  later: LaterClasses,
): CardOnRecord | null {
  const logged = classFrequencies(verdictCases(aligned));
  const hours = hoursOf({ level, record, logged }, later);
  if (hours.length === 0) return null;
  const printed = level.edges.filter(({ feature }) => feature === VERDICT);
  const all = level.allDays?.edges ?? printed;
  const runs = hours.filter(({ came }) => came > 0);
  const even = (of: readonly Hour[]) => metOf(of, { logged, weight: () => 1 });
  const drawn = (of: readonly Hour[]) => metOf(of, { logged, weight: ({ asDrawn }) => asDrawn });
  const offset = record.zeroFlowStage ?? 0;
  const edges = (of: typeof all, weight: (hour: Hour) => number) =>
    printed.map(({ between }, k) => printedEdge({ between, edge: of[k]!, offset, k }, hours, weight));
  return {
    grade,
    seenShare: hours.length / later.timesMs.length,
    edges: { asDrawn: edges(printed, ({ asDrawn }) => asDrawn), allHours: edges(all, () => 1) },
    met: { asDrawn: drawn(hours), allHours: even(hours), whenItRuns: even(runs) },
    bySeason: seasonsOf(hours).map(([from, of]) => ({ from, ...drawn(of), allHours: even(of).skill })),
  };
}

function hoursOf(
  { level, record, logged }: { level: LevelChart; record: GaugeRecord; logged: Float64Array },
  { timesMs, classIndex }: LaterClasses,
): readonly Hour[] {
  const series = seriesOf(level, record);
  const { from, to } = level.seen;
  const found = Array.from(timesMs, (timeMs, h) => {
    const x = series.at(timeMs - level.reading.lagHours * HOUR);
    const value = series.offset + Math.exp(x);
    const odds = value >= from && value <= to ? oddsAt(level.odds, value) : undefined;
    return odds === undefined ? [] : [{ timeMs, x, came: classIndex[h]!, odds }];
  }).flat();
  const share = (k: number) => found.filter(({ came }) => came === k).length / found.length;
  const weights = Array.from(logged, (p, k) => (share(k) > 0 ? p / share(k) : 0));
  return found.map((hour) => ({ ...hour, asDrawn: weights[hour.came]! }));
}

function metOf(
  hours: readonly Hour[],
  { logged, weight }: { logged: Float64Array; weight: (hour: Hour) => number },
): Met {
  const total = hours.reduce((sum, hour) => sum + weight(hour), 0);
  const mean = (of: (hour: Hour) => number) => hours.reduce((sum, hour) => sum + weight(hour) * of(hour), 0) / total;
  const likeliest = ({ odds }: Hour) => odds.indexOf(Math.max(...odds));
  const beyond = (hour: Hour, side: 1 | -1) =>
    hour.odds.reduce((sum, p, k) => sum + (side * (k - likeliest(hour)) > 0 ? p : 0), 0);
  const of = (side: 1 | -1) => ({
    odds: mean((hour) => beyond(hour, side)),
    met: mean((hour) => Number(side * (hour.came - likeliest(hour)) > 0)),
  });
  const rps = (odds: ArrayLike<number>, came: number) => rankedProbabilityScore(Float64Array.from(odds), came);
  const base = mean(({ came }) => rps(logged, came));
  return {
    hours: hours.length,
    skill: total > 0 && base > 0 ? 1 - mean(({ odds, came }) => rps(odds, came)) / base : null,
    higher: of(1),
    lower: of(-1),
  };
}

function printedEdge(
  {
    between,
    edge: { median, i80, i95 },
    offset,
    k,
  }: {
    between: readonly [string, string];
    edge: Pick<LevelChart['edges'][number], 'median' | 'i80' | 'i95'>;
    offset: number;
    k: number;
  },
  hours: readonly Hour[],
  weight: (hour: Hour) => number,
): PrintedEdge {
  const ln = (value: number) => Math.log(value - offset);
  const moments = hours.map((hour) => ({ x: hour.x, above: hour.came > k, weight: weight(hour) }));
  const start = quantile(
    Float64Array.from(hours, ({ x }) => x),
    0.5,
  );
  const truth = probitPlace(moments, Number.isFinite(ln(median)) ? ln(median) : start);
  const error = ln(median) - truth;
  if (!Number.isFinite(error)) return { between, error: null, inside80: null, inside95: null, unsafe: null };
  const inside = ([low, high]: readonly [number | null, number | null]) =>
    (low === null || ln(low) <= truth) && (high === null || truth <= ln(high));
  return {
    between,
    error,
    inside80: inside(i80),
    inside95: inside(i95),
    unsafe: i80[0] !== null && truth < ln(i80[0]),
  };
}

/** Hours by year, each from October on: floods of one winter belong together. */
function seasonsOf(hours: readonly Hour[]): readonly (readonly [from: string, hours: readonly Hour[]])[] {
  const seasons = new Map<string, Hour[]>();
  for (const hour of hours) {
    const at = new Date(hour.timeMs);
    const year = at.getUTCMonth() >= 9 ? at.getUTCFullYear() : at.getUTCFullYear() - 1;
    const from = `${year}-10-01`;
    seasons.set(from, [...(seasons.get(from) ?? []), hour]);
  }
  return [...seasons].sort(([a], [b]) => (a < b ? -1 : 1));
}
