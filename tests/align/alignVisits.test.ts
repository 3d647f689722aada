import { describe, expect, it } from 'vitest';
import { alignVisits, DEFAULT_STORAGES_HOURS, lagGrid, storageGrid } from '../../src/align/alignVisits.js';
import { effectiveSeries } from '../../src/align/effectiveSeries.js';
import type { Aligned } from '../../src/align/types.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import type { Visit } from '../../src/series/visits.js';
import { expectClose } from '../expectClose.js';
import { DAY, FROM, HOUR, makeRecord, smoothFlow } from './makeRecord.js';
import { creek, makeVisit, run } from './makeVisits.js';

/** ln Q rises by `perHour` an hour from 2 at hour 0: x at any lag follows by hand. */
const straight = (perHour: number, count = 400) =>
  makeRecord(Array.from({ length: count }, (_, t) => Math.exp(2 + perHour * t)));

const single = { storagesHours: [0] };

function align(
  record: GaugeRecord,
  visits: readonly Visit[],
  options: Parameters<typeof alignVisits>[1] = single,
): Aligned {
  return alignVisits({ creek, run, record, visits }, options);
}

/** x of a visit's node at a lag and storage. */
function xAt(
  a: Aligned,
  visit: number,
  { lag, storage = 0, node = 0 }: { lag: number; storage?: number; node?: number },
) {
  const g = a.storagesHours.indexOf(storage) * a.lagsHours.length + a.lagsHours.indexOf(lag);
  return a.x[g * a.nodeWeight.length + a.nodeStart[visit] + node];
}

describe('lagGrid and storageGrid', () => {
  it('steps by half hours, both ends kept', () => {
    expect(lagGrid({ min: -1, max: 1 })).toEqual([-1, -0.5, 0, 0.5, 1]);
    expect(lagGrid({ min: 3, max: 3 })).toEqual([3]);
    expect(lagGrid({ min: -24, max: 48 })).toHaveLength(145);
    expect(lagGrid({ min: 0, max: 6 }, 3)).toEqual([0, 3, 6]);
  });

  it('refuses bounds that are no range', () => {
    expect(() => lagGrid({ min: 2, max: 1 })).toThrow(new RangeError('lag bounds: 2 to 1 is not a range'));
    expect(() => lagGrid({ min: NaN, max: 1 })).toThrow(new RangeError('lag bounds: NaN to 1 is not a range'));
  });

  it('keeps storage 0 whatever the bounds', () => {
    expect(storageGrid()).toEqual([...DEFAULT_STORAGES_HOURS]);
    expect(storageGrid({ min: -6, max: 6 })).toEqual([-5, -3, 0, 3, 5]);
    expect(storageGrid({ min: 10, max: 20 })).toEqual([0, 12, 18]);
  });
});

