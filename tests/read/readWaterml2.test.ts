import { describe, expect, it } from 'vitest';
import { readWaterml2 } from '../../src/read/readWaterml2.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { base, table, utc } from './gaugeExample.js';

describe('readWaterml2', () => {
  const gauge: Gauge = { ...base, format: 'waterml2', unit: 'm3/s' };
  const read = (text: string, zone = 'Europe/London') => readWaterml2(textFile('f.xml', text), gauge, zone);
  const tvp = (inner: string) => `<w:point><w:MeasurementTVP>${inner}</w:MeasurementTVP></w:point>\n`;
  const quality = (code: string) =>
    `<w:metadata><w:TVPMeasurementMetadata><w:qualifier><s:Category><s:value>${code}</s:value></s:Category></w:qualifier></w:TVPMeasurementMetadata></w:metadata>`;
  const observation = (points: string, more = '') =>
    `<w:observationMember><o:OM_Observation>${more}<o:observedProperty x:href="http://x/property/flow"/><o:featureOfInterest><w:MonitoringPoint><g:identifier>st-7</g:identifier></w:MonitoringPoint></o:featureOfInterest>` +
    `<o:result><w:MeasurementTimeseries><w:defaultPointMetadata><w:DefaultTVPMeasurementMetadata><w:quality x:href="http://x/quality/good"/><w:uom code="m3/s"/></w:DefaultTVPMeasurementMetadata></w:defaultPointMetadata>${points}</w:MeasurementTimeseries></o:result></o:OM_Observation></w:observationMember>`;
  const collection = (...observations: string[]) =>
    `<?xml version="1.0"?><w:Collection>${observations.join('')}</w:Collection>`;

  it('reads plain and odd points alike, with their own code or the default', () => {
    const { series, issues } = read(
      collection(
        observation(
          tvp('<w:time>2024-07-01T10:00:00Z</w:time><w:value>1.5</w:value>') +
            tvp(`<w:time>2024-07-01T11:00:00</w:time><w:value>2</w:value>${quality('P')}`) +
            tvp(`<w:time>2024-07-01T12:00:00</w:time><w:value>3</w:value>${quality('P')}`) +
            tvp('<w:time>2024-07-01</w:time><w:value>3</w:value>') +
            tvp(`${quality('E')}<w:value>4</w:value><w:time>2024-07-01T12:00:00Z</w:time>`) +
            tvp('<w:time>2024-07-01T13:00:00Z</w:time><w:value xsi:nil="true" nilReason="ice"/>') +
            tvp('<w:time>2024-07-01T14:00:00Z</w:time><w:value/>') +
            tvp(quality('')) +
            tvp('<w:time>2024-07-01T15:00:00Z</w:time><w:value>five</w:value>') +
            tvp('<w:value>6</w:value>'),
        ),
      ),
    );
    expect(series[0]).toMatchObject({
      key: 'st-7 flow',
      site: 'st-7',
      parameterCode: 'flow',
      unitText: 'm3/s',
      tellsApproval: false,
    });
    expect(table(series[0])).toEqual([
      ['2024-07-01T10:00', 1.5, 'good', 0],
      ['2024-07-01T10:00', 2, 'P good', 0],
      ['2024-07-01T11:00', 3, 'P good', 0],
      ['2024-07-01T12:00', 4, 'E good', 0],
      ['2024-07-01T13:00', NaN, 'good ice', 0],
      ['2024-07-01T14:00', NaN, 'good', 0],
      ['2024-07-01T15:00', NaN, 'good', 0],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[6, 'five']]));
    expect(issues).toMatchObject([
      { code: 'time-unreadable', found: 'a reading without a time', severity: 'warning' },
      { code: 'time-unreadable', found: 'a date without a time of day among times', severity: 'warning' },
    ]);
  });

  it('several observations keep their own points', () => {
    const point = (value: number) => tvp(`<w:time>2024-01-01T0${value}:00Z</w:time><w:value>${value}</w:value>`);
    const { series } = read(collection(observation(point(1) + point(2)), observation(''), observation(point(3))));
    expect(series.map((one) => Array.from(one.values))).toEqual([[1, 2], [], [3]]);
  });

  it('daily statistics stand at local noon', () => {
    const statistic =
      '<o:procedure><w:ObservationProcess><w:parameter x:title="Statistic"><o:NamedValue><o:value>00003</o:value></o:NamedValue></w:parameter></w:ObservationProcess></o:procedure>';
    const { series } = read(
      collection(observation(tvp('<w:time>2024-07-01T00:00:00</w:time><w:value>1</w:value>'), statistic)),
    );
    expect(series[0]).toMatchObject({ key: 'st-7 flow 00003', statisticCode: '00003' });
    expect(utc(series[0]!.timesMs[0]!)).toBe('2024-07-01T11:00');
  });

  it.each([
    ['another XML', '<a/>', 'XML with the root a and no observation with a measurement time series'],
    ['a document type', '<!DOCTYPE a><a/>', 'XML with a document type declaration'],
  ])('refuses %s', (_, text, found) => {
    expect(read(text).issues).toMatchObject([{ code: 'wrong-format', severity: 'fatal', found }]);
  });
  it('refuses a cut-off download', () => {
    const whole = collection(observation(tvp('<w:time>2024-01-01T00:00Z</w:time><w:value>1</w:value>')));
    for (const cut of [20, 80, 150, 190])
      expect(read(whole.slice(0, -cut)).issues[0]!.found, `${cut}`).toMatch(/^XML that breaks off/);
  });
});
