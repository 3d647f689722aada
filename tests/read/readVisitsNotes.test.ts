import { describe, expect, it } from 'vitest';
import { read, rows, sentences, utc, type Json } from './readLog.js';

describe('rows that are used, and how', () => {
  it('a time in the doubled hour is the middle of the two, give or take 60 min', () => {
    const result = read(rows('v1,2024-10-27T01:30,,upper,verdict,good,Ada,'));
    expect(sentences(result)).toEqual([
      "note visits.csv row 2, column when: found '2024-10-27T01:30', which the clocks of Europe/London showed twice, expected an offset. Taken as the middle of the two, give or take 60 min. Add the offset to the time to say which.",
    ]);
    expect(result.visits[0]!.sightings[0]).toMatchObject({ timeMs: Date.UTC(2024, 9, 27, 1), giveOrTakeMin: 60 });
  });

  it('the doubled hour with a wide give-or-take covers both windows', () => {
    const { visits } = read(rows('v1,2024-10-27T01:30,180,upper,verdict,good,Ada,'));
    expect(visits[0]!.sightings[0]!.giveOrTakeMin).toBe(210);
  });

  it('in Denver too, where the night is another', () => {
    const { visits, issues } = read(
      rows('v1,2024-11-03T01:30,20,upper,verdict,good,Ada,', 'v2,2024-03-10T02:30,,upper,verdict,good,Ada,'),
      (json) => {
        json.timeZone = 'America/Denver';
      },
    );
    expect(visits.map((visit) => [utc(visit.timeMs), visit.sightings[0]!.giveOrTakeMin])).toEqual([
      ['2024-11-03T08:00', 60],
    ]);
    expect(issues.map((issue) => [issue.code, issue.row])).toEqual([
      ['time-ambiguous', 2],
      ['time-nonexistent', 3],
    ]);
  });

  it('a row without an observer counts for one unnamed observer', () => {
    const result = read(rows('v1,2024-01-01T10:00,,upper,verdict,good,,'));
    expect(sentences(result)).toEqual([
      "note visits.csv row 2, column observer: found no observer, expected a name or initials. The row is used; all rows without a name count as one observer, 'not named'.",
    ]);
    expect(result.visits[0]!.sightings[0]!.observer).toBe('not named');
  });

  it('a visit of more than 24 h is noted', () => {
    const result = read(
      rows(
        'v1,2024-01-01T10:00,,upper,ledge,dry,Ada,',
        'v1,2024-01-02T10:01,,upper,verdict,good,Ada,',
        'v2,2024-02-01T10:00,,upper,ledge,dry,Ada,',
        'v2,2024-02-02T10:00,,upper,verdict,low,Ada,',
      ),
    );
    expect(sentences(result)).toEqual([
      "note visits.csv row 2, column visit: found visit 'v1' with sightings 24 h apart, expected one trip within 24 h. Sightings of a visit share one state of the creek. Give different days different visits.",
    ]);
    expect(result.visits.map((visit) => visit.sightings.length)).toEqual([2, 2]);
  });
});

