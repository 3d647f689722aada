import { describe, expect, it } from 'vitest';
import { features, gauge, parse, problems, run, type Json } from './parseChanged.js';

describe('problems between places', () => {
  it.each<[string, (json: Json) => void, string[]]>([
    [
      'an unknown zone',
      (json) => (json.timeZone = 'Europe/Londn'),
      ["timeZone: 'Europe/Londn' | an IANA time zone, such as Europe/London or America/Denver"],
    ],
    [
      'an unknown zone of a gauge',
      (json) => (gauge(json).timeZone = 'EST9'),
      ["gauges[0].timeZone: 'EST9' | an IANA time zone, such as Europe/London or America/Denver"],
    ],
    [
      'two runs of one id',
      (json) => (json.runs[1]!.id = 'UPPER'),
      ["runs[1].id: 'UPPER', as at runs[0].id | a run that no other has (capitals do not tell them apart)"],
    ],
    [
      'a derived gauge with the id of a gauge',
      (json) =>
        (json.derivedGauges = [{ id: 'big', name: 'x', kind: 'area-scaled', of: ['big'], catchmentAreaKm2: 3 }]),
      [
        "derivedGauges[0].id: 'big', as at gauges[0].id | a gauge that no other has (capitals do not tell them apart)",
        "derivedGauges[0].of[0]: 'big', which has none | a gauge with catchmentAreaKm2",
      ],
    ],
    [
      'a class twice',
      (json) => (run(json).classes = ['low', 'good', 'Good']),
      ["runs[0].classes[2]: 'Good', as at classes[1] | a class that no other has (capitals do not tell them apart)"],
    ],
    [
      "a feature called 'verdict'",
      (json) => (features(json)[0]!.id = 'Verdict'),
      ["runs[0].features[0].id: 'Verdict' | another id: 'verdict' is the sighting of the whole run"],
    ],
    [
      'a feature with classes and a unit',
      (json) => (features(json)[0]!.unit = 'cm'),
      ['runs[0].features[0]: both | either classes or a unit'],
    ],
    [
      'a feature with neither',
      (json) => delete features(json)[1]!.unit,
      ['runs[0].features[1]: neither | either classes or a unit'],
    ],
    [
      'a look of no class',
      (json) => (features(json)[0]!.looks = { try: 'bare' }),
      [
        "runs[0].features[0].looks.try: 'try' | a class of the feature (dry < trickle < covered < padded) | Did you mean 'dry'?",
      ],
    ],
    [
      'a zero-flow stage of a discharge gauge',
      (json) => (gauge(json).zeroFlowStage = 0.2),
      ["gauges[0].zeroFlowStage: parameter 'discharge' | a stage gauge"],
    ],
    [
      'a mean flow in the reach of a stage gauge',
      (json) =>
        Object.assign(gauge(json), {
          parameter: 'stage',
          unit: 'm',
          reach: { lies: 'downstream', lengthKm: 17, meanFlow: 12 },
        }),
      [
        "gauges[0].reach.meanFlow: parameter 'stage' | a discharge gauge: a stage has no mean flow | Leave meanFlow out; lengthKm and slope may stay.",
      ],
    ],
    [
      'a delimited gauge without columns',
      (json) => delete gauge(json).columns,
      ['gauges[0]: none | columns, which say where a delimited table has its time and value'],
    ],
    [
      'time and date at once',
      (json) => (gauge(json).columns = { time: 't', date: 'd', value: 'v' }),
      ['gauges[0].columns: both | either time, or date with or without clock'],
    ],
    [
      'a clock without a date',
      (json) => (gauge(json).columns = { time: 't', clock: 'c', value: 'v' }),
      ['gauges[0].columns: clock alone | a date beside the clock'],
    ],
    [
      'a mapping for a format that needs none',
      (json) => Object.assign(gauge(json), { format: 'rdb', columns: undefined, delimiter: ';' }),
      [
        "gauges[0].delimiter: 'delimiter' | no delimiter: format rdb says it in the file | Leave it out, or set format to 'delimited'.",
      ],
    ],
    [
      'a decimal comma between commas',
      (json) => (gauge(json).decimalMark = ','),
      ["gauges[0].delimiter: none | a delimiter, as a comma is the decimal mark (often ';')"],
    ],
    [
      'a date pattern that is none',
      (json) => (gauge(json).datePattern = 'DD/MM/YYYY'),
      [
        "gauges[0].datePattern: 'DD/MM/YYYY' | 'iso', or yyyy MM dd and, where there is a clock, HH mm ss with separators, such as dd/MM/yyyy HH:mm | Did you mean 'dd/MM/yyyy'?",
      ],
    ],
    [
      'lag bounds the wrong way round',
      (json) => (json.lagHours = { min: 5, max: -5 }),
      ['lagHours: 5 to -5 | min at most max'],
    ],
  ])('%s', (_, change, expected) => {
    expect(problems(change)).toEqual(expected);
  });

  it('a path that leaves the folder has a code of its own', () => {
    const { issues } = parse((json) => (gauge(json).files = ['/etc/passwd']));
    expect(issues).toMatchObject([{ code: 'path-outside', severity: 'fatal', column: 'gauges[0].files[0]' }]);
  });

  it('verdictFrom: names, order, completeness', () => {
    const from = (verdictFrom: unknown) => problems((json) => (run(json).verdictFrom = verdictFrom));
    expect(from({ feature: 'lege', classes: {} })).toEqual([
      "runs[0].verdictFrom.feature: 'lege' | a feature of run upper (ledge, staff) | Did you mean 'ledge'?",
    ]);
    expect(
      from({ feature: 'ledge', classes: { dry: 'low', trickle: 'too low', covered: 'goood', paded: 'high' } }),
    ).toEqual([
      "runs[0].verdictFrom.classes.paded: 'paded' | a class of feature ledge (dry < trickle < covered < padded) | Did you mean 'padded'?",
      "runs[0].verdictFrom.classes.trickle: 'too low' | 'low' or higher, as a lower class of the feature has that already",
      "runs[0].verdictFrom.classes.covered: 'goood' | a class of run upper (too low < low < good < high < too high) | Did you mean 'good'?",
      "runs[0].verdictFrom.classes: none of 'padded' | a translation of every class of feature ledge",
    ]);
    expect(from({ feature: 'staff', classes: { dry: 'low' } })).toEqual([
      'runs[0].verdictFrom: classes | edges, as feature staff is read as a number',
    ]);
    expect(from({ feature: 'staff', edges: [10, 20, 20, 30] })).toEqual([
      'runs[0].verdictFrom.edges: 10, 20, 20, 30 | edges in ascending order',
    ]);
    expect(from({ feature: 'ledge', edges: [1, 2] })).toEqual([
      'runs[0].verdictFrom: edges | classes, as feature ledge has classes',
      'runs[0].verdictFrom.edges: 2 | 4 edges between 5 classes',
    ]);
    expect(from({ feature: 'ledge' })).toEqual(['runs[0].verdictFrom.classes: nothing | an object { }']);
  });

  it('derived gauges: names, kinds, numbers', () => {
    const derive = (...derivedGauges: unknown[]) =>
      problems((json) => {
        json.gauges.push({ ...gauge(json), id: 'level', parameter: 'stage', unit: 'm' });
        json.derivedGauges = derivedGauges;
      });
    expect(derive({ id: 'x', name: 'x', kind: 'sum', of: ['bgi'], travelHours: [0, 1] })).toEqual([
      "derivedGauges[0].of[0]: 'bgi' | the id of a gauge (big, level) | Did you mean 'big'?",
      'derivedGauges[0].of: 1 | at least two gauges',
      "derivedGauges[0].travelHours: 2 | one number for each gauge of 'of' (1)",
    ]);
    expect(
      derive({
        id: 'x',
        name: 'x',
        kind: 'difference',
        of: ['big', 'level'],
        travelHours: [1, 0],
        catchmentAreaKm2: 9,
      }),
    ).toEqual([
      "derivedGauges[0].of[1]: 'level', a stage gauge | a discharge gauge: stages do not add",
      "derivedGauges[0].catchmentAreaKm2: 9 | no area: it has a use for kind 'area-scaled' only",
      'derivedGauges[0].travelHours[0]: 1 | 0, as travel times run to the first gauge',
    ]);
    expect(derive({ id: 'x', name: 'x', kind: 'area-scaled', of: ['big', 'big'] })).toEqual([
      "derivedGauges[0].of[0]: 'big', which has none | a gauge with catchmentAreaKm2",
      "derivedGauges[0].of[1]: 'big', which has none | a gauge with catchmentAreaKm2",
      "derivedGauges[0].of[1]: 'big', as at derivedGauges[0].of[0] | a gauge that no other has (capitals do not tell them apart)",
      'derivedGauges[0].of: 2 | one gauge',
      'derivedGauges[0]: none | catchmentAreaKm2, the area scaled to',
    ]);
  });
});
