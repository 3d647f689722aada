import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { effectiveSeries, slopeWindowHours } from '../../src/align/effectiveSeries.js';
import { reservoirSeries } from '../../src/align/reservoirSeries.js';
import { createRandom } from '../../src/kernel/random.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { expectClose } from '../expectClose.js';
import { FROM, HOUR, makeRecord, smoothFlow } from './makeRecord.js';

const recession = JSON.parse(
  readFileSync(new URL('../reference/level/recession-exact.json', import.meta.url), 'utf8'),
) as { data: { Q0: number; tau_days: number; t: number[] }; expected: { Q: number[]; k_hourly: number } };

/** Readings at irregular steps of 0.2 to 1.4 h. */
function irregularHours(count: number, seed: number): number[] {
  const random = createRandom(seed);
  let t = 0;
  return Array.from({ length: count }, () => (t += 0.2 + 1.2 * random.uniform()));
}

const hourly = Array.from({ length: 400 }, (_, t) => smoothFlow(t));

/** Half the reading and half its mean over the last 4k hours, the mean by a sum over `steps` pieces of each stretch between readings. */
function slowStore(record: GaugeRecord, kHours: number, steps: number): number[] {
  const { timesMs, values } = record;
  const q = Array.from(values, (v) => v - (record.zeroFlowStage ?? 0));
  return q.map((now, i) => {
    const fromMs = timesMs[i]! - 4 * kHours * HOUR;
    if (fromMs < timesMs[0]!) return NaN;
    let sum = 0;
    for (let j = i; j > 0 && timesMs[j]! > fromMs; j--) {
      const startMs = Math.max(fromMs, timesMs[j - 1]!);
      const piece = (timesMs[j]! - startMs) / steps;
      for (let s = 0; s < steps; s++) {
        const w = (startMs + (s + 0.5) * piece - timesMs[j - 1]!) / (timesMs[j]! - timesMs[j - 1]!);
        sum += piece * ((1 - w) * q[j - 1]! + w * q[j]!);
      }
    }
    return 0.5 * now + (0.5 * sum) / (4 * kHours * HOUR);
  });
}

/** Q + |k|·slope by a least-squares line through the readings of the trailing window, each window by itself. */
function plainUnstore(record: GaugeRecord, kHours: number): number[] {
  const window = slopeWindowHours(record.stepMs);
  const offset = record.zeroFlowStage ?? 0;
  const q = Array.from(record.values, (v) => v - offset);
  return q.map((now, i) => {
    const ts: number[] = [];
    const qs: number[] = [];
    for (let j = i; j >= 0; j--) {
      const back = (record.timesMs[i] - record.timesMs[j]) / HOUR;
      if (!(q[j] === q[j])) break;
      // Beyond the window only while what is in it spans less than half of it.
      if (back > window + 1e-6 && ts.length > 0 && -ts[ts.length - 1] >= 0.5 * window) break;
      if (j < i && record.timesMs[j + 1] - record.timesMs[j] > record.maxGapMs) break;
      ts.push(-back);
      qs.push(q[j]);
    }
    if (ts.length < 2 || -ts[ts.length - 1] < 0.5 * window) return NaN;
    const mt = ts.reduce((a, b) => a + b, 0) / ts.length;
    const mq = qs.reduce((a, b) => a + b, 0) / qs.length;
    const up = ts.reduce((a, t, r) => a + (t - mt) * (qs[r] - mq), 0);
    const down = ts.reduce((a, t) => a + (t - mt) ** 2, 0);
    return Math.max(now + kHours * (up / down), 0.1 * now);
  });
}

describe('effectiveSeries with storage 0', () => {
  it('is the reading itself, and NaN where the reading is missing, zero or negative', () => {
    const e = effectiveSeries(makeRecord([3, 0, -1, NaN, 5, Infinity]), 0);
    expect([...e]).toEqual([3, NaN, NaN, NaN, 5, Infinity]);
  });

  it('counts a stage from its zero-flow stage', () => {
    const stage = makeRecord([1.5, 1.25, 1, 0.9], { parameter: 'stage', unit: 'm', zeroFlowStage: 1 });
    expect([...effectiveSeries(stage, 0)]).toEqual([0.5, 0.25, NaN, NaN]);
  });

  it('gives an empty series for an empty record, with any storage', () => {
    for (const k of [-6, 0, 6]) expect(effectiveSeries(makeRecord([]), k)).toHaveLength(0);
  });
});

