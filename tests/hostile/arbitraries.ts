import fc from 'fast-check';

/** Pieces that readers have a rule for, or might trip over. */
const TOKENS: readonly string[] = [
  ',',
  ';',
  '\t',
  '\n',
  '\r',
  '\r\n',
  '"',
  '""',
  "'",
  '#',
  '# datum of gage changed 2031-01-01\n',
  '=',
  ' ',
  '\u00a0',
  '\u0000',
  '\ufeff',
  '\u2028',
  '\u202e',
  '\ud800',
  '\udfff',
  'é',
  '漢',
  '🌊',
  '½',
  '٣',
  '-',
  '+',
  '.',
  'e',
  'E9',
  '1e308',
  '1e309',
  '9'.repeat(40),
  '-999999',
  '0',
  '-0',
  'NaN',
  'Infinity',
  '0x1f',
  '2031-01-01',
  '2031-01-01T00:00Z',
  '2031-11-02 01:30',
  '2031-03-30T01:30',
  '2031-10-26T01:30',
  '1800-01-01',
  '2199-12-31T23:59Z',
  '0000-00-00',
  '9999-12-31',
  '+275760-09-13',
  '31.12.2031',
  '24:00',
  '23:59:60',
  'Z',
  '+14:00',
  '-15:59',
  'EST',
  'UTC',
  'A',
  'P',
  'A:e',
  'Ice',
  'G',
  'X',
  '---',
  'Ende',
  'time,value,q\n',
  'Tag;Uhr;Wert (m³/s);Art\n',
  'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd\n',
  '5s\t15s\t20d\t6s\t14n\t10s\n',
  'agency_cd\t',
  'XX\t01\t2031-01-01 00:00\tEST\t1\tA\n',
  'XX\t02\t2031-01-01\t\t1\tA\n',
  'visit,when,give_or_take_min,run,feature,saw,observer,note\n',
  'v1,2031-05-03T10:30,,upper,verdict,good,Ana,\n',
  'upper',
  'verdict',
  'good',
  '<',
  '>',
  '/>',
  '</',
  '<!--',
  '-->',
  '<![CDATA[',
  ']]>',
  '<!DOCTYPE x [<!ENTITY a "b">]>',
  '&amp;',
  '&a;',
  '&#0;',
  '<?xml version="1.0" encoding="latin1"?>',
  '<w:point>',
  '</w:point>',
  '<w:point/>',
  '<w:MeasurementTVP>',
  '<w:value>1</w:value>',
  '<w:time>2031-01-01T00:00Z</w:time>',
  '<w:MeasurementTimeseries>',
  '<w:timeSeriesResponse>',
  '<w:values>',
  '</w:values>',
  '<value dateTime="2031-01-01T00:00Z">1</value>',
  '<spacing>P1M</spacing>',
  '{',
  '}',
  '[',
  ']',
  ':',
  'null',
  'true',
  '"value":',
  '"timeSeries":',
  '"__proto__":',
  '"constructor":',
  '\\u0000',
  '\\',
];

const token = fc.oneof(fc.constantFrom(...TOKENS), fc.string({ maxLength: 6, unit: 'binary' }));

/** Any bytes at all, short ones most of the time. */
export const anyBytes = fc.uint8Array({ maxLength: 300 });

/** Words that mean something, in no order. */
export const tokenSoup = fc.array(token, { maxLength: 40 }).map((tokens) => tokens.join(''));

type Mutation = (text: string) => string;

const place = fc.nat({ max: 1_000_000 });
const at = (text: string, n: number) => (text.length === 0 ? 0 : n % (text.length + 1));