describe('alignVisits: x at lags', () => {
  it('with the previous reading nothing later than the moment enters, at no lag', () => {
    const lagsHours = [-1, 0, 2.25];
    const at = (record: GaugeRecord, interpolation: 'ln' | 'previous') =>
      align(record, [makeVisit('v', 100.75, [{ saw: 2 }])], { lagsHours, ...single, interpolation });
    const record = straight(0.01);
    const a = at(record, 'previous');
    // 100.75 h less the lag, down to the last whole hour: the record is hourly.
    for (const [lag, hour] of [
      [-1, 101],
      [0, 100],
      [2.25, 98],
    ] as const)
      // prettier-ignore
      expectClose(xAt(a, 0, { lag }), 2 + 0.01 * hour, { abs: 1e-12, why: `lag ${lag}` });
    const later = { ...record, values: record.values.map((v, t) => (t > 101 ? 5 * v : v)) };
    expect(at(later, 'previous').x).toEqual(a.x);
    expect(at(later, 'ln').x).not.toEqual(at(record, 'ln').x);
  });

  it('is ln of the reading lag hours earlier; a negative lag reads later', () => {
    const a = align(straight(0.01), [makeVisit('v', 100.3, [{ saw: 2 }])], { lagsHours: [-5, 0, 0.5, 12], ...single });
    for (const lag of a.lagsHours)
      expectClose(xAt(a, 0, { lag }), 2 + 0.01 * (100.3 - lag), { abs: 1e-12, why: `lag ${lag}` });
    for (const s of a.slope) expectClose(s, 0.01, { abs: 1e-12, why: 'slope per hour' });
    expect([...a.shift]).toEqual([0, 0, 0, 0]);
  });

  it('is ln of the effective reading at each storage, storage by storage', () => {
    const record = makeRecord(Array.from({ length: 400 }, (_, t) => smoothFlow(t)));
    const a = align(record, [makeVisit('v', 200, [{ saw: 2 }])], { lagsHours: [0, 3], storagesHours: [-6, 0, 12] });
    for (const storage of [-6, 0, 12]) {
      const e = effectiveSeries(record, storage);
      for (const lag of [0, 3]) expect(xAt(a, 0, { lag, storage })).toBe(Math.log(e[200 - lag]));
    }
  });

  it('takes x from the height above a stage gauge’s zero and says so in offset', () => {
    const stage = makeRecord(
      Array.from({ length: 400 }, (_, t) => 312 + Math.exp(0.01 * t - 2)),
      { parameter: 'stage', unit: 'm', zeroFlowStage: 312 },
    );
    const a = align(stage, [makeVisit('v', 100, [{ saw: 1 }])], { lagsHours: [0, 10], ...single });
    expect(a.offset).toBe(312);
    expectClose(xAt(a, 0, { lag: 0 }), -1, { abs: 1e-9, why: 'ln(h - 312)' });
    expectClose(xAt(a, 0, { lag: 10 }), -1.1, { abs: 1e-9, why: 'ln(h - 312), lag 10' });
    const plain = align({ ...stage, zeroFlowStage: undefined }, [makeVisit('v', 100, [{ saw: 1 }])], single);
    expect(plain.offset).toBe(0);
    expectClose(xAt(plain, 0, { lag: 0 }), Math.log(312 + Math.exp(-1)), { abs: 1e-12, why: 'ln h' });
  });

  it('is NaN only where the grid point finds no reading', () => {
    const values = Array.from({ length: 200 }, (_, t) => smoothFlow(t));
    for (let t = 95; t < 99; t++) values[t] = NaN;
    const a = align(makeRecord(values), [makeVisit('v', 100, [{ saw: 2 }])], {
      lagsHours: [0, 1, 2, 5, 6, 7],
      storagesHours: [0, 3],
    });
    const known = [...a.x].map((x) => x === x);
    // Storage 0: hours 95 to 98 are missing. Storage 3: silent for 9 h from hour 99 on.
    expect(known).toEqual([true, true, false, false, true, true, false, false, false, false, true, true]);
    // The slope needs the reading two hours before as well.
    expect([...a.slope].map((s) => s === s)).toEqual([false, false, false, false, true, true, ...known.slice(6)]);
  });

  it('lets nothing later than t - lag in', () => {
    const values = Array.from({ length: 300 }, (_, t) => smoothFlow(t));
    const looks = [{ saw: 2 }, { feature: 'rock', saw: 1 }, { feature: 'staff', value: 0.4 }];
    const lag = 6;
    const options = { lagsHours: [lag], storagesHours: [-10, 0, 12] };
    const visit = makeVisit('v', 150, looks);
    const before = align(makeRecord(values), [visit], options);
    const changed = values.map((v, t) => (t > 150 - lag ? 9 * v : v));
    const after = align(makeRecord(changed), [visit], options);
    for (const key of ['x', 'slope', 'shift'] as const) expect([...after[key]]).toEqual([...before[key]]);
    // A sighting two hours later sees two hours more of the record, and still nothing of its own last six hours.
    const late = makeVisit('late', 150, [{ saw: 2 }, { feature: 'ledge', saw: 1, after: 2 }]);
    const shifts = (v: number[]) => [...align(makeRecord(v), [late], options).shift];
    expect(shifts(values.map((v, t) => (t > 152 - lag ? 9 * v : v)))).toEqual(shifts(values));
    expect(shifts(changed)).not.toEqual(shifts(values));
  });
});

