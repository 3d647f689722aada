import { readFileSync } from 'node:fs';
import { describe, expect, expectTypeOf, it } from 'vitest';
import type { z } from 'zod';
import { creekJsonSchema } from '../../src/read/creekJsonSchema.js';
import type { creekSchema } from '../../src/read/creekSchema.js';
import { parseCreek } from '../../src/read/parseCreek.js';
import type { Creek } from '../../src/series/creek.js';
import { issueSentence } from '../../src/series/issue.js';
import { creekJson, textFile } from './creekExample.js';

type Json = ReturnType<typeof creekJson>;

function parse(change: (json: Json) => void = () => undefined) {
  const json = creekJson();
  change(json);
  return parseCreek(textFile('creek.json', JSON.stringify(json)));
}

/** Every problem as `place: found | expected | hint`. */
function problems(change: (json: Json) => void): string[] {
  const { creek, issues } = parse(change);
  expect(creek).toBeUndefined();
  for (const issue of issues) expect(issue).toMatchObject({ severity: 'fatal', file: 'creek.json' });
  return issues.map(({ column, found, expected, hint }) =>
    [`${column}: ${found}`, expected, hint].filter((part) => part !== undefined).join(' | '),
  );
}

const gauge = (json: Json) => json.gauges[0]!;
const run = (json: Json) => json.runs[0]!;
const features = (json: Json) => run(json).features as Record<string, unknown>[];

describe('a good creek.json', () => {
  it('comes back as written, frozen to the bottom', () => {
    const { creek, issues } = parse();
    expect(issues).toEqual([]);
    expect(creek).toEqual(creekJson());
    expect(Object.isFrozen(creek) && Object.isFrozen(creek!.runs[0]!.features[0]!.classes)).toBe(true);
  });
  it('has the type that the rest of the program knows', () => {
    expectTypeOf<z.output<typeof creekSchema>>().toEqualTypeOf<Creek>();
  });
  it('may point to its schema and hold comments at any depth', () => {
    const { creek, issues } = parse((json) => {
      json.$schema = '../schema.json';
      json['//'] = 'a remark';
      gauge(json)['// unit'] = { any: 'thing' };
    });
    expect(issues).toEqual([]);
    expect(creek).toEqual(creekJson());
  });
  it('is trimmed where people write words', () => {
    const { creek } = parse((json) => {
      json.name = '  Tamarock Creek ';
      run(json).classes = ['low ', ' good'];
    });
    expect([creek!.name, creek!.runs[0]!.classes]).toEqual(['Tamarock Creek', ['low', 'good']]);
  });
  it('takes both kinds of verdictFrom and all kinds of derived gauges', () => {
    const { issues, creek } = parse((json) => {
      run(json).verdictFrom = {
        feature: 'ledge',
        classes: { dry: 'too low', trickle: 'low', covered: 'low', padded: 'too high' },
      };
      json.runs[1]!.features = [{ id: 'staff', name: 'staff', unit: 'cm' }];
      json.runs[1]!.verdictFrom = { feature: 'staff', edges: [20, 35.5] };
      json.gauges.push({ ...gauge(json), id: 'branch', catchmentAreaKm2: 50, files: ['gauges/branch.csv'] });
      json.derivedGauges = [
        { id: 'tributary', name: 't', kind: 'difference', of: ['big', 'branch'], travelHours: [0, 1.5] },
        { id: 'both', name: 'b', kind: 'sum', of: ['big', 'branch'] },
        { id: 'scaled', name: 's', kind: 'area-scaled', of: ['branch'], catchmentAreaKm2: 20, travelHours: [2] },
      ];
    });
    expect(issues).toEqual([]);
    expect(creek!.derivedGauges!.map((one) => one.kind)).toEqual(['difference', 'sum', 'area-scaled']);
  });
});

