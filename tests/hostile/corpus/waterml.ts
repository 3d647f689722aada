import { family, type HostileCase } from './types.js';

const value = (attributes: string, text: string) => `<value ${attributes}>${text}</value>`;
const at = (hour: number) => `dateTime="2031-01-01T0${hour}:00:00Z"`;
const xml1 = (values: string, unit = 'ft3/s') =>
  `<timeSeriesResponse><timeSeries name="N"><variable><unit><unitCode>${unit}</unitCode></unit><noDataValue>-9999</noDataValue></variable><values>${values}</values></timeSeries></timeSeriesResponse>`;
const attributes = (count: number): string => Array.from({ length: count }, (_, i) => `a${i}="1"`).join(' ');
const FIRST1 = value(at(0), '1');
const LAST1 = value(at(2), '3');

const point = (inner: string) => `<point><MeasurementTVP>${inner}</MeasurementTVP></point>`;
const timed = (hour: number, text: string, more = '') =>
  point(`<time>2031-01-01T0${hour}:00:00Z</time><value>${text}</value>${more}`);
const metadata = (inner: string) => `<metadata><TVPMeasurementMetadata>${inner}</TVPMeasurementMetadata></metadata>`;
const xml2 = (points: string, { unit = 'm3/s', before = '', more = '' } = {}) =>
  `<Collection>${more}<OM_Observation><MeasurementTimeseries>${before}<defaultPointMetadata><DefaultTVPMeasurementMetadata><uom code="${unit}"/></DefaultTVPMeasurementMetadata></defaultPointMetadata>${points}</MeasurementTimeseries></OM_Observation></Collection>`;
const FIRST2 = timed(0, '1');
const LAST2 = timed(2, '3');

type Args = [name: string, input: string, used: number, ...issues: string[]];
const one =
  (read: string, kind: string) =>
  (...[name, input, used, ...issues]: Args): HostileCase => ({ name: `${kind}: ${name}`, read, input, used, issues });
const in1 = one('waterml1', 'WaterML 1');
const in2 = one('waterml2', 'WaterML 2');

/** Texts that break XML off or make it no XML. */
const NO_XML = [
  '<timeSeriesResponse>',
  '<timeSeriesResponse><timeSeries></timeSeriesResponse>',
  '<a b></a>',
  '<a b="1" b="2"/>',
  '<a b="1></a>',
  '<!-- ',
  '<![CDATA[',
  '<?xml',
  '<a><!-- -- ></a>',
  '</a>',
  '<a/><b/>',
  '<a>&</b>',
  '<1a/>',
  '<a',
  '<',
  '< a/>',
];