describe('alignVisits: windows of give-or-take', () => {
  it('has one node of weight 1 for an exact time, five up to an hour, nine beyond', () => {
    const a = align(
      straight(0.01),
      [0, 30, 60, 61, 180].map((giveOrTakeMin, i) => makeVisit(`v${i}`, 100 + i, [{ saw: 2, giveOrTakeMin }])),
    );
    expect([...a.nodeStart]).toEqual([0, 1, 6, 11, 20, 29]);
    expect(a.nodeWeight[0]).toBe(1);
    for (let i = 0; i < 5; i++) {
      const weights = a.nodeWeight.subarray(a.nodeStart[i], a.nodeStart[i + 1]);
      expectClose(
        weights.reduce((s, w) => s + w, 0),
        1,
        { abs: 1e-14, why: `weights of visit ${i}` },
      );
    }
  });

  it('puts the visit where it is timed best: an exact look is not smeared over an afternoon', () => {
    const looks = [
      { saw: 2, giveOrTakeMin: 180 },
      { feature: 'ledge', saw: 1, after: -4, giveOrTakeMin: 0 },
    ];
    const a = align(straight(0.1), [makeVisit('v', 100, looks)], { lagsHours: [0], ...single });
    expect([...a.nodeWeight]).toEqual([1]);
    expect(a.visitTimesMs[0]).toBe(FROM + 96 * HOUR);
    expectClose(xAt(a, 0, { lag: 0 }), 2 + 0.1 * 96, { abs: 1e-12, why: 'the ledge was seen at 96 h sharp' });
    expectClose(a.shift[0], 0.4, { abs: 1e-12, why: 'the verdict keeps its own place, four hours later' });
  });

  it('integrates over the window: means of x and x² are those of even times', () => {
    const a = align(straight(0.1), [makeVisit('v', 100, [{ saw: 2, giveOrTakeMin: 180 }])], {
      lagsHours: [0, 4],
      ...single,
    });
    for (const lag of [0, 4]) {
      let mean = 0;
      let square = 0;
      for (let node = 0; node < 9; node++) {
        const x = xAt(a, 0, { lag, node });
        mean += a.nodeWeight[node] * x;
        square += a.nodeWeight[node] * x * x;
      }
      const middle = 2 + 0.1 * (100 - lag);
      expectClose(mean, middle, { abs: 1e-12, why: 'mean over ±3 h' });
      expectClose(square - mean * mean, 0.3 ** 2 / 3, { abs: 1e-10, why: 'variance of an even time within ±3 h' });
    }
  });

  it('takes the sharpest of a visit’s times: who looked at a watch dates the others', () => {
    const a = align(straight(0.01), [
      makeVisit('v', 100, [
        { saw: 2, giveOrTakeMin: 180 },
        { feature: 'ledge', saw: 1, giveOrTakeMin: 0 },
      ]),
    ]);
    expect([...a.nodeStart]).toEqual([0, 1]);
  });

  it('leaves out only the nodes that fall into a gap', () => {
    const values = Array.from({ length: 300 }, (_, t) => smoothFlow(t));
    for (let t = 102; t < 120; t++) values[t] = NaN;
    const a = align(makeRecord(values), [makeVisit('v', 100, [{ saw: 2, giveOrTakeMin: 180 }])], {
      lagsHours: [0, 10],
      ...single,
    });
    const nodes = Array.from({ length: 9 }, (_, node) => Number.isFinite(xAt(a, 0, { lag: 0, node })));
    expect(nodes).toEqual([true, true, true, true, true, true, false, false, false]);
  });
});

