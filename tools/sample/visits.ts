import { HOUR, localMoment, localParts, MINUTE, RECORD_START, STEP, VISITS_END } from './clock.js';
import type { TrueRun } from './place.js';
import { CLASSES, OBSERVERS, RUNS, STAFF, WAVE_SPEED_KM_H } from './place.js';
import type { RandomStream } from './random.js';
import { randomStream } from './random.js';
import type { World } from './world.js';
import { flowAt } from './world.js';

export interface SampleRow {
  readonly when: string;
  readonly giveOrTakeMin: number | undefined;
  readonly feature: string;
  readonly saw: string;
  readonly note: string;
}

export interface SampleVisit {
  readonly id: string;
  readonly run: 'upper' | 'lower';
  readonly observer: string;
  /** When they were on the water (or stood beside it), to the minute. */
  readonly trueTimeMs: number;
  /** True discharge then, at the put-in, m³/s. */
  readonly trueFlow: number;
  /** True discharge at the put-in's water that passed the first look at the take-out, and at the put-in later; undefined where they took one look. */
  readonly looks: { readonly first: number; readonly later: number } | undefined;
  readonly timing: 'each look' | 'one time' | 'about' | 'vague' | 'night';
  readonly rows: readonly SampleRow[];
}

/** How many visits to each run, the night visit not counted. */
const WANTED = { lower: 74, upper: 45 };
/** How willing people are to go and to write it down, by true class: a dry creek is hardly ever logged. */
const WILLING = [0.015, 0.45, 0.85, 1, 0.9];
/** By month: short, cold days keep people at home. */
const WILLING_MONTH = [0.5, 0.5, 0.8, 1, 1, 1, 0.9, 0.9, 1, 1, 0.9, 0.6];

export function trueClass(flow: number, edges: readonly number[]): number {
  return edges.filter((edge) => flow >= edge).length;
}

/**
 * How likely a moment is to be logged, up to a factor: daylight only, class, month, weekend, hour of the day.
 * truth.ts weights the hidden record with the same numbers.
 */
export function visitWeight(timeMs: number, { flow, run }: { flow: number; run: TrueRun }): number {
  const { hour, weekday, month } = localParts(timeMs);
  if (hour < 8 || hour > 18) return 0;
  const weekend = weekday === 0 || weekday === 6 ? 3 : 1;
  const midday = hour < 10 || hour > 16 ? 0.6 : 1;
  return WILLING[trueClass(flow, run.edgesM3s)]! * WILLING_MONTH[month - 1]! * weekend * midday;
}

/** Moments of visits to one run: drawn one by one by weight, at least 12 hours apart. */
function drawMoments(world: World, { run, seed }: { run: TrueRun; seed: number }): number[] {
  const random = randomStream(seed, `visits ${run.id}`);
  const times: number[] = [];
  const cumulative: number[] = [];
  let total = 0;
  for (let t = RECORD_START + 24 * HOUR; t < VISITS_END; t += STEP) {
    const weight = visitWeight(t, { flow: flowAt(world.runs[run.id], t), run });
    if (weight === 0) continue;
    total += weight;
    times.push(t);
    cumulative.push(total);
  }
  const chosen: number[] = [];
  while (chosen.length < WANTED[run.id]) {
    const target = random.uniform() * total;
    const t = times[cumulative.findIndex((c) => c > target)]!;
    if (chosen.every((other) => Math.abs(other - t) >= 12 * HOUR)) chosen.push(t);
  }
  return chosen.map((t) => t + Math.floor(random.uniform() * 15) * MINUTE);
}

function pick<T>(items: readonly T[], random: RandomStream, share: (item: T) => number = () => 1): T {
  let target = random.uniform() * items.reduce((s, item) => s + share(item), 0);
  for (const item of items) if ((target -= share(item)) < 0) return item;
  return items[items.length - 1]!;
}

const NOTES: Readonly<Record<string, readonly string[]>> = {
  'too low': ['drove past, did not unload', 'scraped at the put-in and went home'],
  low: ['scrapy, but it goes', 'bony below the narrows, dents in two boats', 'fine for learning, slow'],
  good: [
    'everything goes',
    'cold, clear, perfect',
    'best day of the year, said "once more" and did',
    'two laps, the second a hand lower',
    'new willow leaning in at km 3, pass left',
  ],
  high: ['pushy, few eddies', 'brown, rising while we shuttled', 'one swim, long one; "never again"'],
  'too high': ['only looked, went for cake', 'wood floating down, stayed on the bank', 'roaring; "not today"'],
};

/** All visits in time order, from one seed. */
export function makeVisits(world: World, seed: number): SampleVisit[] {
  const plans = RUNS.flatMap((run) => drawMoments(world, { run, seed }).map((t) => ({ run, t, night: false })));
  // Somebody reads the staff with a lamp in the hour that the autumn clock shows twice.
  const lower = RUNS.find((run) => run.id === 'lower')!;
  plans.push({ run: lower, t: localMoment('2023-11-05T01:30') + HOUR, night: true });
  plans.sort((a, b) => a.t - b.t);
  const random = randomStream(seed, 'looking');
  return plans.map((plan, i) => makeVisit(world, { ...plan, id: `v${String(i + 1).padStart(3, '0')}`, random }));
}

