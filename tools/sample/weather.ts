import { HOUR, RECORD_END, solarHour, STEP, STEPS, WORLD_START, yearFraction } from './clock.js';
import { randomStream } from './random.js';

/** One burst of rain inside a storm. */
interface Cell {
  readonly startMs: number;
  readonly hours: number;
  readonly mmPerHour: number;
}

/** Bursts that come over the whole area together, one catchment after the other. */
interface Storm {
  readonly cells: readonly Cell[];
  /** How much more or less of it (ln units) each catchment gets: the main reason why no gauge knows another creek exactly. */
  readonly share: Readonly<Record<string, number>>;
}

export interface Weather {
  /** °C at the reference height of 1500 m, one value a step. */
  readonly temperature: Float64Array;
  /** Rain or snow, mm/h, of one catchment, one value a step. */
  precipitation(catchment: string, options: { delayHours: number; localShowers: number }): Float64Array;
}

/** Storms a day in the middle of each month: frequent in autumn, rare in high summer. */
const STORMS_A_DAY = [0.26, 0.24, 0.22, 0.22, 0.2, 0.16, 0.08, 0.09, 0.22, 0.4, 0.42, 0.3];
/** Mean rain of one burst, mm, by month: autumn storms are also the wettest. */
const MM_A_CELL = [3.0, 2.8, 2.6, 2.6, 2.8, 2.8, 2.6, 2.8, 4.6, 6.4, 6.0, 3.6];

/** Value of a monthly table at a moment: straight lines between the middles of the months. */
function monthly(table: readonly number[], timeMs: number): number {
  const position = yearFraction(timeMs) * 12 - 0.5;
  const below = Math.floor(position);
  const part = position - below;
  return table[(below + 12) % 12]! * (1 - part) + table[(below + 13) % 12]! * part;
}

/**
 * Storms: a point process in time whose rate follows the season; each storm is a cluster of a few bursts (rectangular
 * rain pulses, each with its own start, length and strength, exponentially distributed). That is the usual cluster model of
 * rain in hydrology (common practice).
 */
function makeStorms(seed: number): Storm[] {
  const random = randomStream(seed, 'storms');
  const shares = randomStream(seed, 'storm shares');
  const highest = Math.max(...STORMS_A_DAY);
  const storms: Storm[] = [];
  for (let t = WORLD_START; ;) {
    t += (random.exponential() / highest) * 24 * HOUR;
    if (t >= RECORD_END) return storms;
    // Thinning: propose at the highest rate, keep with the odds of this season's rate.
    if (random.uniform() * highest > monthly(STORMS_A_DAY, t)) continue;
    const cells: Cell[] = [];
    for (let n = 2 + random.poisson(2.6); n > 0; n--) {
      const hours = 0.5 + 2.4 * random.exponential();
      const mm = monthly(MM_A_CELL, t) * random.exponential();
      cells.push({ startMs: t + 5 * random.exponential() * HOUR, hours, mmPerHour: mm / hours });
    }
    // The two arms of the creek lie side by side and share most of a storm; the larger river's other arms are many and average more.
    const here = shares.normal();
    storms.push({
      cells,
      share: {
        upper: 0.17 * here,
        side: 0.17 * (0.8 * here + 0.6 * shares.normal()),
        flashy: 0.18 * (0.3 * here + 0.95 * shares.normal()),
        rest: 0.12 * (0.6 * here + 0.8 * shares.normal()),
        regulated: 0.3 * shares.normal(),
      },
    });
  }
}

/** Adds a burst to a series of mm/h, spread so that the sum is right although the burst does not start on a step. */
function addCell(
  series: Float64Array,
  cell: Cell,
  { delayHours, factor }: { delayHours: number; factor: number },
): void {
  const from = (cell.startMs + delayHours * HOUR - WORLD_START) / STEP;
  const to = from + (cell.hours * HOUR) / STEP;
  for (let i = Math.max(0, Math.floor(from)); i < Math.min(series.length, Math.ceil(to)); i++)
    series[i] = series[i]! + cell.mmPerHour * factor * (Math.min(to, i + 1) - Math.max(from, i));
}

/**
 * Temperature: a year's wave (coldest in mid January), a day's wave (warmest at three in the afternoon, flat while it rains),
 * and warm and cold spells of a few days (a first-order autoregression from day to day).
 */
function makeTemperature(seed: number, rain: Float64Array): Float64Array {
  const random = randomStream(seed, 'temperature');
  const days = Math.ceil((RECORD_END - WORLD_START) / (24 * HOUR)) + 2;
  const spell = new Float64Array(days);
  for (let d = 1; d < days; d++) spell[d] = 0.78 * spell[d - 1]! + Math.sqrt(1 - 0.78 ** 2) * 3.4 * random.normal();
  const temperature = new Float64Array(STEPS);
  let cloud = 0;
  for (let i = 0; i < STEPS; i++) {
    const t = WORLD_START + i * STEP;
    cloud += (Math.min(1, rain[i]! * 2) - cloud) * (STEP / (5 * HOUR));
    const season = Math.cos(2 * Math.PI * (yearFraction(t) - 0.55));
    const day = Math.floor((t - WORLD_START) / (24 * HOUR));
    const part = (t - WORLD_START) / (24 * HOUR) - day;
    temperature[i] =
      4 +
      10 * season +
      spell[day]! * (1 - part) +
      spell[day + 1]! * part +
      (1 - 0.7 * cloud) * (4.5 + 1.5 * season) * Math.cos((2 * Math.PI * (solarHour(t) - 15)) / 24);
  }
  return temperature;
}

/** The weather over the whole area, from one seed. */
export function makeWeather(seed: number): Weather {
  const storms = makeStorms(seed);
  const regional = new Float64Array(STEPS);
  for (const storm of storms) for (const cell of storm.cells) addCell(regional, cell, { delayHours: 0, factor: 1 });
  return {
    temperature: makeTemperature(seed, regional),
    precipitation(catchment, { delayHours, localShowers }) {
      const series = new Float64Array(STEPS);
      for (const storm of storms)
        for (const cell of storm.cells)
          addCell(series, cell, { delayHours, factor: Math.exp(storm.share[catchment] ?? 0) });
      // Thunder showers of the warm months hit one catchment and miss the next.
      const random = randomStream(seed, `showers ${catchment}`);
      for (let t = WORLD_START; ;) {
        t += random.exponential() * 3 * 24 * HOUR;
        if (t >= RECORD_END) return series;
        const warm = Math.cos(2 * Math.PI * (yearFraction(t) - 0.55));
        if (random.uniform() > Math.max(0, warm) * localShowers) continue;
        const hours = 0.3 + 0.9 * random.exponential();
        addCell(
          series,
          { startMs: t, hours, mmPerHour: (5 * random.exponential()) / hours },
          { delayHours: 0, factor: 1 },
        );
      }
    },
  };
}