describe('alignVisits: features along the run', () => {
  it('shifts a feature by its distance over the wave’s speed, and a later look by its time', () => {
    const visit = makeVisit('v', 100, [
      { saw: 2 },
      { feature: 'ledge', saw: 1 },
      { feature: 'rock', saw: 1, observer: 'Bob' },
      { feature: 'rock', saw: 1, after: 2 },
      { feature: 'staff', value: 0.7, after: 1 },
    ]);
    const shifts = (speed?: number) =>
      alignVisits(
        {
          creek: { ...creek, ...(speed === undefined ? {} : { waveSpeedKmH: speed }) },
          run,
          record: straight(0.01),
          visits: [visit],
        },
        { lagsHours: [3], ...single },
      ).shift;
    // 6 km/h unless said: the rock at km 3 shows at t what the put-in showed half an hour before.
    [0, 0, -0.005, 0.015, 0].forEach((d, j) => expectClose(shifts()[j], d, { abs: 1e-12, why: `sighting ${j}` }));
    [0, 0, -0.01, 0.01, -0.01].forEach((d, j) => expectClose(shifts(3)[j], d, { abs: 1e-12, why: `3 km/h, ${j}` }));
  });

  it('has no shift where the shifted time finds no reading', () => {
    const values = Array.from({ length: 200 }, (_, t) => smoothFlow(t));
    for (let t = 102; t < 110; t++) values[t] = NaN;
    const a = align(makeRecord(values), [makeVisit('v', 100, [{ saw: 2 }, { feature: 'ledge', saw: 1, after: 4 }])], {
      lagsHours: [0, 6],
      ...single,
    });
    expect(a.shift[1]).toBe(0);
    expect(a.shift[3]).not.toBe(0);
  });
});