export const WATERML: readonly HostileCase[] = [
  ...family('WaterML 1: no XML', NO_XML, (input) => ({
    read: 'waterml1',
    input,
    used: 0,
    issues: ['fatal wrong-format'],
  })),
  ...family('WaterML 2: no XML', NO_XML, (input) => ({
    read: 'waterml2',
    input,
    used: 0,
    issues: ['fatal wrong-format'],
  })),
  ...family(
    'WaterML 1: no number',
    ['x', '1.2.3', '1e999', '&#49;', '&x;', '1 2', '<b>2</b>', '<![CDATA[x]]>'],
    (text) => ({
      read: 'waterml1',
      input: xml1(FIRST1 + value(at(1), text) + LAST1),
      used: 2,
      issues: [text.startsWith('<b>') ? 'warning value-missing' : 'warning value-unreadable'],
    }),
  ),
  ...family(
    'WaterML 1: no time',
    ['', 'soon', '2031-02-30T00:00:00Z', '2031-01-01', '9999-01-01T00:00:00Z'],
    (text) => ({
      read: 'waterml1',
      input: xml1(FIRST1 + value(`dateTime="${text}"`, '2') + LAST1),
      used: 2,
      issues: ['warning time-unreadable'],
    }),
  ),
  in1('a number in CDATA', xml1(`${FIRST1}${value(at(1), '<![CDATA[2]]>')}`), 2),
  in1('attributes in single quotes', xml1(FIRST1.replaceAll('"', "'")), 1),
  in1('the value that stands for none', xml1(FIRST1 + value(at(1), '-9999.0')), 1, 'warning value-missing'),
  in1('a bound', xml1(FIRST1 + value(`${at(1)} censorCode="lt"`, '2')), 1, 'warning value-refused'),
  in1('ice', xml1(FIRST1 + value(`${at(1)} qualifiers="P Ice"`, '2')), 1, 'warning value-refused'),
  in1('a value without a time', xml1(`${FIRST1}<value>2</value>`), 1, 'warning time-unreadable'),
  in1('another unit', xml1(FIRST1, 'm3/s'), 0, 'fatal unit-mismatch'),
  in1('no unit of ours', xml1(FIRST1, 'deg C'), 0, 'fatal unit-mismatch'),
  in1('a remark with a value in it', xml1(`${FIRST1}<!-- ${LAST1} -->`), 1),
  in1('a remark that is not closed', xml1(`${FIRST1}<!-- ${LAST1}`), 0, 'fatal wrong-format'),
  in1('a document type', `<!DOCTYPE a [<!ENTITY b "c">]>${xml1(FIRST1)}`, 0, 'fatal wrong-format'),
  in1(
    'a bomb of entities',
    `<!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>${xml1(value(at(0), '&b;'))}`,
    0,
    'fatal wrong-format',
  ),
  in1(
    'an entity that names a file',
    `<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/hosts">]>${xml1(value(at(0), '&b;'))}`,
    0,
    'fatal wrong-format',
  ),
  in1('a doctype in small letters', `<!doctype html>${xml1(FIRST1)}`, 0, 'fatal wrong-format'),
  in1(
    '65 elements inside each other',
    xml1(`${FIRST1}${'<a>'.repeat(65)}${'</a>'.repeat(65)}`),
    0,
    'fatal limit-exceeded',
  ),
  in1('200 attributes', xml1(`${FIRST1}<a ${attributes(200)}/>`), 1),
  in1('201 attributes', xml1(`${FIRST1}<a ${attributes(201)}/>`), 0, 'fatal limit-exceeded'),
  in1('100,001 elements', xml1(`${FIRST1}${'<a/>'.repeat(100_001)}`), 0, 'fatal limit-exceeded'),
  in1(
    '1,001 series',
    `<timeSeriesResponse><timeSeries name="N">${`<values>${FIRST1}</values>`.repeat(1001)}</timeSeries></timeSeriesResponse>`,
    0,
    'fatal limit-exceeded',
  ),
  in1('a list of sites', '<sitesResponse><site/></sitesResponse>', 0, 'fatal not-a-time-series'),
  in1('a list of variables', '<variablesResponse/>', 0, 'fatal not-a-time-series'),
  in1('a description of the service', '<Capabilities/>', 0, 'fatal not-a-time-series'),
  in1('an error report', '<ExceptionReport><Exception/></ExceptionReport>', 0, 'fatal wrong-format'),
  in1('a web page', '<html><body>busy</body></html>', 0, 'fatal wrong-format'),
  in1('WaterML 2', xml2(FIRST2), 0, 'fatal wrong-format'),
  in1('nothing at all', '', 0, 'fatal wrong-format'),
  in1(
    'an element named like a property of objects',
    xml1(`${FIRST1}<constructor/><toString/><hasOwnProperty/>`),
    0,
    'fatal wrong-format',
  ),
  in1(
    'an element named __proto__',
    xml1(`${FIRST1}<__proto__><polluted>1</polluted></__proto__>`),
    0,
    'fatal wrong-format',
  ),
  in1(
    'a prefix that changes',
    xml1('<a:value dateTime="2031-01-01T00:00:00Z">1</a:value><b:value dateTime="2031-01-01T01:00:00Z">2</b:value>'),
    2,
  ),

  ...family('WaterML 2: no number', ['x', '1.2.3', '1e999', '&#49;', '1 2', 'INF', 'NaN'], (text) => ({
    read: 'waterml2',
    input: xml2(FIRST2 + timed(1, text) + LAST2),
    used: 2,
    issues: ['warning value-unreadable'],
  })),
  in2('a point without a value', xml2(FIRST2 + point('<time>2031-01-01T01:00:00Z</time>')), 1, 'warning value-missing'),
  in2('a point without a time', xml2(FIRST2 + point('<value>2</value>')), 1, 'warning time-unreadable'),
  in2('a point without anything', xml2(FIRST2 + point('') + '<point/>'), 1),
  in2('a point of its own kind', xml2(`${FIRST2}<point>2031-01-01T01:00:00Z 2</point>`), 1, 'warning time-unreadable'),
  in2(
    'a nil value with its reason',
    xml2(FIRST2 + point('<time>2031-01-01T01:00:00Z</time><value nil="true" nilReason="missing"/>')),
    1,
    'warning value-missing',
  ),
  in2(
    'quality: missing, with a number',
    xml2(FIRST2 + timed(1, '2', metadata('<quality href="http://x/quality/missing"/>'))),
    1,
    'warning value-refused',
  ),
  in2('quality: suspect', xml2(FIRST2 + timed(1, '2', metadata('<quality href="http://x/quality/suspect"/>'))), 2),
  in2(
    'a bound',
    xml2(FIRST2 + timed(1, '2', metadata('<censoredReason href="http://x/nil/AboveDetectionRange"/>'))),
    1,
    'warning value-refused',
  ),
  in2(
    'a point in another unit',
    xml2(FIRST2 + timed(1, '2', metadata('<uom code="ft3/s"/>'))),
    0,
    'fatal unit-mismatch',
  ),
  in2('a point in the same unit, spelt otherwise', xml2(FIRST2 + timed(1, '2', metadata('<uom code="m³/s"/>'))), 2),
  in2('another unit', xml2(FIRST2, { unit: 'L/s' }), 0, 'fatal unit-mismatch'),
  in2(
    'base time and spacing',
    xml2(point('<value>1</value>') + point('<value>2</value>'), { before: series('2031-01-01T00:00:00Z', 'PT15M') }),
    2,
  ),
  in2(
    'base time and spacing, one value missing',
    xml2(point('<value>1</value>') + point('') + point('<value>2</value>'), {
      before: series('2031-01-01T00:00:00Z', 'PT15M'),
    }),
    2,
    'warning value-missing',
  ),
  in2(
    'spacing in months',
    xml2(point('<value>1</value>'), { before: series('2031-01-01T00:00:00Z', 'P1M') }),
    0,
    'fatal not-a-time-series',
    'note time-unreadable',
    'warning time-unreadable',
  ),
  in2(
    'spacing of nothing',
    xml2(point('<value>1</value>'), { before: series('2031-01-01T00:00:00Z', 'PT0S') }),
    0,
    'fatal not-a-time-series',
    'note time-unreadable',
    'warning time-unreadable',
  ),
  in2(
    'a base time without an offset',
    xml2(point('<value>1</value>'), { before: series('2031-01-01T00:00:00', 'PT15M') }),
    0,
    'fatal not-a-time-series',
    'warning time-unreadable',
  ),
  in2(
    'a base time at the end of time',
    xml2(point('<value>1</value>') + point('<value>2</value>'), { before: series('2199-12-31T23:59:00Z', 'P9999D') }),
    1,
    'warning time-unreadable',
  ),
  in2(
    'a base date and days',
    xml2(point('<value>1</value>') + point('<value>2</value>'), { before: series('2031-03-08', 'P1D') }),
    2,
  ),
  in2(
    'a categorical series',
    '<Collection><OM_Observation><CategoricalTimeseries/></OM_Observation></Collection>',
    0,
    'fatal not-a-time-series',
  ),
  in2(
    'a rating table',
    '<Collection><ConversionMember><RatingTable/></ConversionMember></Collection>',
    0,
    'fatal not-a-time-series',
  ),
  in2('gaugings', '<Collection><GaugingObservation/></Collection>', 0, 'fatal not-a-time-series'),
  in2('a list of places', '<FeatureCollection/>', 0, 'fatal not-a-time-series'),
  in2(
    'two series',
    xml2(FIRST2).replace('</Collection>', xml2(LAST2).replace('<Collection>', '')),
    0,
    'fatal series-ambiguous',
  ),
  in2('a document type', `<!DOCTYPE a>${xml2(FIRST2)}`, 0, 'fatal wrong-format'),
  in2(
    'a date among times',
    xml2(FIRST2 + LAST2 + point('<time>2031-01-02</time><value>2</value>')),
    2,
    'warning time-unreadable',
  ),
  in2(
    'a remark on the datum',
    xml2(FIRST2, {
      before:
        '<metadata><MeasurementTimeseriesMetadata><comment>Datum lowered on 2031-01-01</comment></MeasurementTimeseriesMetadata></metadata>',
    }),
    1,
    'note datum-change',
  ),
  in2(
    '65 elements inside each other',
    xml2(FIRST2, { more: `${'<a>'.repeat(65)}${'</a>'.repeat(65)}` }),
    0,
    'fatal limit-exceeded',
  ),
];

function series(baseTime: string, spacing: string): string {
  return `<metadata><MeasurementTimeseriesMetadata><baseTime>${baseTime}</baseTime><spacing>${spacing}</spacing></MeasurementTimeseriesMetadata></metadata>`;
}
