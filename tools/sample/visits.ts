import { HOUR, localMoment, localParts, MINUTE, RECORD_START, STEP, VISITS_END } from './clock.js';
import type { TrueRun } from './place.js';
import { CLASSES, OBSERVERS, PAIRS, RUNS, STAFF, WAVE_SPEED_KM_H } from './place.js';
import type { RandomStream } from './random.js';
import { randomStream } from './random.js';
import type { World } from './world.js';
import { flowAt } from './world.js';

export interface SampleRow {
  readonly observer: string;
  /** When it was looked at. */
  readonly trueTimeMs: number;
  readonly when: string;
  readonly giveOrTakeMin: number | undefined;
  readonly feature: string;
  readonly saw: string;
  readonly note: string;
}

export interface SampleVisit {
  readonly id: string;
  readonly run: 'upper' | 'lower';
  /** Who wrote first for the party; a second writer's rows come after. */
  readonly observer: string;
  /** When they were on the water (or stood beside it), to the minute. */
  readonly trueTimeMs: number;
  /** True discharge then, at the put-in, m³/s. */
  readonly trueFlow: number;
  /** True discharge of the water seen first, at the take-out (as it was when it passed the put-in), and at the put-in later; undefined for one look. */
  readonly looks: { readonly first: number; readonly later: number } | undefined;
  readonly timing: 'each look' | 'one time' | 'about' | 'vague' | 'night';
  readonly rows: readonly SampleRow[];
}

/** How many visits to each run, the night visit not counted. */
const WANTED = { lower: 74, upper: 45 };
/** How willing people are to go and to write it down, in the middle of low, good, high and well in too high. */
const WILLING = [0.45, 0.85, 1, 0.9];
/** Below the middle of low it falls with this power of the flow, down to a floor: near the edge people still try, a dry creek is hardly ever logged. */
const WILLING_POWER = 3;
const WILLING_FLOOR = 0.004;
/** By month: short, cold days keep people at home. */
const WILLING_MONTH = [0.5, 0.5, 0.8, 1, 1, 1, 0.9, 0.9, 1, 1, 0.9, 0.6];

export function trueClass(flow: number, edges: readonly number[]): number {
  return edges.filter((edge) => flow >= edge).length;
}

/**
 * How willing people are at a true discharge: without steps at the edges, since nobody knows the class before having seen it. (A step would also move the
 * value at which the logged classes flip away from the one at which the creek's do.)
 */
export function willingness(flow: number, edges: readonly number[]): number {
  const [low, good, high, tooHigh] = edges as [number, number, number, number];
  const knots = [Math.sqrt(low * good), Math.sqrt(good * high), Math.sqrt(high * tooHigh), 1.3 * tooHigh].map(Math.log);
  const x = Math.log(flow);
  if (x <= knots[0]!) return Math.max(WILLING_FLOOR, WILLING[0]! * Math.exp(WILLING_POWER * (x - knots[0]!)));
  const above = knots.findIndex((knot) => x < knot);
  if (above < 0) return WILLING[3]!;
  const part = (x - knots[above - 1]!) / (knots[above]! - knots[above - 1]!);
  return WILLING[above - 1]! * (1 - part) + WILLING[above]! * part;
}

/**
 * How likely a moment is to be logged, up to a factor: daylight only, level, month, weekend, hour of the day.
 * truth.ts weights the hidden record with the same numbers.
 */