describe('alignVisits: which visits and features take part', () => {
  it('lists visits without a reading at half of the lags, every sighting with its row and the reason', () => {
    const values = Array.from({ length: 300 }, (_, t) => smoothFlow(t));
    for (let t = 140; t < 260; t++) values[t] = NaN;
    const outside = makeVisit('early', -50, [{ saw: 1 }, { feature: 'rock', saw: 0 }]);
    const gap = makeVisit('gap', 200, [{ saw: 3 }]);
    const good = makeVisit('good', 100, [{ saw: 2 }]);
    const after = makeVisit('after', 5000, [{ saw: 4 }]);
    const a = align(makeRecord(values), [gap, after, good, outside], { lagsHours: [0, 1, 2, 3], ...single });
    expect(a.visitIds).toEqual(['good']);
    const noReach = 'the record of gauge weir does not reach this time';
    expect(a.unmatched).toEqual([
      { visit: 'early', row: outside.sightings[0].row, reason: noReach },
      { visit: 'early', row: outside.sightings[1].row, reason: noReach },
      { visit: 'gap', row: gap.sightings[0].row, reason: 'gauge weir has a gap or refused readings around this time' },
      { visit: 'after', row: after.sightings[0].row, reason: noReach },
    ]);
  });

  it('a gap right after the first reading is a gap, what lies before it is out of reach', () => {
    const values = Array.from({ length: 100 }, (_, t) => (t > 0 && t < 60 ? NaN : smoothFlow(t)));
    const reasons = [-0.5, 0.5, 99.5].map((t) => align(makeRecord(values), [makeVisit('v', t, [{ saw: 1 }])], { lagsHours: [0], ...single }).unmatched[0].reason); // prettier-ignore
    expect(reasons.map((reason) => /gap/.test(reason))).toEqual([false, true, false]);
  });

  it('a feature whose place is not told stands at the put-in', () => {
    const kmOf = (kmFromPutIn?: number) => ({ ...run, features: run.features.map(({ kmFromPutIn: _, ...feature }) => ({ ...feature, ...(kmFromPutIn !== undefined && { kmFromPutIn }) })) }); // prettier-ignore
    const looks = [{ saw: 2 }, { feature: 'rock', saw: 1 }];
    const shift = (of: ReturnType<typeof kmOf>) =>
      alignVisits({ creek, run: of as typeof run, record: straight(0.01), visits: [makeVisit('v', 150, looks)] }, { lagsHours: [6], storagesHours: [0] }).shift; // prettier-ignore
    expect([...shift(kmOf())]).toEqual([...shift(kmOf(0))]);
    expect([...shift(kmOf())]).not.toEqual([...shift(kmOf(1))]);
  });

  it('keeps a visit that finds a reading at exactly half of the lags', () => {
    const values = Array.from({ length: 300 }, (_, t) => smoothFlow(t));
    values[98] = values[97] = NaN;
    const visit = makeVisit('v', 99, [{ saw: 2 }]);
    const kept = (lagsHours: number[]) => align(makeRecord(values), [visit], { lagsHours, ...single }).visitIds;
    expect(kept([0, 1, 2, 3])).toEqual(['v']);
    expect(kept([0, 1, 2])).toEqual([]);
  });

  it('counts readings of zero or below as no reading', () => {
    const values = Array.from({ length: 100 }, (_, t) => (t < 60 ? smoothFlow(t) : -2));
    const a = align(makeRecord(values), [makeVisit('v', 80, [{ saw: 0 }])], { lagsHours: [0], ...single });
    expect(a.unmatched[0].reason).toBe(
      'gauge weir reads zero or below around this time, which has no place on a scale of logarithms',
    );
  });

  it('passes over other runs and features it does not know; the verdict’s feature is always there', () => {
    const a = align(straight(0.01), [
      makeVisit('other', 90, [{ saw: 2 }], 'plain'),
      makeVisit('unknown', 95, [{ feature: 'bridge', saw: 0 }]),
      makeVisit('v', 100, [
        { feature: 'bridge', saw: 0 },
        { feature: 'staff', value: 1.5 },
      ]),
    ]);
    expect(a.visitIds).toEqual(['v']);
    expect(a.features).toEqual([
      { id: 'verdict', name: 'verdict', classes: run.classes },
      { id: 'staff', name: 'painted staff', classes: [], unit: 'm' },
    ]);
    expect([[...a.sightingFeature], [...a.sightingClass], [...a.sightingValue]]).toEqual([[1], [-1], [1.5]]);
  });

  it('orders visits by time, then by id, observers by name', () => {
    const visits = [
      makeVisit('b', 100, [{ saw: 2, observer: 'Zoe' }]),
      makeVisit('a', 100, [{ saw: 2, observer: 'Bob' }]),
      makeVisit('c', 50, [
        { saw: 1, observer: 'Ann' },
        { feature: 'rock', saw: 0, observer: 'Zoe' },
      ]),
    ];
    const a = align(straight(0.01), visits);
    expect(a.visitIds).toEqual(['c', 'a', 'b']);
    expect(a.observers).toEqual(['Ann', 'Bob', 'Zoe']);
    expect([...a.sightingObserver]).toEqual([0, 2, 1, 2]);
    expect([...a.sightingStart]).toEqual([0, 2, 3, 4]);
    const turned = align(straight(0.01), [visits[1], visits[2], visits[0]]);
    expect(turned).toEqual(a);
  });

  it('gives empty arrays for no visit and for an empty record', () => {
    const none = align(straight(0.01), []);
    expect([none.visitIds, none.observers, none.unmatched, [...none.x], [...none.flood]]).toEqual([[], [], [], [], []]);
    const blind = align(makeRecord([]), [makeVisit('v', 0, [{ saw: 1 }])]);
    expect(blind.visitIds).toEqual([]);
    expect(blind.unmatched[0].reason).toBe('the record of gauge weir does not reach this time');
  });

  it('refuses a grid without lags or without the single reading', () => {
    expect(() => align(straight(0.01), [], { lagsHours: [] })).toThrow(
      new RangeError('alignVisits: lagsHours is empty'),
    );
    expect(() => align(straight(0.01), [], { storagesHours: [6] })).toThrow(
      new RangeError('alignVisits: storagesHours must hold 0 (the single reading)'),
    );
  });

  it('takes the creek’s bounds unless told otherwise', () => {
    const bounded = { ...creek, lagHours: { min: 0, max: 2 }, storageHours: { min: -4, max: 4 } };
    const a = alignVisits({ creek: bounded, run, record: straight(0.01), visits: [] });
    expect([[...a.lagsHours], [...a.storagesHours]]).toEqual([
      [0, 0.5, 1, 1.5, 2],
      [-3, 0, 3],
    ]);
  });
});