interface Plan {
  readonly run: TrueRun;
  readonly t: number;
  readonly night: boolean;
  readonly id: string;
  readonly random: RandomStream;
}

function makeVisit(world: World, { run, t, night, id, random }: Plan): SampleVisit {
  const flow = world.runs[run.id];
  const observer = pick(OBSERVERS, random, (o) => o.share);
  const trueFlow = flowAt(flow, t);
  const level = trueClass(trueFlow, run.edgesM3s);
  const paddled = !night && level > 0 && level < 4;
  /** ln discharge that this observer takes for true at a place and moment: the wave needs its time from the put-in. */
  const seen = (timeMs: number, km: number): number =>
    Math.log(flowAt(flow, timeMs - (km / WAVE_SPEED_KM_H) * HOUR)) + observer.bias;

  const kind = random.uniform();
  const timing = night
    ? 'night'
    : kind < 0.45
      ? 'each look'
      : kind < 0.7
        ? 'one time'
        : kind < 0.85
          ? 'about'
          : 'vague';
  const atAll = statedTime(t, { timing, random });
  const minutesBefore = 45 + 5 * Math.floor(random.uniform() * 12);
  const rows: SampleRow[] = [];
  const add = (feature: string, { saw, timeMs, note = '' }: { saw: string; timeMs: number; note?: string }): void => {
    const stated = timing === 'each look' ? { when: roundedText(timeMs, 5), giveOrTakeMin: undefined } : atAll;
    rows.push({ ...stated, feature, saw, note });
  };

  // First the take-out, where the second car stays; then the put-in; then what lies between. A party that stays ashore sees the take-out only.
  const order = [...run.features].sort((a, b) => b.kmFromPutIn - a.kmFromPutIn);
  const takeOut = order[0]!;
  const firstLook = paddled ? t - minutesBefore * MINUTE : t;
  for (const feature of order) {
    const needed = feature.id === run.verdictFrom;
    const isTakeOut = feature === takeOut;
    if (night || (!needed && !isTakeOut && !paddled)) continue;
    const timeMs = isTakeOut ? firstLook : needed ? t : t + (feature.kmFromPutIn / 4) * HOUR;
    const x = seen(timeMs, feature.kmFromPutIn) + feature.blur * random.normal();
    const saw = feature.classes[trueClass(Math.exp(x), feature.edgesM3s)]!;
    const logged = needed || random.uniform() < (isTakeOut ? 0.8 : 0.7);
    if (logged) add(feature.id, { saw, timeMs });
  }
  if (run.id === 'lower' && (night || random.uniform() < 0.62)) {
    const x = seen(t, STAFF.kmFromPutIn);
    const cm =
      STAFF.baseCm +
      STAFF.scaleCm * Math.exp(STAFF.exponent * (x - Math.log(STAFF.referenceM3s))) +
      STAFF.noiseCm * random.normal();
    const note = night ? 'rain on the roof, could not sleep, went down with a lamp' : '';
    add(STAFF.id, { saw: String(Math.round(cm)), timeMs: t, note });
  }
  const x = seen(t, 0) + run.blur * random.normal();
  const verdict = CLASSES[trueClass(Math.exp(x), run.edgesM3s)]!;
  const note = random.uniform() < 0.3 ? pick(NOTES[verdict]!, random) : '';
  if (run.verdictFrom === undefined && !night && random.uniform() < 0.97)
    add('verdict', { saw: verdict, timeMs: t, note });
  else if (note !== '' && !night) rows[rows.length - 1] = { ...rows[rows.length - 1]!, note };

  const first = flowAt(flow, firstLook - (takeOut.kmFromPutIn / WAVE_SPEED_KM_H) * HOUR);
  const looks = paddled ? { first, later: flowAt(flow, t) } : undefined;
  return { id, run: run.id, observer: observer.name, trueTimeMs: t, trueFlow, looks, timing, rows };
}

function roundedText(timeMs: number, minutes: number): string {
  return localParts(Math.round(timeMs / (minutes * MINUTE)) * minutes * MINUTE).text;
}

/** The time as the party writes it down. A vague time is the middle of its window. */
function statedTime(
  t: number,
  { timing, random }: { timing: SampleVisit['timing']; random: RandomStream },
): { when: string; giveOrTakeMin: number | undefined } {
  const off = random.uniform() * 2 - 1;
  if (timing === 'night') return { when: localParts(t).text, giveOrTakeMin: undefined };
  if (timing === 'vague') {
    const { text, hour } = localParts(t);
    const morning = hour < 12;
    return { when: `${text.slice(0, 10)}T${morning ? '10:00' : '15:00'}`, giveOrTakeMin: morning ? 120 : 180 };
  }
  const give = timing === 'about' ? 60 : 20;
  return { when: roundedText(t + off * give * MINUTE, timing === 'about' ? 30 : 5), giveOrTakeMin: give };
}
