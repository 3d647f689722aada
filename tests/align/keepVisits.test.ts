import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { keepSightings, keepVisits } from '../../src/align/keepVisits.js';
import type { Aligned } from '../../src/align/types.js';
import type { Visit } from '../../src/series/visits.js';
import { makeRecord, smoothFlow } from './makeRecord.js';
import { creek, makeVisit, run } from './makeVisits.js';

const record = makeRecord(Array.from({ length: 2000 }, (_, t) => smoothFlow(t)));

/** A log with two features, a staff, three observers, loose times and a visit outside the record. */
const visits: readonly Visit[] = [
  makeVisit('a', 100, [{ saw: 2 }, { feature: 'ledge', saw: 1, observer: 'Bo' }]),
  makeVisit('b', 130, [{ saw: 3, giveOrTakeMin: 30, observer: 'Bo' }]),
  makeVisit('c', 400.3, [{ saw: 1 }, { feature: 'staff', value: 0.4, after: 2 }]),
  makeVisit('d', 900, [{ feature: 'rock', saw: 0, giveOrTakeMin: 180 }]),
  makeVisit('e', 1300, [{ saw: 4, observer: 'Cy' }, { saw: 3 }]),
  makeVisit('f', 1305, [{ saw: 4, observer: 'Cy' }]),
  makeVisit('out', 5000, [{ saw: 0 }]),
];
const options = { lagsHours: [-6, 0, 2.5, 12], storagesHours: [-5, 0, 12] };
const align = (log: readonly Visit[]): Aligned => alignVisits({ creek, run, record, visits: log }, options);
const whole = align(visits);

describe('keepVisits', () => {
  it.each([
    ['without one flood', (id: string) => id !== 'e' && id !== 'f'],
    ['without the only staff and the only rock', (id: string) => id !== 'c' && id !== 'd'],
    ['one visit alone', (id: string) => id === 'b'],
    ['all of them', () => true],
  ])('is what alignVisits makes of the shorter log: %s', (_, stays) => {
    // The visit that found no reading is in both.
    const shorter = align(visits.filter(({ id }) => id === 'out' || stays(id)));
    expect(keepVisits(whole, ({ id }) => stays(id))).toEqual(shorter);
  });

  it('shows each visit with its place, time and flood', () => {
    const seen: unknown[] = [];
    keepVisits(whole, (visit) => seen.push([visit.index, visit.id, visit.timeMs, visit.flood]) > 0);
    expect(seen).toEqual(whole.visitIds.map((id, i) => [i, id, whole.visitTimesMs[i], whole.flood[i]]));
  });

  it('numbers floods without holes and leaves the whole untouched', () => {
    const before = structuredClone(whole);
    const kept = keepVisits(whole, ({ flood }) => flood !== whole.flood[1]);
    expect([...new Set(kept.flood)]).toEqual(Array.from({ length: new Set(kept.flood).size }, (_, f) => f));
    expect(kept.flood[kept.flood.length - 1]).toBe(whole.flood[5] - 1);
    expect(whole).toEqual(before);
    expect(Object.isFrozen(kept)).toBe(true);
  });

  it('with nothing left keeps the verdict and the grid', () => {
    const none = keepVisits(whole, () => false);
    expect(none.visitIds).toEqual([]);
    expect(none.features.map(({ id }) => id)).toEqual(['verdict']);
    expect(none.observers).toEqual([]);
    expect([none.x.length, none.slope.length, none.shift.length, none.nodeStart.length]).toEqual([0, 0, 0, 1]);
    expect(none.lagsHours).toEqual(whole.lagsHours);
  });
});

describe('keepSightings', () => {
  it('is what alignVisits makes of the log without an observer, whose visits drop out where nobody else saw anything', () => {
    const shorter = align(
      visits
        .map((v) => ({ ...v, sightings: v.sightings.filter(({ observer }) => observer !== 'Cy') }))
        .filter((v) => v.sightings.length > 0),
    );
    const kept = keepSightings(whole, ({ observer }) => observer !== 'Cy');
    expect(kept.visitIds).toEqual(['a', 'b', 'c', 'd', 'e']);
    expect(kept).toEqual(shorter);
  });

  it('is what alignVisits makes of the log without a feature', () => {
    const shorter = align(
      visits
        .map((v) => ({ ...v, sightings: v.sightings.filter(({ feature }) => feature !== 'staff') }))
        .filter((v) => v.sightings.length > 0),
    );
    expect(keepSightings(whole, ({ feature }) => feature !== 'staff')).toEqual(shorter);
  });

  it('shows each sighting with its visit, feature, observer and row', () => {
    const seen: unknown[] = [];
    keepSightings(whole, (s) => seen.push([s.index, s.visit, s.feature, s.observer, s.row]) > 0);
    expect(seen[1]).toEqual([1, 0, 'ledge', 'Bo', whole.sightingRow[1]]);
    expect(seen).toHaveLength(whole.sightingRow.length);
  });

  it('a visit keeps its time when the sighting that timed it leaves', () => {
    const log = [
      makeVisit('loose', 200, [
        { saw: 2, giveOrTakeMin: 60 },
        { feature: 'ledge', saw: 1, after: 0.5 },
      ]),
    ];
    const both = align(log);
    const kept = keepSightings(both, ({ feature }) => feature === 'verdict');
    expect(kept.visitTimesMs).toEqual(both.visitTimesMs);
    expect(kept.nodeWeight).toEqual(both.nodeWeight);
    expect(kept.x).toEqual(both.x);
  });
});
