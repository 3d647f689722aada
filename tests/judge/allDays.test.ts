import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { asOfToday } from '../../src/chart/asOfToday.js';
import { allDaysEdges, drawDryRates } from '../../src/judge/allDays.js';
import { normalCdf } from '../../src/kernel/normal.js';
import { quantile } from '../../src/kernel/quantile.js';
import { createRandom } from '../../src/kernel/random.js';
import { VERDICT, type Visit } from '../../src/series/visits.js';
import { FROM, HOUR, makeRecord } from '../align/makeRecord.js';
import { makeWorld } from '../fit/world.js';

const DAYS = 400;
const MISMATCH = 0.5;
/** The creek's only edge: ln units of the gauge. */
const EDGE = 0.3;

/** A gauge that wanders, a creek that is off by 0.5 each day, and a log of days with water or, a twentieth as often, without. */
function loggedWhenItRuns(dryShare: number) {
  const random = createRandom(12);
  let x = 0;
  const ln = Array.from({ length: 24 * DAYS }, () => (x = 0.995 * x + 0.07 * random.normal()));
  const record = makeRecord(ln.map(Math.exp));
  const visits: Visit[] = [];
  for (let day = 2; day < DAYS; day++) {
    const hour = 24 * day + 12;
    const runs = ln[hour] + MISMATCH * random.normal() > EDGE;
    if (random.uniform() > 0.7 * (runs ? 1 : dryShare)) continue;
    const timeMs = FROM + hour * HOUR;
    const sighting = { row: day, timeMs, giveOrTakeMin: 0, run: 'main', feature: VERDICT, classIndex: runs ? 1 : 0 };
    visits.push({
      id: `v${day}`,
      run: 'main',
      timeMs,
      sightings: [{ ...sighting, value: NaN, observer: 'one', note: '' }],
    });
  }
  const { creek, run } = makeWorld({ classes: ['too low', 'good'], edges: [EDGE] });
  const aligned = alignVisits(
    {
      creek,
      run: { ...run, features: [], classes: ['too low', 'good'] },
      record,
      visits: visits.map((v) => ({ ...v, run: run.id, sightings: v.sightings.map((s) => ({ ...s, run: run.id })) })),
    },
    { lagsHours: [0], storagesHours: [0] },
  );
  return { aligned, record, fit: fitLevels(aligned, { seed: 1, draws: 400, modes: ['one-reading'] })['one-reading'] };
}

describe('edges of all days', () => {
  it('stand above those of a log that leaves the dry days out, and hold the truth', () => {
    const { aligned, record, fit } = loggedWhenItRuns(1 / 20);
    const found = allDaysEdges(fit, { aligned, record })!;
    const logged = quantile(fit.features[0].edges, 0.5);
    expect(logged).toBeLessThan(EDGE - 0.3);
    expect(found.edges[0].median).toBeGreaterThan(logged + 0.2);
    expect(found.edges[0].i95[0]!).toBeLessThan(EDGE);
    expect(found.edges[0].i95[1]!).toBeGreaterThan(EDGE);
    expect(found.rateAtLowest.median).toBeLessThan(0.7);
    // Ten dry days for each that was logged: P = 10/11 on the log's own line.
    expect(found.lowestAtTenth).toBeGreaterThan(logged);
  });

  it('are those of the log where every day is as likely logged', () => {
    const { aligned, record, fit } = loggedWhenItRuns(1);
    const found = allDaysEdges(fit, { aligned, record })!;
    expect(Math.abs(found.edges[0].median - quantile(fit.features[0].edges, 0.5))).toBeLessThan(0.25);
    expect(found.edges[0].i95[1]!).toBeGreaterThan(EDGE);
  });

  it('are asked of nothing where there is nothing to ask', () => {
    const { aligned, record, fit } = loggedWhenItRuns(1);
    expect(allDaysEdges({ ...fit, draws: { ...fit.draws, count: 0 } }, { aligned, record })).toBeNull();
    expect(allDaysEdges(fit, { aligned, record: { ...record, values: record.values.map(() => NaN) } })).toBeNull();
  });

  it('how seldom dry days are logged is seen in the readings of the visits', () => {
    const all = Array.from({ length: 100 }, (_, i) => -2 + (4 * (i + 0.5)) / 100);
    const high = all.filter((x) => x > 0);
    const mean = (visits: readonly number[]): number =>
      drawDryRates(visits, { all, lowest: 0, runs: (x) => (x > 0 ? 1 : 0), seed: 3 }).reduce(
        (sum, { rare, middle, width }) => sum + (rare + (1 - rare) * normalCdf((-1.8 - middle) / width)) / 200,
        0,
      );
    expect(mean(high)).toBeLessThan(0.1);
    expect(mean(all)).toBeGreaterThan(0.5);
  });
});

describe('edges as things stand', () => {
  const { aligned, record, fit } = loggedWhenItRuns(1);
  const lasting = {
    ...fit.lasting!,
    atLast: new Float64Array(400).fill(0.4),
    sd: new Float64Array(400).fill(0.4),
    memoryDays: new Float64Array(400).fill(20),
  };
  const at = (days: number) => {
    const values = record.values.slice();
    // The record ends so many days after the last visit.
    const end = aligned.visitTimesMs[aligned.visitTimesMs.length - 1] + days * 24 * HOUR;
    const timesMs = record.timesMs.map((t, i) => (i === values.length - 1 ? end : t));
    return asOfToday({ ...fit, lasting }, { aligned, record: { ...record, timesMs, values } })!;
  };

  it('take the drift off on the day of the last visit', () => {
    const today = at(0);
    expect(today.drift.median).toBeCloseTo(0.4, 10);
    expect(today.told).toBe(true);
    expect(today.edges[0].median).toBeCloseTo(Math.exp(quantile(fit.features[0].edges, 0.5) - 0.4), 6);
  });

  it('fade back to those of any season as the verdicts age, and are then no longer told', () => {
    expect(at(20).drift.median).toBeGreaterThan(0.08);
    expect(at(20).drift.median).toBeLessThan(0.25);
    const old = at(200);
    expect(Math.abs(old.drift.median)).toBeLessThan(0.06);
    expect([old.told, old.visits60]).toEqual([false, 0]);
    expect(old.drift.i80[1]! - old.drift.i80[0]!).toBeGreaterThan(0.8);
  });

  it('need errors that last', () => {
    const { lasting: _, ...without } = fit;
    expect(asOfToday(without, { aligned, record })).toBeNull();
  });
});