export function visitWeight(timeMs: number, { flow, run }: { flow: number; run: TrueRun }): number {
  const { hour, weekday, month } = localParts(timeMs);
  if (hour < 8 || hour > 18) return 0;
  const weekend = weekday === 0 || weekday === 6 ? 3 : 1;
  const midday = hour < 10 || hour > 16 ? 0.6 : 1;
  return willingness(flow, run.edgesM3s) * WILLING_MONTH[month - 1]! * weekend * midday;
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

/** What people write beside what they saw; each is used once before it comes again. */
const NOTES: Readonly<Record<string, readonly string[]>> = {
  'too low': [
    'drove past, did not unload',
    'scraped at the put-in and went home',
    'all stones, no creek',
    'showed it to a guest',
  ],
  low: [
    'boot < half wet on the stepping stones',
    'scrapy, but it goes',
    'bony, dents in two boats',
    'fine for learning, slow',
    'carried round the shingle twice',
  ],
  good: [
    'everything goes',
    'cold, clear, perfect',
    'said "once more" and did',
    'two laps, the second a hand lower',
    'fresh wood under the second bend, pass left',
    'stiff shoulders, long pause since the last one',
    'beginners along, one swim, all smiles',
    'asked the miller, he says it was higher at dawn',
    'as it should be',
    'lost a paddle, found it, lost it again',
    'met the others at the take-out, "where were you?"',
  ],
  high: [
    '+1 boat from the valley, two carried round',
    'pushy, few eddies',
    'brown, branches in the eddies',
    'one swim, a long one; "never again"',
    'fast, 50 min without stops',
  ],
  'too high': [
    'only looked, went for cake',
    'wood floating down, stayed on the bank',
    'roaring; "not today"',
    'path along the water flooded',
  ],
  lost: [
    'lost water while we set the shuttle',
    'looked better at the take-out, dropping',
    'an hour too late, it ran off under us',
    'dropping, stones came out as we watched',
  ],
};

/** All visits in time order, from one seed. */
export function makeVisits(world: World, seed: number): SampleVisit[] {
  const plans = RUNS.flatMap((run) => drawMoments(world, { run, seed }).map((t) => ({ run, t, night: false })));
  // Somebody reads the staff with a lamp in the hour that the autumn clock shows twice.
  const lower = RUNS.find((run) => run.id === 'lower')!;
  plans.push({ run: lower, t: localMoment('2023-11-05T01:30') + HOUR, night: true });
  plans.sort((a, b) => a.t - b.t);
  const random = randomStream(seed, 'looking');
  const used = new Map<string, number>();
  const nextNote = (kind: string): string => {
    const n = used.get(kind) ?? 0;
    used.set(kind, n + 1);
    return NOTES[kind]![n % NOTES[kind]!.length]!;
  };
  const visits = plans.map((plan, i) =>
    makeVisit(world, { ...plan, id: `v${String(i + 1).padStart(3, '0')}`, random, nextNote }),
  );
  const together = randomStream(seed, 'second writers');
  return visits.map((visit) => withSecondWriter(world, { visit, random: together }));
}

/** The same looks as the party's first writer logged, seen by the other of a pair: own bias, blur drawn anew, because it is another pair of eyes on the same water. */
function withSecondWriter(world: World, { visit, random }: { visit: SampleVisit; random: RandomStream }): SampleVisit {
  const pair = PAIRS.find(({ names }) => names.some((name) => name === visit.observer));
  if (pair === undefined || visit.timing === 'night' || random.uniform() > pair.share) return visit;
  const observer = OBSERVERS.find(({ name }) => name !== visit.observer && pair.names.some((n) => n === name))!;
  const run = RUNS.find(({ id }) => id === visit.run)!;
  const own = visit.rows.flatMap((row): SampleRow[] => {
    const needed = row.feature === 'verdict' || row.feature === run.verdictFrom;
    if (!needed && random.uniform() > 0.85) return [];
    const saw = look(world, { run, feature: row.feature, timeMs: row.trueTimeMs, bias: observer.bias, random });
    return [{ ...row, observer: observer.name, saw, note: '' }];
  });
  return { ...visit, rows: [...visit.rows, ...own] };
}

/** What somebody writes of a feature, the staff or (`verdict`) the whole run after looking at it at a moment: the wave needs its time from the put-in. */
function look(
  world: World,
  options: { run: TrueRun; feature: string; timeMs: number; bias: number; random: RandomStream },
): string {
  const { run, feature: id, timeMs, bias, random } = options;
  const seen = (km: number): number =>
    Math.log(flowAt(world.runs[run.id], timeMs - (km / WAVE_SPEED_KM_H) * HOUR)) + bias;
  if (id === STAFF.id) {
    const ratio = Math.exp(STAFF.exponent * (seen(STAFF.kmFromPutIn) - Math.log(STAFF.referenceM3s)));
    return String(Math.round(STAFF.baseCm + STAFF.scaleCm * ratio + STAFF.noiseCm * random.normal()));
  }
  const { kmFromPutIn, blur, classes, edgesM3s } = run.features.find((feature) => feature.id === id) ?? {
    ...run,
    kmFromPutIn: 0,
    classes: CLASSES,
  };
  return classes[trueClass(Math.exp(seen(kmFromPutIn) + blur * random.normal()), edgesM3s)]!;
}

interface Plan {
  readonly run: TrueRun;
  readonly t: number;
  readonly night: boolean;
  readonly id: string;
  readonly random: RandomStream;
  /** The next remark on a verdict, or on `lost` water. */
  readonly nextNote: (kind: string) => string;
}

function makeVisit(world: World, { run, t, night, id, random, nextNote }: Plan): SampleVisit {
  const flow = world.runs[run.id];
  const observer = pick(OBSERVERS, random, (o) => o.share);
  const trueFlow = flowAt(flow, t);
  const level = trueClass(trueFlow, run.edgesM3s);
  const paddled = !night && level > 0 && level < 4;
  const saw = (feature: string, timeMs: number): string =>
    look(world, { run, feature, timeMs, bias: observer.bias, random });

  const timing = night ? 'night' : timingOf(t, random.uniform());
  const [least, most] = SHUTTLE_MINUTES[timing];
  const minutesBefore = least + Math.floor(random.uniform() * (most - least));
  const atAll = statedTime(t, { timing, random });
  const rows: SampleRow[] = [];
  const add = (feature: string, { saw, timeMs, note = '' }: { saw: string; timeMs: number; note?: string }): void => {
    const stated = timing === 'each look' ? { when: roundedText(timeMs, 5), giveOrTakeMin: undefined } : atAll;
    rows.push({ ...stated, observer: observer.name, trueTimeMs: timeMs, feature, saw, note });
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
    const word = saw(feature.id, timeMs);
    const logged = needed || random.uniform() < (isTakeOut ? 0.8 : 0.7);
    if (logged) add(feature.id, { saw: word, timeMs });
  }
  if (run.id === 'lower' && (night || random.uniform() < 0.62)) {
    const note = night ? 'could not sleep, went down with a lamp' : '';
    add(STAFF.id, { saw: saw(STAFF.id, t), timeMs: t, note });
  }
  const verdict = saw('verdict', t);
  const first = flowAt(flow, firstLook - (takeOut.kmFromPutIn / WAVE_SPEED_KM_H) * HOUR);
  const lost = paddled && trueFlow < 0.82 * first;
  const chatty = random.uniform();
  const note = chatty < 0.3 ? nextNote(verdict) : lost && chatty < 0.65 ? nextNote('lost') : '';
  const judged = random.uniform() < 0.97 || rows.length === 0; // nobody logs a visit without a word
  if (run.verdictFrom === undefined && !night && judged) add('verdict', { saw: verdict, timeMs: t, note });
  else if (note !== '' && !night) rows[rows.length - 1] = { ...rows[rows.length - 1]!, note };

  const looks = paddled ? { first, later: trueFlow } : undefined;
  return { id, run: run.id, observer: observer.name, trueTimeMs: t, trueFlow, looks, timing, rows };
}

function roundedText(timeMs: number, minutes: number): string {
  return localParts(Math.round(timeMs / (minutes * MINUTE)) * minutes * MINUTE).text;
}

/** How exactly a party writes down its times. A vague "afternoon" ends at six. */
function timingOf(t: number, draw: number): SampleVisit['timing'] {
  if (draw < 0.45) return 'each look';
  if (draw < 0.7) return 'one time';
  return draw < 0.85 || localParts(t).hour >= 18 ? 'about' : 'vague';
}

/** Minutes from the first look at the take-out to the put-in, least and most; where one time stands for all looks, they fit into its window. */
const SHUTTLE_MINUTES: Readonly<Record<SampleVisit['timing'], readonly [number, number]>> = {
  'each look': [45, 105],
  'one time': [25, 40],
  about: [40, 70],
  vague: [45, 90],
  night: [0, 1],
};

/** The one time that a party writes down for all its looks, somewhere between them. A vague time is the middle of its window. */
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
  return timing === 'about'
    ? { when: roundedText(t + (20 * off - 20) * MINUTE, 30), giveOrTakeMin: 60 }
    : { when: roundedText(t + (12 * off - 12) * MINUTE, 5), giveOrTakeMin: 30 };
}