describe('effectiveSeries with the creek the slower one (k > 0)', () => {
  it.each([2, 6, 24])('k = %i h: is half the reading and half a mean summed piece by piece, hourly readings', (k) => {
    const record = makeRecord(hourly);
    const e = effectiveSeries(record, k);
    const slow = slowStore(record, k, 3);
    expect(slow.filter((v) => v === v).length).toBe(400 - 4 * k);
    slow.forEach((v, i) => {
      if (v === v) expectClose(e[i]!, v, { rel: 1e-12, why: `k ${k}, reading ${i}` });
      else expect(e[i]).toBeNaN();
    });
  });

  it('does the same at irregular readings', () => {
    const hours = irregularHours(300, 3);
    const record = makeRecord(hours.map(smoothFlow), { hours });
    const e = effectiveSeries(record, 8);
    const slow = slowStore(record, 8, 2);
    expect(slow.filter((v) => v === v).length).toBeGreaterThan(200);
    slow.forEach((v, i) => {
      if (v === v) expectClose(e[i]!, v, { rel: 1e-11, why: `reading ${i}` });
    });
  });

  it('keeps a linear-reservoir recession a recession of the same constant (recession-exact.json)', () => {
    const r = recession.expected.k_hourly;
    const k = 24;
    const record = makeRecord(Array.from({ length: 600 }, (_, t) => recession.data.Q0 * r ** t));
    const e = effectiveSeries(record, k);
    // The mean of straight pieces over W hours of r^n: (1 + r)/2 · (r^-W - 1)/(W (1 - r)) · r^n.
    const W = 4 * k;
    const A = 0.5 + (0.5 * ((1 + r) / 2) * (r ** -W - 1)) / (W * (1 - r));
    const tau = recession.data.tau_days * 24;
    // Readings without gaps between them: the mean of e^(t/τ) over the last W hours is τ/W (e^(W/τ) - 1).
    expectClose(A, 0.5 + ((0.5 * tau) / W) * Math.expm1(W / tau), { rel: 1e-5, why: 'the pieces against the curve' });
    for (let n = W; n < 600; n++) expectClose(e[n]!, recession.data.Q0 * A * r ** n, { rel: 1e-12, why: `hour ${n}` });
    expectClose(e[599]! / e[598]!, r, { rel: 1e-12, why: 'the same constant per step' });
  });

  it('does the same on the published daily values', () => {
    const { t } = recession.data;
    const record = makeRecord(recession.expected.Q, { hours: t.map((day) => 24 * day), maxGapMs: 72 * HOUR });
    const e = effectiveSeries(record, 48);
    const r = Math.exp(-1 / recession.data.tau_days);
    // Eight days of straight daily pieces.
    const A = 0.5 + (0.5 * ((1 + r) / 2) * (r ** -8 - 1)) / (8 * (1 - r));
    t.forEach((day) => {
      if (day < 8) expect(e[day]).toBeNaN();
      else expectClose(e[day]!, 100 * A * r ** day, { rel: 1e-12, why: `day ${day}` });
    });
  });

  it('leaves steady water alone and answers a step at once with its half, then in a straight line', () => {
    const step = Array.from({ length: 200 }, (_, t) => (t < 100 ? 10 : 30));
    const e = effectiveSeries(makeRecord(step), 10);
    for (let t = 40; t < 100; t++) expectClose(e[t]!, 10, { rel: 1e-14, why: 'steady' });
    // The rise is a straight piece of one hour, half of which counts in the mean of 40 hours.
    for (let t = 100; t < 140; t++)
      expectClose(e[t]!, 20 + 10 * ((t - 100 + 0.5) / 40), { rel: 1e-12, why: `hour ${t}` });
    for (let t = 141; t < 200; t++) expectClose(e[t]!, 30, { rel: 1e-12, why: 'steady again' });
  });

  it('starts anew after a missing reading and after a gap wider than maxGap, silent for 4k', () => {
    const k = 4;
    const hours = Array.from({ length: 100 }, (_, i) => (i < 50 ? i : i + 10));
    const values = hours.map(smoothFlow);
    values[25] = NaN;
    const e = effectiveSeries(makeRecord(values, { hours }), k);
    const silent = [...e].flatMap((v, i) => (v === v ? [] : [i]));
    // Three starts (readings 0, 26 and 50), each silent for the readings less than 16 h after it, and the missing one.
    expect(silent).toEqual(
      [0, 26, 50]
        .flatMap((s) => Array.from({ length: 16 }, (_, i) => s + i))
        .concat(25)
        .sort((a, b) => a - b),
    );
    const alone = effectiveSeries(makeRecord(values.slice(50)), k);
    for (let i = 66; i < 100; i++) expect(e[i]).toBe(alone[i - 50]);
  });

  it('bridges a gap of exactly maxGap', () => {
    const hours = Array.from({ length: 60 }, (_, i) => (i < 30 ? i : i + 2));
    const e = effectiveSeries(makeRecord(hours.map(smoothFlow), { hours }), 2);
    expect([...e].findLastIndex((v) => !(v === v))).toBe(7);
  });
});

