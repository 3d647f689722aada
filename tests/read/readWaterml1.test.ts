import { describe, expect, it } from 'vitest';
import { readWaterml1 } from '../../src/read/readWaterml1.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { base, sentences, table, utc } from './gaugeExample.js';

describe('readWaterml1', () => {
  const gauge: Gauge = { ...base, format: 'waterml1' };
  const read = (text: string, zone = 'America/New_York') => readWaterml1(textFile('f.xml', text), gauge, zone);
  const xml = (values: string, { statistic = '00000', head = '' } = {}) =>
    `<?xml version="1.0"?>${head}<w:timeSeriesResponse xmlns:w="x"><w:timeSeries name="N"><w:sourceInfo><w:siteCode network="n" agencyCode="USGS">01</w:siteCode></w:sourceInfo>` +
    `<w:variable><w:variableCode>00060</w:variableCode><w:unit><w:unitCode>ft3/s</w:unitCode></w:unit><w:options><w:option name="Statistic" optionCode="${statistic}"/></w:options>` +
    `<w:noDataValue>-999999.0</w:noDataValue></w:variable>${values}</w:timeSeries></w:timeSeriesResponse>`;

  it('reads plain and odd ways to write a value alike', () => {
    const { series, issues } = read(
      xml(
        `<w:values>
          <w:value qualifiers="P" dateTime="2024-01-01T00:00:00.000-05:00">1</w:value>
          <w:value dateTime='2024-01-01T01:00:00.000-05:00' qualifiers='P Ice'>-999999</w:value><!-- a > remark <w:value>9</w:value> -->
          <w:value qualifiers="A" dateTime="2024-01-01T02:00:00" timeOffset="-05:00"> 2.5 </w:value>
          <w:value qualifiers="A" note="1 > 0" dateTime="2024-01-01T03:00:00-05:00"><![CDATA[3]]></w:value>
          <w:value qualifiers="A" dateTime="2024-01-01T04:00:00-05:00"/>
          <w:value censorCode="lt" dateTime="2024-01-01T05:00:00-05:00">4</w:value>
          <w:value censorCode="nc" dateTime="2024-01-01T06:00:00-05:00">about 5</w:value>
          <w:qualifier/><w:method methodID="1"/></w:values>`,
      ),
    );
    expect(issues).toEqual([]);
    expect(series[0]).toMatchObject({
      key: 'N [0]',
      site: '01',
      parameterCode: '00060',
      statisticCode: '00000',
      unitText: 'ft3/s',
      tellsApproval: true,
    });
    expect(table(series[0])).toEqual([
      ['2024-01-01T05:00', 1, 'P', 0],
      ['2024-01-01T06:00', NaN, 'P Ice', 0],
      ['2024-01-01T07:00', 2.5, 'A', 0],
      ['2024-01-01T08:00', 3, 'A', 0],
      ['2024-01-01T09:00', NaN, 'A', 0],
      ['2024-01-01T10:00', 4, '<', 0],
      ['2024-01-01T11:00', NaN, '', 0],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[6, 'about 5']]));
  });

  it('each values element is a series; daily statistics stand at noon', () => {
    const day = (value: number) =>
      `<w:values><w:value dateTime="2024-07-01T00:00:00.000">${value}</w:value></w:values>`;
    const { series } = read(xml(day(1) + day(2), { statistic: '00003' }));
    expect(series.map((one) => [one.key, utc(one.timesMs[0]!), one.values[0]])).toEqual([
      ['N [0]', '2024-07-01T16:00', 1],
      ['N [1]', '2024-07-01T16:00', 2],
    ]);
    expect(utc(read(xml(day(1))).series[0]!.timesMs[0]!)).toBe('2024-07-01T04:00');
  });

  it('lists readings without a readable time', () => {
    const result = read(
      xml(
        '<w:values><w:value>1</w:value><w:value dateTime="soon">2</w:value><w:value dateTime="2024-01-01T00:00Z">3</w:value></w:values>',
      ),
    );
    expect(sentences(result)).toEqual([
      'warning f.xml: found a reading without a time, expected a time such as 2024-04-28T14:30:00-07:00.',
      "warning f.xml: found 'soon', expected a time such as 2024-04-28T14:30:00-07:00.",
    ]);
    expect(result.series[0]!.timesMs.length).toBe(1);
  });

  it.each([
    ['a web page', '<html><body>busy</body></html>', 'a web page'],
    ['a cut-off download', xml('<w:values><w:value dateTime="2024-01-01T00:00Z">1</w:value>').slice(0, -60), undefined],
    [
      'a cut-off reading',
      xml('<w:values><w:value dateTime="2024-01-01T00:00Z">1</w:value><w:value dateTime="2024').slice(0, -60),
      undefined,
    ],
    [
      'a document type',
      xml('<w:values/>', { head: '<!DOCTYPE a [<!ENTITY b "c">]>' }),
      'XML with a document type declaration',
    ],
    ['no series', '<timeSeriesResponse></timeSeriesResponse>', 'a timeSeriesResponse without a timeSeries'],
    ['cut-off JSON', '{"value":', 'JSON that breaks off or is not well-formed'],
    ['other JSON', '{"a":1}', 'JSON without value.timeSeries'],
    [
      'JSON without a series',
      '{"value":{"timeSeries":[]}}',
      'a response without a series (nothing was found for the site and dates asked)',
    ],
  ])('refuses %s', (_, text, found) => {
    const result = read(text);
    expect(result.series).toEqual([]);
    expect(result.issues).toMatchObject([{ code: 'wrong-format', severity: 'fatal' }]);
    if (found === undefined) expect(result.issues[0]!.found).toMatch(/^XML that breaks off or is not well-formed/);
    else expect(result.issues[0]!.found).toBe(found);
  });

  it('reads the JSON form, also with parts missing', () => {
    const json = JSON.stringify({
      value: {
        timeSeries: [
          {
            name: 'N',
            variable: { variableCode: [{ value: '00065' }], unit: { unitCode: 'ft' }, noDataValue: -999999 },
            values: [
              {
                value: [
                  { value: '1.5', qualifiers: ['P', 'e'], dateTime: '2024-01-01T00:00:00.000-05:00' },
                  { value: '-999999', qualifiers: [], dateTime: '2024-01-01T01:00:00.000-05:00' },
                  {},
                ],
              },
            ],
          },
          {},
        ],
      },
    });
    const { series, issues } = read(json);
    expect(series).toHaveLength(1);
    expect(table(series[0])).toEqual([
      ['2024-01-01T05:00', 1.5, 'P e', 0],
      ['2024-01-01T06:00', NaN, '', 0],
    ]);
    expect(series[0]!.tellsApproval).toBe(false);
    expect(issues).toMatchObject([{ code: 'time-unreadable', found: 'a reading without a time' }]);
  });
});
