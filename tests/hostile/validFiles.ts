import { CREEK_TEXT } from './invariants.js';

/** A small valid file of each kind that the fuzz mutates; invented numbers. Together they enter the branches that a good file enters. */
export const VALID: Readonly<Record<string, string>> = {
  rdb: [
    '# Invented data',
    '#    7   00060     Discharge, cubic feet per second',
    'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd',
    '5s\t15s\t20d\t6s\t14n\t10s',
    'XX\t01\t2031-11-02 00:30\tEDT\t5.5\tA',
    'XX\t01\t2031-11-02 01:30\tEDT\t6\tA:e',
    'XX\t01\t2031-11-02 01:30\tEST\tIce\tP',
    'XX\t01\t2031-11-02 02:30\tEST\t-999999\tP',
    '# a second download',
    'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd',
    '5s\t15s\t20d\t6s\t14n\t10s',
    'XX\t01\t2031-11-02 03:30\tMST\t8\tP',
    '',
  ].join('\n'),
  delimited:
    'time,value,q\r\n2031-01-01T00:00Z,1.5,G\r\n"2031-01-01T01:00Z","2","fair,\r\nsomehow"\r\n2031-11-02 01:30,3,\r\n2031-01-01T02:00Z,,X\r\n',
  european:
    'Pegel Moosbach; Datum der Zeit\nTag;Uhr;Wert (m³/s);Art\n28.10.2031;23:00;1,25;G\n29.10.2031;0:15;---;P\n30.03.2031;01:30;2,5;X\n31.10.2031;12:00;-999;\nEnde\nnichts mehr;;\n',
  waterml2:
    '<?xml version="1.0"?><w:Collection><w:observationMember><o:OM_Observation><o:observedProperty x:href="http://x/property/flow"/>' +
    '<o:result><w:MeasurementTimeseries><w:metadata><w:MeasurementTimeseriesMetadata><w:baseTime>2031-07-01T09:00:00Z</w:baseTime><w:spacing>PT15M</w:spacing></w:MeasurementTimeseriesMetadata></w:metadata>' +
    '<w:defaultPointMetadata><w:DefaultTVPMeasurementMetadata><w:quality x:href="http://x/quality/good"/><w:uom code="m3/s"/></w:DefaultTVPMeasurementMetadata></w:defaultPointMetadata>' +
    '<w:point><w:MeasurementTVP><w:time>2031-07-01T10:00:00Z</w:time><w:value>1.5</w:value></w:MeasurementTVP></w:point>\n' +
    '<w:point><w:MeasurementTVP><w:value>2</w:value><w:metadata><w:TVPMeasurementMetadata><w:qualifier><s:Category><s:value>P</s:value></s:Category></w:qualifier></w:TVPMeasurementMetadata></w:metadata></w:MeasurementTVP></w:point>\n' +
    '<!-- a remark --><w:point><w:MeasurementTVP><w:time>2031-07-01T11:00:00</w:time><w:value xsi:nil="true" nilReason="missing"/></w:MeasurementTVP></w:point>' +
    '</w:MeasurementTimeseries></o:result></o:OM_Observation></w:observationMember></w:Collection>\n',
  waterml1:
    '<?xml version="1.0"?><w:timeSeriesResponse xmlns:w="x"><w:timeSeries name="N"><w:sourceInfo><w:siteCode network="n" agencyCode="USGS">01</w:siteCode></w:sourceInfo>' +
    '<w:variable><w:variableCode>00060</w:variableCode><w:unit><w:unitCode>ft3/s</w:unitCode></w:unit><w:noDataValue>-999999</w:noDataValue></w:variable><w:values>' +
    '<w:value qualifiers="P" dateTime="2031-01-01T00:00:00.000-05:00">1</w:value>\n<w:value qualifiers="P Ice" dateTime="2031-01-01T01:00:00" timeOffset="-05:00">-999999</w:value>' +
    "<w:value dateTime='2031-01-01T02:00:00-05:00' censorCode='lt'>3</w:value><w:qualifier/></w:values></w:timeSeries></w:timeSeriesResponse>\n",
  json: JSON.stringify({
    value: {
      timeSeries: [
        {
          name: 'N',
          sourceInfo: { siteCode: [{ value: '01', agencyCode: 'USGS' }] },
          variable: { variableCode: [{ value: '00060' }], unit: { unitCode: 'ft3/s' }, noDataValue: -999999 },
          values: [
            {
              value: [
                { value: '1.5', qualifiers: ['P'], dateTime: '2031-01-01T00:00:00.000-05:00' },
                { value: '-999999', qualifiers: ['P', 'Ice'], dateTime: '2031-01-01T01:00:00.000-05:00' },
              ],
            },
          ],
        },
      ],
    },
  }),
  visits:
    'visit,when,give_or_take_min,run,feature,saw,observer,note\n# a remark\nv1,2031-05-03T10:30,,upper,ledge,wet,Ana,"two\nlines"\n' +
    'v1,2031-10-26T01:30,15,upper,verdict,good,Ana,\nv2,2031-05-04T15:00Z,180,upper,staff,-3.5,Bo,"a ""b"""\n,2031-03-30T01:30,,lower,verdict,low,,\n',
  creek: CREEK_TEXT,
};
