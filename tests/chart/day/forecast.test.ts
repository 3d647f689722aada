import { describe, expect, it } from 'vitest';
import { forecastOf } from '../../../src/chart/day/forecast.js';
import { oddsNow } from '../../../src/chart/day/oddsNow.js';
import { outlook } from '../../../src/chart/day/outlook.js';
import type { Forecast } from '../../../src/series/forecast.js';
import { FROM, HOUR, makeRecord } from '../../align/makeRecord.js';
import { expectClose } from '../../expectClose.js';
import { stepLevel } from './stepLevel.js';

const DAY = 24 * HOUR;
/** 12 to 20 and back in four days, without an end. */
const flow = (hour: number) => 16 + 4 * Math.sin((2 * Math.PI * hour) / 96);
const record = makeRecord(Array.from({ length: 60 * 24 }, (_, hour) => flow(hour)));
const end = record.timesMs.at(-1)!;
const level = stepLevel();

/** Issued at hour `h`, three hours apart for two days: the truth times e^off. */
const issued = (h: number, off: number): Forecast => {
  const hours = Array.from({ length: 16 }, (_, i) => h + 3 * (i + 1));
  return {
    issuedMs: FROM + h * HOUR,
    timesMs: Float64Array.from(hours, (hour) => FROM + hour * HOUR),
    values: Float64Array.from(hours, (hour) => flow(hour) * Math.exp(off)),
  };
};
/** A day apart, off by -0.2 to 0.2 in turn, then the present one, which is a tenth too high. */
const OFF = [-0.2, -0.1, 0, 0.1, 0.2];
const past = Array.from({ length: 20 }, (_, i) => issued(30 * 24 + 24 * i, OFF[i % 5]!));
const present = issued(60 * 24 - 1, 0.1);

describe('an official forecast', () => {
  it('is off as past ones were, as far ahead: their errors and no others stand around it', () => {
    const at = forecastOf(level, record, [...past, present])(end + 12 * HOUR)!;
    expect(at.issuedMs).toBe(present.issuedMs);
    expect(at.past).toBe(20);
    const middle = Math.log(flow(60 * 24 - 1 + 12)) + 0.1;
    at.xs.forEach((x, i) =>
      expectClose(x, middle + [-0.2, -0.1, 0, 0.1, 0.2][Math.floor(i / 4)]!, { abs: 1e-9, why: `past forecast ${i}` }),
    );
    // ln(gauge / forecast): a forecast that was a fifth too high had the gauge below it.
    expectClose(at.off80[0], -0.2, { abs: 1e-9, why: 'lower end of 20 errors, four of each size' });
    expectClose(at.off80[1], 0.2, { abs: 1e-9, why: 'upper end' });
  });

  it('says nothing beyond its reach, before its issue, and of an office without a past', () => {
    const at = forecastOf(level, record, [...past, present]);
    expect(at(end + 49 * HOUR)).toBeNull();
    expect(at(end - HOUR)).toBeNull();
    expect(forecastOf(level, record, [...past.slice(0, 11), present])(end + 12 * HOUR)).toBeNull();
    expect(forecastOf(level, record, [])(end + 12 * HOUR)).toBeNull();
    // Twenty issues of one afternoon are one flood's errors.
    const hourly = Array.from({ length: 20 }, (_, i) => issued(40 * 24 + i / 2, 0.1));
    expect(forecastOf(level, record, [...hourly, present])(end + 12 * HOUR)).toBeNull();
  });

  it('is read by the instruction of the chart: by a mean over the last hours it goes on from the readings before it', () => {
    const slow = stepLevel({ storageHours: 6 });
    const truth = Array.from({ length: 20 }, (_, i) => issued(30 * 24 + 24 * i, 0));
    const { xs } = forecastOf(slow, record, [...truth, issued(60 * 24 - 1, 0)])(end + 6 * HOUR)!;
    // Half of the reading, half of its mean over the last 24 h (4 times 6): the integral of the sine from hour t-24 to t.
    const t = 60 * 24 - 1 + 6;
    const w = (2 * Math.PI) / 96;
    const mean = 16 + (4 / (24 * w)) * (Math.cos(w * (t - 24)) - Math.cos(w * t));
    for (const x of xs) expectClose(Math.exp(x), (flow(t) + mean) / 2, { rel: 2e-3, why: 'steps of three hours' });
  });

  it('takes the place of past moments in the odds on arrival and in the outlook, as far as it reaches', () => {
    const forecasts = [...past, present];
    const arrivalMs = end + 12 * HOUR;
    const by = oddsNow(level, record, { arrivalMs, forecasts });
    expect([by.forecastMs, by.like, by.carriedHours]).toEqual([present.issuedMs, 20, 12]);
    expectClose(by.reading!.value, flow(60 * 24 - 1 + 12) * Math.exp(0.1), { rel: 0.11, why: 'the middle error is 0' });
    expect(oddsNow(level, record, { arrivalMs }).forecastMs).toBeNull();
    // One that is issued later than the hour asked for is not known then.
    expect(
      oddsNow(level, record, { arrivalMs: end + HOUR, forecasts: [...past, issued(60 * 24 + 2, 0)] }).forecastMs,
    ).toBeNull();
    const ahead = outlook(level, record, { forecasts });
    expect(ahead.forecast).toMatchObject({ issuedMs: present.issuedMs, past: 20, toHours: 48, offHours: 24 });
    const at = (hours: number) => ahead.steps.find((step) => step.hours === hours)!.reading;
    expectClose(at(24).i80[0], flow(60 * 24 - 1 + 24) * Math.exp(0.1 - 0.2), { rel: 1e-9, why: 'tenth of its errors' });
    expect(at(72)).toEqual(outlook(level, record).steps.find((step) => step.hours === 72)!.reading);
    expect(outlook(level, record).forecast).toBeNull();
  });
});

describe('a reading that may be off', () => {
  it('has the odds of a tenth less and a tenth more beside its own', () => {
    const arrivalMs = FROM + 200 * HOUR;
    const said = oddsNow(level, record, { arrivalMs });
    const scaled = (by: number) =>
      oddsNow(level, { ...record, values: record.values.map((value) => value * by) }, { arrivalMs }).odds!;
    said.ifOff.higher!.forEach((p, k) => expectClose(p, scaled(1.1)[k]!, { abs: 1e-12, why: `class ${k}, higher` }));
    said.ifOff.lower!.forEach((p, k) => expectClose(p, scaled(1 / 1.1)[k]!, { abs: 1e-12, why: `class ${k}, lower` }));
    expect(oddsNow(level, makeRecord([500, 500]), { arrivalMs: FROM }).ifOff).toEqual({ lower: null, higher: null });
  });

  it('rises or falls by the readings there are, two hours apart or five', () => {
    for (const hours of [1, 2, 3, 5]) {
      const two = { ...makeRecord([10, 10 * Math.exp(0.02 * hours)]), maxGapMs: 6 * HOUR };
      const timesMs = Float64Array.of(FROM, FROM + hours * HOUR);
      const { change } = oddsNow(level, { ...two, timesMs }, { arrivalMs: FROM + hours * HOUR });
      expectClose(change!, 0.06, { abs: 1e-9, why: `2 % an hour, told over ${hours} h` });
    }
    expect(oddsNow(level, makeRecord([10]), { arrivalMs: FROM }).change).toBeNull();
    expect(DAY).toBe(24 * HOUR);
  });
});
