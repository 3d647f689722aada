import { describe, expect, it } from 'vitest';
import { runoff } from '../../tools/sample/catchment.js';
import { HOUR, localMoment, localOffset, localParts, STEP, STEPS, WORLD_START } from '../../tools/sample/clock.js';
import { delayed, throughReservoir } from '../../tools/sample/routing.js';
import { makeWeather } from '../../tools/sample/weather.js';
import { expectClose } from '../expectClose.js';

const DT = STEP / HOUR;
const total = (flow: Float64Array): number => flow.reduce((a, b) => a + b, 0);

describe('the clock', () => {
  it('knows both clock changes and the hour that is shown twice', () => {
    expect(localOffset(Date.UTC(2023, 10, 5, 7, 59))).toBe(-6);
    expect(localOffset(Date.UTC(2023, 10, 5, 8, 0))).toBe(-7);
    const first = localMoment('2023-11-05T01:30');
    expect(new Date(first).toISOString()).toBe('2023-11-05T07:30:00.000Z');
    expect(localParts(first).text).toBe('2023-11-05T01:30');
    expect(localParts(first + HOUR).text).toBe('2023-11-05T01:30');
    expect(localParts(first).weekday).toBe(0);
  });
});

describe('routing', () => {
  const pulse = new Float64Array(4000);
  pulse[100] = 1;

  it('keeps the water: what goes into a reservoir comes out', () => {
    expectClose(total(throughReservoir(pulse, 6)), 1, { abs: 1e-12, why: 'content is conserved' });
  });

  it('lets out 1/e of the peak after one time constant', () => {
    const out = throughReservoir(pulse, 6);
    expectClose(out[100 + 6 / DT]! / out[100]!, Math.exp(-1), { rel: 1e-12, why: 'exponential recession' });
  });

  it('delays by whole steps without changing the shape', () => {
    const out = delayed(pulse, 1.75);
    expect(out[107]).toBe(1);
    expect(total(out)).toBe(1);
  });
});

describe('a catchment', () => {
  const land = { areaKm2: 3.6, bandsM: [1500], sun: 1, soilMm: 100, fastHours: 4 };
  const weather = (degrees: number, mmPerHour: (i: number) => number) => ({
    temperature: new Float64Array(STEPS).fill(degrees),
    precipitation: Float64Array.from({ length: STEPS }, (_, i) => mmPerHour(i)),
  });
  const month = (30 * 24) / DT;

  it('gives back no more than it got, and nearly all when cold rain falls for years', () => {
    const out = runoff(
      land,
      weather(2.5, () => 1),
    );
    // 1 mm/h over 3.6 km² is 1 m³/s. By the end the stores are in balance and only the plants take their share.
    const lastYear = out.slice(STEPS - 12 * month);
    const mean = total(lastYear) / lastYear.length;
    expect(mean).toBeLessThan(1);
    expect(mean).toBeGreaterThan(0.98);
  });

  it('keeps snow back while it freezes, and lets it go when it thaws', () => {
    const cold = runoff(
      land,
      weather(-5, () => 0.5),
    );
    const rain = runoff(
      land,
      weather(5, () => 0.5),
    );
    expect(cold[4 * month]!).toBeLessThan(0.05 * rain[4 * month]!);
    const thaw = weather(-5, (i) => (i < month ? 0.5 : 0));
    thaw.temperature.fill(6, month);
    const melt = runoff(land, thaw);
    expect(Math.max(...melt.slice(month, 2 * month))).toBeGreaterThan(10 * melt[month]!);
  });

  it('answers a burst on wet ground more than the same burst on dry ground', () => {
    const burst = (from: number) => (i: number) => (i >= from && i < from + 20 ? 6 : 0);
    const rise = (wetFirst: boolean): number => {
      const series = weather(12, (i) => burst(2 * month)(i) + (wetFirst && i > month && i < 2 * month - 200 ? 0.6 : 0));
      const out = runoff(land, series);
      return Math.max(...out.slice(2 * month, 2 * month + 100)) - out[2 * month]!;
    };
    expect(rise(true)).toBeGreaterThan(2 * rise(false));
  });
});

describe('the weather', () => {
  const weather = makeWeather(7);
  const rain = weather.precipitation('upper', { delayHours: 0, localShowers: 0.2 });
  const byMonth = (series: Float64Array): number[] => {
    const sums = new Float64Array(12);
    const counts = new Float64Array(12);
    series.forEach((value, i) => {
      const month = localParts(WORLD_START + i * STEP, -7).month - 1;
      sums[month] = sums[month]! + value;
      counts[month] = counts[month]! + 1;
    });
    return Array.from(sums, (s, m) => s / counts[m]!);
  };

  it('rains most in autumn', () => {
    const wet = byMonth(rain);
    const autumn = wet[8]! + wet[9]! + wet[10]!;
    for (const from of [0, 3, 6])
      expect(autumn).toBeGreaterThan(
        wet[from]! + wet[from + 1]! + wet[(from + 2) % 12]! - 1e-9 - (from === 6 ? wet[8]! : 0),
      );
    expect(rain.every((r) => r >= 0)).toBe(true);
  });

  it('is coldest in midwinter and warmest in midsummer, and warmer at three than at three', () => {
    const warm = byMonth(weather.temperature);
    expect(warm.indexOf(Math.min(...warm))).toBeOneOf([11, 0, 1]);
    expect(warm.indexOf(Math.max(...warm))).toBeOneOf([5, 6, 7]);
    const atHour = (hour: number): number => {
      const picked = Array.from(weather.temperature).filter(
        (_, i) => Math.abs(localParts(WORLD_START + i * STEP, -7).hour - hour) < 0.01,
      );
      return picked.reduce((a, b) => a + b, 0) / picked.length;
    };
    expect(atHour(15) - atHour(3)).toBeGreaterThan(4);
  });

  it('gives each catchment its own share of the same storms', () => {
    const other = weather.precipitation('flashy', { delayHours: 0, localShowers: 0.2 });
    const days = (series: Float64Array) =>
      Array.from({ length: Math.floor(STEPS / 96) }, (_, d) => total(series.slice(d * 96, d * 96 + 96)) * DT);
    const [a, b] = [days(rain), days(other)];
    const wetDays = a.map((mm, d) => [mm, b[d]!] as const).filter(([x, y]) => x > 5 && y > 5);
    const logs = wetDays.map(([x, y]) => Math.log(x / y));
    const mean = logs.reduce((s, v) => s + v, 0) / logs.length;
    const sd = Math.sqrt(logs.reduce((s, v) => s + (v - mean) ** 2, 0) / logs.length);
    expect(Math.abs(mean)).toBeLessThan(0.1);
    expect(sd).toBeGreaterThan(0.1);
    expect(sd).toBeLessThan(0.5);
  });
});
