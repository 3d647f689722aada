import type { Catchment } from './catchment.js';
import { runoff } from './catchment.js';
import { HOUR, localParts, STEP, STEPS, WORLD_START } from './clock.js';
import { BROOK_TO_LARGER } from './place.js';
import { randomStream } from './random.js';
import { delayed, sum, throughReservoir } from './routing.js';
import { makeWeather } from './weather.js';

/** Everything that nobody in the sample sees: true discharges in m³/s, one value every quarter of an hour from WORLD_START. */
export interface World {
  readonly temperature: Float64Array;
  /** At the put-in of each run. */
  readonly runs: { readonly upper: Float64Array; readonly lower: Float64Array };
  readonly gauges: { readonly larger: Float64Array; readonly flashy: Float64Array; readonly regulated: Float64Array };
}

const UPPER: Catchment = { areaKm2: 36, bandsM: [1250, 1450, 1600, 1800], sun: 1, soilMm: 110, fastHours: 3.5 };
const SIDE: Catchment = { areaKm2: 24, bandsM: [1150, 1400, 1600], sun: 1, soilMm: 115, fastHours: 3.5 };
const FLASHY: Catchment = { areaKm2: 48, bandsM: [1180, 1400, 1550, 1650, 1800], sun: 1, soilMm: 105, fastHours: 3 };
/** What the larger river's gauge carries besides the creek and the brook. */
const REST: Catchment = { areaKm2: 200, bandsM: [1100, 1350, 1500, 1650, 1850], sun: 1, soilMm: 115, fastHours: 3.5 };
const REGULATED: Catchment = { areaKm2: 210, bandsM: [1000, 1400, 1800], sun: 0.8, soilMm: 150, fastHours: 8 };

/** Hours between a storm's arrival over the flashy gauge's catchment and over the others: the front walks down the valleys. */
const FRONT_HOURS = { flashy: 0, rest: 0.5, upper: 1.25, side: 1.25, regulated: 3 };
/** The creek's own channel: water travels, and the pools above the upper run hold it back. */
const CHANNEL_DELAY = 1.75;
const CHANNEL_STORE = 4;
/** From the lower put-in to the larger river's flood plain, hours. */
const CREEK_TO_PLAIN = 2.25;
/** The larger river's flood plain: the reason why its gauge shows the wave late and flat. */
const FLOOD_PLAIN_STORE = 8.5;

/**
 * Releases from a reservoir: much on working days from seven in the morning to nine at night, little on weekends, a base that is set anew every
 * week. The lake swallows the floods; a hundredth of its inflow reaches the gauge by a side valley below the dam.
 */
function releases(seed: number, inflow: Float64Array): Float64Array {
  const random = randomStream(seed, 'releases');
  const out = new Float64Array(STEPS);
  let base = 9;
  let lastBlock = -1;
  for (let i = 0; i < STEPS; i++) {
    const t = WORLD_START + i * STEP;
    const block = Math.floor((t - WORLD_START) / (7 * 24 * HOUR));
    if (block !== lastBlock) {
      base = 6 + 8 * random.uniform();
      lastBlock = block;
    }
    const { weekday, hour } = localParts(t);
    const working = weekday >= 1 && weekday <= 5;
    const planned = base * (working ? (hour >= 7 && hour < 21 ? 1.9 : 0.9) : 0.6);
    out[i] = planned + 0.01 * inflow[i]!;
  }
  return throughReservoir(out, 1.5);
}

/** The creek, its neighbours and their gauges, from one seed. */
export function makeWorld(seed: number): World {
  const weather = makeWeather(seed);
  const flow = (name: keyof typeof FRONT_HOURS, catchment: Catchment, localShowers: number): Float64Array =>
    runoff(catchment, {
      temperature: weather.temperature,
      precipitation: weather.precipitation(name, { delayHours: FRONT_HOURS[name], localShowers }),
    });
  const channel = (raw: Float64Array): Float64Array => delayed(throughReservoir(raw, CHANNEL_STORE), CHANNEL_DELAY);
  const upper = channel(flow('upper', UPPER, 0.08));
  const side = channel(flow('side', SIDE, 0.08));
  // The upper run's water needs three quarters of an hour to the lower put-in, where the side stream has joined.
  const lower = sum(delayed(upper, 0.75), side);
  const flashy = flow('flashy', FLASHY, 0.2);
  const valley = sum(delayed(lower, CREEK_TO_PLAIN), channel(flow('rest', REST, 0.2)));
  const larger = sum(throughReservoir(valley, FLOOD_PLAIN_STORE), delayed(flashy, BROOK_TO_LARGER));
  const regulated = releases(seed, flow('regulated', REGULATED, 0.5));
  return { temperature: weather.temperature, runs: { upper, lower }, gauges: { larger, flashy, regulated } };
}

/** A true discharge at any moment: linear in ln between the steps. */
export function flowAt(flow: Float64Array, timeMs: number): number {
  const position = Math.min(flow.length - 1.000001, Math.max(0, (timeMs - WORLD_START) / STEP));
  const i = Math.floor(position);
  const part = position - i;
  return Math.exp(Math.log(flow[i]!) * (1 - part) + Math.log(flow[i + 1]!) * part);
}
