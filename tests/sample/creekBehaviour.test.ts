/** What is said of such creeks (common practice, no source) has to hold for the generator, whatever the seed. */
import { describe, expect, it } from 'vitest';
import { HOUR, localParts, RECORD_END, RECORD_START, VISITS_END } from '../../tools/sample/clock.js';
import { OBSERVERS, PAIRS, RUNS } from '../../tools/sample/place.js';
import { changesBetweenLooks, hoursToFallOneClass, median, runnableByMonth } from '../../tools/sample/report.js';
import { makeVisits, trueClass, willingness } from '../../tools/sample/visits.js';
import { flowAt, makeWorld } from '../../tools/sample/world.js';
import { expectClose } from '../expectClose.js';

const SEEDS = [7, 8, 41];

describe.each(SEEDS)('the creek of seed %i', (seed) => {
  const world = makeWorld(seed);
  const visits = makeVisits(world, seed);

  it.each(RUNS)('runs mainly in the snowmelt of spring and after autumn rain ($id run)', (run) => {
    const share = runnableByMonth(world, run);
    const all = share.reduce((a, b) => a + b, 0);
    const season = (...months: number[]): number => months.reduce((s, m) => s + share[m - 1]!, 0) / all;
    expect(season(3, 4, 5, 6)).toBeGreaterThan(0.4);
    expect(season(9, 10, 11)).toBeGreaterThan(0.2);
    expect(season(3, 4, 5, 6, 9, 10, 11)).toBeGreaterThan(0.85);
    for (const month of [1, 7, 8, 12]) expect(share[month - 1]!).toBeLessThan(0.15);
  });

  it.each(RUNS)('drops within hours ($id run)', (run) => {
    for (const months of [
      [4, 5, 6],
      [9, 10, 11],
    ]) {
      const hours = hoursToFallOneClass(world, { run, months });
      expect(hours.length).toBeGreaterThan(12);
      expect(median(hours)).toBeGreaterThan(2);
      expect(median(hours)).toBeLessThan(13);
    }
  });

  it('rises and falls every day while the snow melts: highest at night, when the melt of the afternoon arrives, lowest by midday', () => {
    const byHour = new Float64Array(24);
    for (let t = RECORD_START; t < RECORD_END; t += HOUR) {
      const { month, hour } = localParts(t);
      if (month === 4 || month === 5)
        byHour[Math.floor(hour)] = byHour[Math.floor(hour)]! + Math.log(flowAt(world.runs.lower, t));
    }
    expect(byHour.indexOf(Math.max(...byHour))).toBeOneOf([21, 22, 23, 0, 1, 2, 3]);
    expect(byHour.indexOf(Math.min(...byHour))).toBeOneOf([11, 12, 13, 14, 15]);
  });

  it('now and then loses water between the first look and the put-in', () => {
    const changes = changesBetweenLooks({ visits });
    expect(changes.length).toBeGreaterThan(70);
    const lost = changes.filter((c) => c < -0.1).length / changes.length;
    expect(lost).toBeGreaterThan(0.1);
    expect(lost).toBeLessThan(0.6);
    const lostAClass = visits.filter(({ looks, run: id }) => {
      const { edgesM3s } = RUNS.find((r) => r.id === id)!;
      return looks !== undefined && trueClass(looks.later, edgesM3s) < trueClass(looks.first, edgesM3s);
    }).length;
    expect(lostAClass / changes.length).toBeGreaterThan(0.02);
    expect(lostAClass / changes.length).toBeLessThan(0.3);
    expect(changes.some((c) => c > 0.05)).toBe(true);
  });

  it('is logged when it runs: mostly too low by daylight, hardly ever in the log', () => {
    for (const run of RUNS) {
      let low = 0;
      let all = 0;
      for (let t = RECORD_START; t < VISITS_END; t += HOUR) {
        const { hour } = localParts(t);
        if (hour < 8 || hour > 18) continue;
        all++;
        if (trueClass(flowAt(world.runs[run.id], t), run.edgesM3s) === 0) low++;
      }
      expect(low / all).toBeGreaterThan(0.5);
      const mine = visits.filter((v) => v.run === run.id);
      const lowVisits = mine.filter((v) => trueClass(v.trueFlow, run.edgesM3s) === 0).length;
      expect(lowVisits).toBeGreaterThan(0);
      expect(lowVisits / mine.length).toBeLessThan(0.2);
    }
  });

  it('has about 120 visits and 320 to 400 rows, by all seven observers, all before the held-back months', () => {
    expect(visits.length).toBe(120);
    const rows = visits.flatMap((v) => v.rows);
    expect(rows.length).toBeGreaterThanOrEqual(320);
    expect(rows.length).toBeLessThanOrEqual(400);
    expect(new Set(visits.map((v) => v.observer))).toEqual(new Set(OBSERVERS.map((o) => o.name)));
    expect(visits.every((v) => v.rows.length > 0 && v.trueTimeMs < VISITS_END)).toBe(true);
  });

  it('has some visits on which the other of a pair wrote too: the same looks, the same minutes, their own words', () => {
    const shared = visits.filter((v) => v.rows.some((row) => row.observer !== v.observer));
    expect(shared.length).toBeGreaterThan(8);
    expect(shared.length).toBeLessThan(30);
    let same = 0;
    let all = 0;
    for (const visit of shared) {
      const [own, others] = [true, false].map((first) =>
        visit.rows.filter((row) => (row.observer === visit.observer) === first),
      );
      const pair = PAIRS.find(({ names }) => names.some((name) => name === visit.observer))!;
      for (const row of others!) {
        const beside = own!.find((one) => one.feature === row.feature)!;
        expect(new Set([row.observer, visit.observer])).toEqual(new Set(pair.names));
        expect([row.when, row.giveOrTakeMin, row.note]).toEqual([beside.when, beside.giveOrTakeMin, '']);
        all++;
        if (row.saw === beside.saw) same++;
      }
    }
    // Mostly one word, and now and then another: a blur of 0.1 and biases 0.1 apart on classes that are 0.5 to 1 wide in ln. Hardly ever the same centimetre.
    expect(same / all).toBeGreaterThan(0.4);
    expect(same / all).toBeLessThan(0.95);
  });

  it('states times whose window holds the true one', () => {
    for (const visit of visits) {
      const stated = visit.rows.find(
        (row) => row.feature !== 'slab' && row.feature !== 'island' && row.feature !== 'pier' && row.feature !== 'root',
      );
      if (stated === undefined || visit.timing === 'night') continue;
      const offMinutes =
        Math.abs(Date.parse(`${stated.when}Z`) - Date.parse(`${localParts(visit.trueTimeMs).text}Z`)) / 60_000;
      expect(offMinutes, visit.id).toBeLessThanOrEqual(stated.giveOrTakeMin ?? 3);
    }
  });
});

describe('willingness', () => {
  const edges = [2.3, 3.6, 9.5, 16];

  it('has no step anywhere, least of all at an edge', () => {
    for (let flow = 0.1; flow < 40; flow *= 1.01) {
      const ratio = willingness(flow * 1.01, edges) / willingness(flow, edges);
      expect(Math.abs(Math.log(ratio)), `at ${flow}`).toBeLessThan(0.04);
    }
  });

  it('is full when the run is high, half in the middle of low, next to nothing in a dry bed', () => {
    expectClose(willingness(Math.sqrt(9.5 * 16), edges), 1, { abs: 1e-12, why: 'the knot of high' });
    expectClose(willingness(Math.sqrt(2.3 * 3.6), edges), 0.45, { abs: 1e-12, why: 'the knot of low' });
    expectClose(willingness(Math.sqrt(2.3 * 3.6) / 2, edges), 0.45 / 8, { abs: 1e-12, why: 'third power below' });
    expect(willingness(0.1, edges)).toBe(0.004);
    expect(willingness(100, edges)).toBe(0.9);
  });
});
