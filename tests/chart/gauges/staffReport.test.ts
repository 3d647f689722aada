import { describe, expect, it } from 'vitest';
import { staffReport } from '../../../src/chart/gauges/staffReport.js';
import type { Run } from '../../../src/series/creek.js';
import type { Visit } from '../../../src/series/visits.js';

const staff = { id: 'staff', name: 'the painted staff', unit: 'cm' };
const run: Run = { id: 'gorge', name: 'the gorge', classes: ['low', 'good', 'high'], features: [staff] };

/** One visit a pair of class (-1: no verdict) and reading. */
function visitsOf(pairs: readonly (readonly [number, number])[], at = run.id): Visit[] {
  const look = { row: 1, timeMs: 0, giveOrTakeMin: 0, run: at, observer: 'somebody', note: '' };
  return pairs.map(([classIndex, value], i) => ({
    id: `v${i}`,
    run: at,
    timeMs: 0,
    sightings: [
      { ...look, feature: 'staff', classIndex: -1, value },
      { ...look, feature: 'verdict', classIndex, value: NaN },
    ],
  }));
}

const reportOf = (visits: readonly Visit[]) => staffReport(staff, { run, visits, ratings: [] });

describe('a staff against words', () => {
  it('lists the readings of each class, and how often the higher word has the higher reading', () => {
    // Pairs of different words: (30, 40), (30, 50), (30, 60), (50, 60), (40, 60), (50, 40)… by hand: low 30 50, good 40 50, high 60.
    const { classes, sentence } = reportOf(
      visitsOf([
        [1, 40],
        [0, 50],
        [2, 60],
        [0, 30],
        [1, 50],
        [-1, 99],
      ]),
    );
    expect(classes).toEqual([
      { word: 'low', readings: [30, 50], median: 40 },
      { word: 'good', readings: [40, 50], median: 45 },
      { word: 'high', readings: [60], median: 60 },
    ]);
    // low-good: 1 + 1 + 0 + ½ of 4; low-high 2 of 2; good-high 2 of 2: 6.5 of 8.
    expect(sentence).toBe(
      '5 readings with a verdict. Of two at different words the higher word has the higher reading in 81 %. Medians (cm): 40 at low, 45 at good and 60 at high.',
    );
  });

  it('says so where there is one word or none', () => {
    const one = reportOf(
      visitsOf([
        [1, 40],
        [1, 44],
      ]),
    );
    expect(one.classes[0]).toEqual({ word: 'low', readings: [], median: null });
    expect(one.sentence).toBe(
      'All 2 readings with a verdict are of one word, good: words tell nothing of the painted staff.',
    );
    expect(reportOf(visitsOf([[-1, 40]])).sentence).toBe(
      'No visit has both a verdict and a reading of the painted staff.',
    );
  });

  it('passes over other runs and readings that are none', () => {
    expect(reportOf([...visitsOf([[0, 12]], 'other'), ...visitsOf([[0, NaN]])]).classes[0].readings).toEqual([]);
  });
});