describe('problems of shape', () => {
  it('an unknown key is named with the nearest known one', () => {
    expect(
      problems((json) => {
        json.timezone = 'UTC';
        run(json).clases = [];
        gauge(json).delimeter = ';';
      }),
    ).toEqual([
      "runs[0].clases: an unknown key 'clases' | only keys that are known | Did you mean 'classes'?",
      "gauges[0].delimeter: an unknown key 'delimeter' | only keys that are known | Did you mean 'delimiter'?",
      "timezone: an unknown key 'timezone' | only keys that are known | Did you mean 'timeZone'?",
    ]);
    expect(problems((json) => (json.xyzzy = 1))).toEqual([
      "xyzzy: an unknown key 'xyzzy' | only keys that are known | Remove it; a key that begins with // is a comment.",
    ]);
  });
  it('everything at once: shapes, and what needs several places', () => {
    const found = problems((json) => {
      delete json.name;
      json.schema = 2;
      run(json).id = 'up per';
      features(json)[1]!.id = 'ledge';
      gauge(json).unit = 'ft';
      gauge(json).maxGapHours = -1;
      gauge(json).files = ['../x.csv', 'ok.csv'];
      json.runs[1]!.classes = ['good'];
    });
    expect(found).toEqual([
      'schema: 2 | 1',
      'name: nothing | a text in quotes',
      "runs[0].id: 'up per' | letters, digits, . _ - (at most 64, a letter or digit first)",
      "runs[0].features[1].id: 'ledge', as at features[0].id | a feature that no other has (capitals do not tell them apart)",
      'runs[1].classes: a list of 1 | at least two classes, lowest first',
      'gauges[0].maxGapHours: -1 | a number above 0',
      "gauges[0].unit: 'ft' | ft3/s, m3/s or L/s for a discharge",
      "gauges[0].files[0]: '../x.csv', which climbs out with '..' | a path below the creek folder, with / between its parts | Copy the file into the folder and name it from there.",
    ]);
  });
  it('wrong types and words', () => {
    expect(
      problems((json) => {
        gauge(json).format = 'csv';
        gauge(json).files = 'a.csv';
        run(json).features = undefined;
        gauge(json).skipLines = 1.5;
      }),
    ).toEqual([
      'runs[0].features: nothing | a list [ ]',
      "gauges[0].files: 'a.csv' | a list [ ]",
      "gauges[0].format: 'csv' | one of 'rdb', 'waterml2', 'waterml1', 'delimited'",
      'gauges[0].skipLines: 1.5 | a whole number',
    ]);
  });
  it('text that is no JSON is placed by its line', () => {
    const { creek, issues } = parseCreek(textFile('creek.json', '{\n "schema": 1,\n "name": "x",,\n}'));
    expect(creek).toBeUndefined();
    expect(issues).toHaveLength(1);
    expect(issues[0]).toMatchObject({ code: 'creek-invalid', severity: 'fatal', row: 3, expected: 'JSON' });
    expect(issues[0]!.hint).toBe(
      'Often a comma too many or too few on this line or the one before; JSON has no comments, but a key may begin with //.',
    );
  });
  it('an empty file, a list, a number', () => {
    expect(parseCreek(textFile('creek.json', ' \n')).issues[0]).toMatchObject({
      found: 'an empty file',
      expected: 'JSON',
    });
    expect(parseCreek(textFile('creek.json', '[]')).issues).toMatchObject([
      { column: '(top)', found: 'a list of 0', expected: 'an object { }' },
    ]);
    expect(parseCreek(textFile('creek.json', '7')).issues).toMatchObject([
      { column: '(top)', found: '7', expected: 'an object { }' },
    ]);
  });
  it('keys that pollute prototypes are unknown keys and nothing more', () => {
    const text = JSON.stringify(creekJson()).replace(
      '{"schema"',
      '{"__proto__":{"polluted":1},"constructor":1,"schema"',
    );
    const { issues } = parseCreek(textFile('creek.json', text));
    expect(issues.map((issue) => issue.column)).toEqual(['__proto__', 'constructor']);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
  it('a problem reads as one sentence', () => {
    const { issues } = parse((json) => (gauge(json).unit = 'ft'));
    expect(issues.map(issueSentence)).toEqual([
      "creek.json, column gauges[0].unit: found 'ft', expected ft3/s, m3/s or L/s for a discharge.",
    ]);
  });
});

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
        "gauges[0].datePattern: 'DD/MM/YYYY' | 'iso', or yyyy MM dd and, where there is a clock, HH mm ss with separators, such as dd/MM/yyyy HH:mm",
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

describe('schema/creek.schema.json', () => {
  const text = readFileSync(new URL('../../schema/creek.schema.json', import.meta.url), 'utf8');
  it('is what the reader checks (else: npx tsx tools/makeSchema.ts)', () => {
    expect(text === creekJsonSchema()).toBe(true);
  });
  it('describes every field, allows comments and no other key', () => {
    const bare: string[] = [];
    const walk = (node: unknown, path: string) => {
      if (typeof node !== 'object' || node === null) return;
      const { type, properties, patternProperties, additionalProperties } = node as Record<string, unknown>;
      if (type === 'object' && properties !== undefined) {
        expect(additionalProperties, path).toBe(false);
        expect(patternProperties, path).toEqual({ '^//': {} });
        for (const [key, value] of Object.entries(properties as object))
          if (typeof (value as Record<string, unknown>).description !== 'string') bare.push(`${path}.${key}`);
      }
      for (const [key, value] of Object.entries(node)) walk(value, `${path}/${key}`);
    };
    walk(JSON.parse(text), '');
    expect(bare.filter((path) => !path.includes('/propertyNames'))).toEqual([]);
  });
});
