import { readFileSync } from 'node:fs';
import { describe, expect, expectTypeOf, it } from 'vitest';
import type { z } from 'zod';
import { creekJsonSchema } from '../../src/read/creekJsonSchema.js';
import type { creekSchema } from '../../src/read/creekSchema.js';
import { parseCreek } from '../../src/read/parseCreek.js';
import type { Creek } from '../../src/series/creek.js';
import { issueSentence } from '../../src/series/issue.js';
import { creekJson, textFile } from './creekExample.js';
import { features, gauge, parse, problems, run } from './parseChanged.js';

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
  it('knows how a gauge lies along the water: a side and a length, with slope and mean flow where known', () => {
    const reaches = [
      { lies: 'upstream', lengthKm: 0.4 },
      { lies: 'downstream', lengthKm: 17, slope: 0.004, meanFlow: 310 },
    ];
    for (const reach of reaches) {
      const { creek, issues } = parse((json) => (gauge(json).reach = reach));
      expect(issues).toEqual([]);
      expect(creek!.gauges[0]!.reach).toEqual(reach);
      expect(Object.isFrozen(creek!.gauges[0]!.reach)).toBe(true);
    }
  });
});

describe('problems of shape', () => {
  it('a reach without its side or length, of no length, or of a logger', () => {
    const found = (reach: unknown) => problems((json) => (gauge(json).reach = reach));
    expect(found({})).toEqual([
      "gauges[0].reach.lies: nothing | one of 'upstream', 'downstream'",
      'gauges[0].reach.lengthKm: nothing | a number',
    ]);
    expect(found({ lies: 'downstream', lengthKm: 0, slope: 4, meanFlow: -1 })).toEqual([
      'gauges[0].reach.lengthKm: 0 | a number above 0',
      'gauges[0].reach.slope: 4 | at most 1',
      'gauges[0].reach.meanFlow: -1 | a number above 0',
    ]);
    expect(
      problems(
        (json) =>
          (json.loggers = [
            {
              ...gauge(json),
              id: 'l',
              parameter: 'stage',
              unit: 'm',
              run: 'upper',
              reach: { lies: 'upstream', lengthKm: 1 },
            },
          ]),
      ),
    ).toEqual([
      "loggers[0].reach: an unknown key 'reach' | only keys that are known | Remove it; a key that begins with // is a comment.",
    ]);
    expect(found({ lies: 'below', lengthKm: 3 })).toEqual([
      "gauges[0].reach.lies: 'below' | one of 'upstream', 'downstream'",
    ]);
  });
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