describe('visits without a visit column', () => {
  it('are the same run, observer and local date', () => {
    const { visits } = read(
      rows(
        ',2024-07-01T00:30,,upper,ledge,dry,Ada,', // 30 June in UTC, 1 July in London
        ',2024-07-01T22:00Z,,upper,verdict,low,Ada,', // 23:00 in London
        ',2024-07-01T23:30Z,,upper,verdict,good,Ada,', // 2 July in London
        ',2024-07-01T12:00,,upper,ledge,dry,Bo,',
        ',2024-07-01T12:00,,lower,pier,under,Ada,',
      ),
    );
    expect(visits.map((visit) => [visit.id, visit.sightings.length])).toEqual([
      ['lower 2024-07-01 Ada', 1],
      ['upper 2024-07-01 Bo', 1],
      ['upper 2024-07-01 Ada', 2],
      ['upper 2024-07-02 Ada', 1],
    ]);
  });

  it('one id used on two runs is two visits', () => {
    const { visits } = read(
      rows('v1,2024-07-01T10:00,,upper,ledge,dry,Ada,', 'v1,2024-07-01T12:00,,lower,pier,under,Ada,'),
    );
    expect(visits.map((visit) => visit.id)).toEqual(['v1 (upper)', 'v1 (lower)']);
  });

  it('a written id that looks like a made one stays a visit of its own', () => {
    const { visits } = read(
      rows(',2024-07-01T10:00,,upper,ledge,dry,Ada,', 'upper 2024-07-01 Ada,2024-07-01T12:00,,upper,ledge,dry,Ada,'),
    );
    expect(visits).toHaveLength(2);
    expect(new Set(visits.map((visit) => visit.id)).size).toBe(2);
  });
});

describe('verdictFrom', () => {
  const fromLedge = (json: Json) =>
    (json.runs[0]!.verdictFrom = {
      feature: 'ledge',
      classes: { dry: 'too low', trickle: 'low', covered: 'good', padded: 'too high' },
    });
  const fromStaff = (json: Json) => (json.runs[0]!.verdictFrom = { feature: 'staff', edges: [20, 35, 60, 90] });

  it('puts a verdict in place of each sighting of the feature', () => {
    const result = read(
      rows(
        'v1,2024-01-01T10:00,15,upper,ledge,padded,Ada,x',
        'v1,2024-01-01T11:00,,upper,staff,44,Ada,',
        'v2,2024-01-02T10:00,,lower,verdict,good,Ada,',
      ),
      fromLedge,
    );
    expect(
      result.visits[0]!.sightings.map(({ feature, classIndex, value, row }) => [feature, classIndex, value, row]),
    ).toEqual([
      ['verdict', 4, NaN, 2],
      ['staff', -1, 44, 3],
    ]);
    expect(utc(result.visits[0]!.timeMs)).toBe('2024-01-01T10:00');
    expect(sentences(result)).toEqual([
      'note visits.csv, column feature: found no verdicts of run upper, expected verdicts, or verdictFrom in their place. Its classes are translated from feature ledge, whose sightings count as verdicts.',
    ]);
  });

  it('takes numbers by edges; a reading on an edge belongs to the class above', () => {
    const { visits } = read(
      rows(
        ...[19.9, 20, 34.9, 35, 60, 89, 90, 900].map(
          (value, i) => `v${i},2024-01-0${i + 1}T10:00,,upper,staff,${value},Ada,`,
        ),
      ),
      fromStaff,
    );
    expect(visits.map((visit) => visit.sightings[0]!.classIndex)).toEqual([0, 1, 1, 2, 3, 3, 4, 4]);
    expect(visits.every((visit) => visit.sightings.length === 1)).toBe(true);
  });

  it('stands back where the run has a verdict, and says so', () => {
    const result = read(
      rows('v1,2024-01-01T10:00,,upper,ledge,padded,Ada,', 'v2,2024-01-02T10:00,,upper,verdict,good,Ada,'),
      fromLedge,
    );
    expect(result.visits[0]!.sightings[0]).toMatchObject({ feature: 'ledge', classIndex: 3 });
    expect(sentences(result)).toEqual([
      'note visits.csv, column feature: found verdicts of run upper and verdictFrom in creek.json, expected verdicts, or verdictFrom in their place. The verdicts are used and nothing is translated from feature ledge.',
    ]);
  });

  it('a verdict that cannot be used does not count as one', () => {
    const result = read(
      rows('v1,2024-01-01T10:00,,upper,ledge,padded,Ada,', 'v2,2024-01-02T10:00,,upper,verdict,goood,Ada,'),
      fromLedge,
    );
    expect(result.visits[0]!.sightings[0]).toMatchObject({ feature: 'verdict', classIndex: 4 });
  });
});