const mutation: fc.Arbitrary<Mutation> = fc.oneof(
  place.map(
    (n): Mutation =>
      (text) =>
        text.slice(0, at(text, n)),
  ),
  place.map(
    (n): Mutation =>
      (text) =>
        text.slice(at(text, n)),
  ),
  fc.tuple(place, fc.nat({ max: 60 })).map(
    ([n, length]): Mutation =>
      (text) =>
        text.slice(0, at(text, n)) + text.slice(at(text, n) + length),
  ),
  fc.tuple(place, fc.nat({ max: 120 }), fc.integer({ min: 1, max: 5 })).map(
    ([n, length, times]): Mutation =>
      (text) =>
        text.slice(0, at(text, n)) +
        text.slice(at(text, n), at(text, n) + length).repeat(times) +
        text.slice(at(text, n)),
  ),
  fc.tuple(place, token).map(
    ([n, piece]): Mutation =>
      (text) =>
        text.slice(0, at(text, n)) + piece + text.slice(at(text, n)),
  ),
  fc.tuple(place, token).map(
    ([n, piece]): Mutation =>
      (text) =>
        text.slice(0, at(text, n)) + piece + text.slice(at(text, n) + piece.length),
  ),
  fc.tuple(fc.nat({ max: 8 }), fc.nat({ max: 8 }), fc.constantFrom('\t', ',', ';')).map(
    ([a, b, mark]): Mutation =>
      (text) =>
        text
          .split('\n')
          .map((line) => {
            const cells = line.split(mark);
            if (a < cells.length && b < cells.length) [cells[a], cells[b]] = [cells[b]!, cells[a]!];
            return cells.join(mark);
          })
          .join('\n'),
  ),
  fc.tuple(place, place).map(([a, b]): Mutation => (text) => {
    const lines = text.split('\n');
    const [i, j] = [a % lines.length, b % lines.length];
    [lines[i], lines[j]] = [lines[j]!, lines[i]!];
    return lines.join('\n');
  }),
  fc.constantFrom<Mutation>(
    (text) => text.replace('"', ''),
    (text) => text.replaceAll('"', "'"),
    (text) => text.replaceAll('\n', '\r'),
    (text) => text.replace('\n', '\r'),
    (text) => text.replaceAll('\n', '\r\n'),
    (text) => `\ufeff${text}`,
    (text) => text.replaceAll(',', ';'),
    (text) => text.replaceAll('\t', '    '),
    (text) => text.replaceAll(/\d/g, '9'),
    (text) => text + text,
    (text) => text.toUpperCase(),
  ),
);

/** A valid file after one to six mishaps. */
export function mutated(valid: string): fc.Arbitrary<string> {
  return fc
    .array(mutation, { minLength: 1, maxLength: 6 })
    .map((steps) => steps.reduce((text, step) => (text.length > 20_000 ? text : step(text)), valid));
}

/** The bytes of a text with some of them turned into others: broken UTF-8, NULs, odd cuts. */
export function damaged(text: fc.Arbitrary<string>): fc.Arbitrary<Uint8Array> {
  const blow = fc.tuple(place, fc.constantFrom(0, 0x0d, 0x22, 0x80, 0xc3, 0xed, 0xf4, 0xff, 0x1b));
  return fc.tuple(text, fc.array(blow, { maxLength: 3 })).map(([whole, blows]) => {
    const bytes = new TextEncoder().encode(whole);
    for (const [n, byte] of blows) if (bytes.length > 0) bytes[n % bytes.length] = byte;
    return bytes;
  });
}

/** A cell as a log or a download might hold it: anything but a line break, a tab and a quote. */
export const cell = fc.oneof(
  {
    weight: 3,
    arbitrary: fc.constantFrom('1', '2.5', '-3', '', 'x', '1e5', 'Ice', '-999999', '0', '12,5', '9'.repeat(30)),
  },
  { weight: 1, arbitrary: fc.string({ maxLength: 6 }).map((text) => text.replace(/[\s"#,;<>&]/g, '')) },
);

/** A time as a file might write it: most of them readable. */
export const time = fc.oneof(
  {
    weight: 5,
    arbitrary: fc
      .integer({ min: 0, max: 400 })
      .map((n) => `${new Date(Date.UTC(2031, 9, 20, n)).toISOString().slice(0, 16)}Z`),
  },
  {
    weight: 2,
    arbitrary: fc
      .integer({ min: 0, max: 60 })
      .map((n) => new Date(Date.UTC(2031, 10, 2, 0, 10 * n)).toISOString().slice(0, 16)),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom('', 'soon', '2031-10-26', '2031-02-30T10:00', '1066-10-14T09:00Z', '2031-03-09T02:30'),
  },
);