describe('effectiveSeries with the gauge the slower one (k < 0)', () => {
  it('agrees with a line fitted to every window by itself: irregular steps, gaps, missing readings, 1500 h', () => {
    const random = createRandom(11);
    const hours = irregularHours(1800, 5).map((t, i) => t + (i > 700 ? 9 : 0));
    const values = hours.map((t) => smoothFlow(t) * (1 + 0.01 * random.normal()));
    for (const i of [0, 100, 101, 950, 1799]) values[i] = NaN;
    const record = makeRecord(values, { hours });
    for (const k of [3, 10, 24]) {
      const e = effectiveSeries(record, -k);
      const plain = plainUnstore(record, k);
      plain.forEach((p, i) => {
        if (p === p) expectClose(e[i], p, { rel: 1e-10, why: `k ${k}, reading ${i}` });
        else expect(e[i], `k ${k}, reading ${i}`).toBeNaN();
      });
      expect(plain.filter((p) => p === p).length).toBeGreaterThan(1700);
    }
  });

  it('undoes a reservoir: inflow → reservoir of k hours → effectiveSeries(-k) gives about the inflow', () => {
    const inflow = makeRecord(hourly);
    for (const k of [3, 6, 12]) {
      const gauge = reservoirSeries(inflow, k);
      const from = 3 * k;
      const back = effectiveSeries(makeRecord(gauge.subarray(from)), -k);
      const flattened: number[] = [];
      const undone: number[] = [];
      for (let i = from + 4; i < hourly.length; i++) {
        flattened.push((Math.log(gauge[i]) - Math.log(hourly[i])) ** 2);
        undone.push((Math.log(back[i - from]) - Math.log(hourly[i])) ** 2);
      }
      const rms = (v: number[]) => Math.sqrt(v.reduce((a, b) => a + b, 0) / v.length);
      // The slope of the trailing window is about an hour old, so the inflow comes back within a tenth of what was lost, or a few per cent.
      expect(rms(undone), `k ${k}: undone against flattened ${rms(flattened)}`).toBeLessThan(0.35 * rms(flattened));
      expect(rms(undone)).toBeLessThan(0.12);
    }
  });

  it('takes k/τ off a recession of constant τ', () => {
    const tau = recession.data.tau_days * 24;
    const values = Array.from({ length: 200 }, (_, t) => recession.data.Q0 * recession.expected.k_hourly ** t);
    const record = makeRecord(values);
    for (const k of [3, 10, 24]) {
      const e = effectiveSeries(record, -k);
      // Hourly readings: a window of 2.5 h holds those of 2 h.
      const w = Math.floor(slopeWindowHours(HOUR));
      // Inflow of the gauge's reservoir: Q(1 - k/τ), the slope being that of half a window ago.
      for (const i of [20, 150])
        expectClose(e[i] / values[i], 1 - (k / tau) * Math.exp(w / (2 * tau)), { rel: 1e-5, why: `k ${k}` });
    }
  });

  it('reaches back past its window where readings come late, but never over a gap', () => {
    // Steps of a quarter hour, one reading 1.5 h late (under maxGap), then one 4 h late.
    const hours = [0, 0.25, 0.5, 0.75, 1, 1.25, 2.75, 3, 3.25, 7.25, 7.5, 7.75];
    const values = hours.map((t) => 10 + 2 * t);
    const e = effectiveSeries(makeRecord(values, { hours }), -3);
    const known = [...e].map((v) => v === v);
    expect(known).toEqual([false, false, true, true, true, true, true, true, true, false, false, true]);
    e.forEach((v, i) => {
      if (v === v) expectClose(v, values[i] + 6, { rel: 1e-12, why: `reading ${i}` });
    });
  });

  it('is exact on a straight rise', () => {
    const e = effectiveSeries(makeRecord(Array.from({ length: 50 }, (_, t) => 5 + 0.5 * t)), -6);
    for (let t = 3; t < 50; t++) expectClose(e[t], 5 + 0.5 * t + 3, { rel: 1e-12, why: `hour ${t}` });
  });

  it('is floored at a tenth of the reading in a steep fall', () => {
    const fall = Array.from({ length: 60 }, (_, t) => 100 * Math.exp(-t / 10));
    const e = effectiveSeries(makeRecord(fall), -24);
    for (let t = 3; t < 60; t++) expectClose(e[t], 0.1 * fall[t], { rel: 1e-12, why: `hour ${t}` });
  });

  it('has windows between 1 and 3 h, and never under two steps of the record', () => {
    expect(slopeWindowHours(HOUR / 4)).toBe(1);
    expect(slopeWindowHours(HOUR)).toBe(1);
    expect(slopeWindowHours(24 * HOUR)).toBe(24);
  });
});

