import { HOUR, solarHour, STEP, STEPS, WORLD_START, yearFraction } from './clock.js';

/** What a piece of land does with the weather. */
export interface Catchment {
  readonly areaKm2: number;
  /** Mean heights of equal parts of the area, m: the snow line walks through them in spring. */
  readonly bandsM: readonly number[];
  /** Melt compared with level ground: below 1 on shady slopes. */
  readonly sun: number;
  /** Water the soil can hold against drainage, mm. */
  readonly soilMm: number;
  /** Time constant of the fast store, hours. */
  readonly fastHours: number;
}

const DT = STEP / HOUR;
/** °C colder per metre higher (common practice: 6.5 °C per km). */
const LAPSE = 0.0065;
/** Time constant of water trickling through the snow pack, hours: the melt of three in the afternoon leaves in the evening. */
const SNOWPACK_HOURS = 3;
/** Shares and time constants of the stores below the soil: fast (see Catchment), slow, and ground water. */
const FAST_SHARE = 0.66;
const SLOW_SHARE = 0.24;
const SLOW_HOURS = 54;
const GROUND_HOURS = 1000;

/**
 * Discharge of a catchment, m³/s, one value a step.
 * Snow: a degree-hour melt in height bands; what falls below 1 °C stays as snow; the melt factor grows from midwinter to midsummer with the
 * sun. Soil: it lets through the share (wetness)^2 of what comes in, so a dry August swallows a storm that makes a November flood; plants drink by
 * day. Stores: three linear reservoirs side by side (outflow = content / time constant). All common practice in hydrology; the numbers are ours.
 */
export function runoff(
  catchment: Catchment,
  weather: { temperature: Float64Array; precipitation: Float64Array },
): Float64Array {
  const { areaKm2, bandsM, sun, soilMm, fastHours } = catchment;
  const bands = bandsM.length;
  const snow = new Float64Array(bands);
  const trickle = new Float64Array(bands);
  let soil = 0.5 * soilMm;
  let fast = 0;
  let slow = 0;
  let ground = 120;
  const toM3s = (areaKm2 * 1000) / 3600; // mm/h over the area
  const flow = new Float64Array(STEPS);
  for (let i = 0; i < STEPS; i++) {
    const t = WORLD_START + i * STEP;
    const season = Math.cos(2 * Math.PI * (yearFraction(t) - 0.47)); // the sun, highest in late June
    const meltFactor = (sun * (3 + 1.3 * season)) / 24; // mm per °C and hour
    let water = 0;
    for (let b = 0; b < bands; b++) {
      const degrees = weather.temperature[i]! - LAPSE * (bandsM[b]! - 1500);
      // Between 0 and 2 °C rain and snow are mixed.
      const rainShare = Math.min(1, Math.max(0, degrees / 2));
      const rain = weather.precipitation[i]! * rainShare * DT;
      snow[b] = snow[b]! + weather.precipitation[i]! * DT - rain;
      const melt = Math.min(snow[b]!, Math.max(0, degrees - 0.5) * meltFactor * DT);
      snow[b] = snow[b]! - melt;
      trickle[b] = trickle[b]! + melt + (snow[b]! > 5 ? rain : 0);
      const out = trickle[b]! * (1 - Math.exp(-DT / SNOWPACK_HOURS));
      trickle[b] = trickle[b]! - out;
      water += (out + (snow[b]! > 5 ? 0 : rain)) / bands;
    }
    const wetness = soil / soilMm;
    const through = water * wetness * wetness;
    const daylight = Math.max(0, Math.cos((2 * Math.PI * (solarHour(t) - 13)) / 24)) * Math.PI;
    const drink = 0.007 * Math.max(0, weather.temperature[i]! - 1) * daylight * Math.min(1, wetness * 1.5) * DT;
    soil = Math.max(0, Math.min(soilMm, soil + water - through - drink));
    fast += FAST_SHARE * through;
    slow += SLOW_SHARE * through;
    ground += (1 - FAST_SHARE - SLOW_SHARE) * through;
    const fastOut = fast * (1 - Math.exp(-DT / fastHours));
    const slowOut = slow * (1 - Math.exp(-DT / SLOW_HOURS));
    const groundOut = ground * (1 - Math.exp(-DT / GROUND_HOURS));
    fast -= fastOut;
    slow -= slowOut;
    ground -= groundOut;
    flow[i] = ((fastOut + slowOut + groundOut) / DT) * toM3s;
  }
  return flow;
}
