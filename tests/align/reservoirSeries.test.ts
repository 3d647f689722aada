import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { effectiveSeries } from '../../src/align/effectiveSeries.js';
import { reservoirSeries } from '../../src/align/reservoirSeries.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { expectClose } from '../expectClose.js';
import { HOUR, makeRecord, smoothFlow } from './makeRecord.js';

const recession = JSON.parse(
  readFileSync(new URL('../reference/level/recession-exact.json', import.meta.url), 'utf8'),
) as { data: { Q0: number; tau_days: number; t: number[] }; expected: { Q: number[]; k_hourly: number } };

const hourly = Array.from({ length: 400 }, (_, t) => smoothFlow(t));

/** dE/dt = (Q - E)/k by Euler steps of `stepHours`, Q linear between readings, E = Q at the first reading. */
function eulerStore(record: GaugeRecord, kHours: number, stepHours: number): number[] {
  const { timesMs, values } = record;
  const offset = record.zeroFlowStage ?? 0;
  let e = values[0] - offset;
  const out = [e];
  for (let i = 1; i < values.length; i++) {
    const span = (timesMs[i] - timesMs[i - 1]) / HOUR;
    const steps = Math.ceil(span / stepHours);
    for (let s = 0; s < steps; s++) {
      // Q at the middle of the step: what is left is Euler's own error in E.
      const w = (s + 0.5) / steps;
      const q = (1 - w) * values[i - 1] + w * values[i] - offset;
      e += ((q - e) * span) / steps / kHours;
    }
    out.push(e);
  }
  return out;
}

describe('reservoirSeries', () => {
  it.each([2, 6, 24])('k = %i h: agrees with fine Euler steps, hourly readings', (k) => {
    const record = makeRecord(hourly);
    const e = reservoirSeries(record, k);
    const coarse = eulerStore(record, k, 1 / 500);
    const fine = eulerStore(record, k, 1 / 1000);
    for (let i = 0; i < e.length; i++) {
      if (i < 3 * k) expect(e[i]).toBeNaN();
      // Euler's error is first order in its step: twice the fine value minus the coarse one is rid of it.
      else expectClose(e[i], 2 * fine[i] - coarse[i], { rel: 1e-7, why: `k ${k}, reading ${i}` });
    }
  });

  it('agrees with fine Euler steps at irregular readings', () => {
    const hours = Array.from({ length: 300 }, (_, i) => 0.8 * i + 0.3 * Math.sin(7 * i));
    const record = makeRecord(hours.map(smoothFlow), { hours });
    const e = reservoirSeries(record, 8);
    const coarse = eulerStore(record, 8, 1 / 500);
    const fine = eulerStore(record, 8, 1 / 1000);
    let compared = 0;
    for (let i = 0; i < e.length; i++) {
      if (hours[i] - hours[0] < 24) continue;
      expectClose(e[i], 2 * fine[i] - coarse[i], { rel: 1e-6, why: `reading ${i}` });
      compared++;
    }
    expect(compared).toBeGreaterThan(200);
  });

  it('keeps a linear-reservoir recession a recession of the same constant (recession-exact.json)', () => {
    const r = recession.expected.k_hourly;
    const tau = recession.data.tau_days * 24;
    const k = 24;
    const record = makeRecord(Array.from({ length: 600 }, (_, t) => recession.data.Q0 * r ** t));
    const e = reservoirSeries(record, k);
    // On straight pieces between readings the recession r^n stays A·r^n + (Q0 - A Q0)·d^n, d = exp(-1/k).
    const d = Math.exp(-1 / k);
    const s = (r - 1) * k;
    const A = (r - s - d + s * d) / (r - d);
    for (let n = 3 * k; n < 600; n++) {
      const exact = recession.data.Q0 * (A * r ** n + (1 - A) * d ** n);
      expectClose(e[n], exact, { rel: 1e-12, why: `hour ${n}` });
    }
    // Readings without gaps between them: A = τ/(τ - k).
    expectClose(A, tau / (tau - k), { rel: 2e-6, why: 'the pieces against the curve' });
    expectClose(e[599] / e[598], r, { rel: 1e-12, why: 'the same constant per step' });
  });

  it('does the same on the published daily values', () => {
    const { t } = recession.data;
    const record = makeRecord(recession.expected.Q, { hours: t.map((day) => 24 * day), maxGapMs: 72 * HOUR });
    const k = 48;
    const e = reservoirSeries(record, k);
    const r = Math.exp(-1 / recession.data.tau_days);
    const d = Math.exp(-24 / k);
    const s = ((r - 1) * k) / 24;
    const A = (r - s - d + s * d) / (r - d);
    t.forEach((day) => {
      if (24 * day < 3 * k) expect(e[day]).toBeNaN();
      else expectClose(e[day], 100 * (A * r ** day + (1 - A) * d ** day), { rel: 1e-12, why: `day ${day}` });
    });
  });

  it('leaves steady water alone and answers a step by 1 - e^(-t/k)', () => {
    const step = Array.from({ length: 200 }, (_, t) => (t < 100 ? 10 : 30));
    const k = 10;
    const e = reservoirSeries(makeRecord(step), k);
    for (let t = 30; t < 100; t++) expectClose(e[t], 10, { rel: 1e-14, why: 'steady' });
    // The rise itself is a straight piece of one hour: (1 - k(1 - e^(-1/k))) of it has arrived at its end.
    const arrived = 1 - k * (1 - Math.exp(-1 / k));
    for (let t = 100; t < 200; t++)
      expectClose(e[t], 30 - 20 * (1 - arrived) * Math.exp(-(t - 100) / k), { rel: 1e-12, why: `hour ${t}` });
  });

  it('starts anew after a missing reading and after a gap wider than maxGap, silent for 3k', () => {
    const k = 4;
    const hours = Array.from({ length: 100 }, (_, i) => (i < 50 ? i : i + 10));
    const values = hours.map(smoothFlow);
    values[25] = NaN;
    const e = reservoirSeries(makeRecord(values, { hours }), k);
    const silent = [...e].flatMap((v, i) => (v === v ? [] : [i]));
    // Three starts (readings 0, 26 and 50), each silent for the readings less than 12 h after it, and the missing one.
    expect(silent).toEqual(
      [0, 26, 50]
        .flatMap((s) => Array.from({ length: 12 }, (_, i) => s + i))
        .concat(25)
        .sort((a, b) => a - b),
    );
    const alone = reservoirSeries(makeRecord(values.slice(50)), k);
    for (let i = 62; i < 100; i++) expect(e[i]).toBe(alone[i - 50]);
  });

  it('bridges a gap of exactly maxGap', () => {
    const hours = Array.from({ length: 60 }, (_, i) => (i < 30 ? i : i + 2));
    const e = reservoirSeries(makeRecord(hours.map(smoothFlow), { hours }), 2);
    expect([...e].findLastIndex((v) => !(v === v))).toBe(5);
  });

  it('is the instruction itself where the gauge is the slower one', () => {
    const record = makeRecord(hourly);
    for (const k of [0, -6]) expect(reservoirSeries(record, k)).toEqual(effectiveSeries(record, k));
  });
});