describe('effectiveSeries, any storage', () => {
  const random = createRandom(2);
  const hours = irregularHours(500, 8);
  const values = hours.map((t) => smoothFlow(t) * Math.exp(0.05 * random.normal()));
  values[333] = NaN;
  const record = makeRecord(values, { hours });

  it.each([-24, -6, -3, 0, 3, 12, 48])('k = %i: later readings never change earlier values', (k) => {
    const e = effectiveSeries(record, k);
    for (const cut of [60, 250, 334, 450]) {
      const changed = values.map((v, i) => (i > cut ? v * 7 : v));
      const other = effectiveSeries(makeRecord(changed, { hours }), k);
      expect([...other.subarray(0, cut + 1)]).toEqual([...e.subarray(0, cut + 1)]);
      const stopped = effectiveSeries(makeRecord(values.slice(0, cut + 1), { hours, stepMs: record.stepMs }), k);
      expect([...stopped]).toEqual([...e.subarray(0, cut + 1)]);
    }
  });

  it.each([-24, -3, 0, 3, 48])('k = %i: a factor on the gauge is a factor on e', (k) => {
    const e = effectiveSeries(record, k);
    const scaled = effectiveSeries(
      makeRecord(
        values.map((v) => 35.3 * v),
        { hours },
      ),
      k,
    );
    e.forEach((v, i) => {
      if (v === v) expectClose(scaled[i], 35.3 * v, { rel: 1e-11, why: `reading ${i}` });
      else expect(scaled[i]).toBeNaN();
    });
  });

  it.each([-10, 0, 10])('k = %i: a stage with its zero is treated as the height above it', (k) => {
    const above = effectiveSeries(record, k);
    const stage = effectiveSeries(
      makeRecord(
        values.map((v) => v + 312),
        { hours, parameter: 'stage', unit: 'm', zeroFlowStage: 312 },
      ),
      k,
    );
    above.forEach((v, i) => {
      if (v === v) expectClose(stage[i], v, { rel: 1e-9, why: `reading ${i}` });
      else expect(stage[i]).toBeNaN();
    });
  });

  it('never changes the record', () => {
    const before = [...record.values];
    for (const k of [-6, 0, 6]) effectiveSeries(record, k);
    expect([...record.values]).toEqual(before);
    expect(record.timesMs[0]).toBe(FROM + hours[0] * HOUR);
  });
});