describe('alignVisits: limb, floods and the clock', () => {
  it('calls water rising or falling from 2 % an hour on, over the last two hours', () => {
    const limb = (perHour: number) => align(straight(perHour), [makeVisit('v', 100, [{ saw: 2 }])]).limb[0];
    expect([0.0201, 0.0199, 0, -0.0199, -0.0201].map(limb)).toEqual([1, 0, 0, 0, -1]);
  });

  it('judges a stage by how much it moves at all: a datum 312 m below hides no rise', () => {
    // A flood wave every 60 h; the stage is 312 m and up to a metre on top.
    const flow = (t: number) => Math.exp(1 + Math.sin((2 * Math.PI * t) / 60));
    const hours = [75, 91, 105];
    const visits = hours.map((h, i) => makeVisit(`v${i}`, h, [{ saw: 2 }]));
    const count = 300;
    const discharge = makeRecord(Array.from({ length: count }, (_, t) => flow(t - 15)));
    const stage = makeRecord(
      Array.from({ length: count }, (_, t) => 312 + 0.1 * flow(t - 15)),
      { parameter: 'stage', unit: 'm' },
    );
    expect([...align(discharge, visits).limb]).toEqual([1, 0, -1]);
    expect([...align(stage, visits).limb]).toEqual([1, 0, -1]);
  });

  it('is steady where the two hours before the visit are not known', () => {
    const record = makeRecord(Array.from({ length: 100 }, (_, t) => Math.exp(0.1 * t)));
    const a = align(record, [makeVisit('v', 1, [{ saw: 2 }])], { lagsHours: [0], ...single });
    expect(a.limb[0]).toBe(0);
    expect(a.slope[0]).toBeNaN();
  });

  it('does not know of summer time: x runs straight through both nights of the creek’s zone', () => {
    // Berlin changes its clocks on 30 March and 26 October 2031, 01:00 UTC.
    const perHour = 1e-4;
    const record = straight(perHour, 310 * 24);
    const nights = [Date.UTC(2031, 2, 30), Date.UTC(2031, 9, 26)].map((t) => (t - FROM) / HOUR);
    const hours = nights.flatMap((night) => Array.from({ length: 9 }, (_, i) => night - 2 + 0.5 * i));
    const a = align(
      record,
      hours.map((h, i) => makeVisit(`v${String(i).padStart(2, '0')}`, h, [{ saw: 2 }])),
      {
        lagsHours: [0, 0.5, 24],
        ...single,
      },
    );
    expect([...a.visitTimesMs]).toEqual(hours.map((h) => FROM + h * HOUR));
    hours.forEach((h, i) => {
      for (const lag of a.lagsHours)
        expectClose(xAt(a, i, { lag }), 2 + perHour * (h - lag), { abs: 1e-11, why: `hour ${h}, lag ${lag}` });
    });
  });

  it('is the same when record and visits move together in time', () => {
    const values = Array.from({ length: 500 }, (_, t) => smoothFlow(t));
    values[200] = NaN;
    const hours = [60, 130, 203, 333, 480];
    const looks = [
      { saw: 2, giveOrTakeMin: 90 },
      { feature: 'rock', saw: 1, after: 1 },
    ];
    const by = 37 * DAY + 5 * HOUR;
    const visits = hours.map((h, i) => makeVisit(`v${i}`, h, looks));
    const moved = visits.map((v) => ({
      ...v,
      timeMs: v.timeMs + by,
      sightings: v.sightings.map((s) => ({ ...s, timeMs: s.timeMs + by })),
    }));
    const record = makeRecord(values);
    const options = { lagsHours: [-3, 0, 7], storagesHours: [-6, 0, 6] };
    const a = align(record, visits, options);
    const b = align({ ...record, timesMs: record.timesMs.map((t) => t + by) }, moved, options);
    expect({ ...b, visitTimesMs: null }).toEqual({ ...a, visitTimesMs: null });
    expect(a.x.filter((x) => x === x).length).toBeGreaterThan(0.9 * a.x.length);
  });
});
