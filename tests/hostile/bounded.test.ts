import { describe, expect, it } from 'vitest';
import { creekFault, gaugeFault, GAUGES, readBytes, readLog, utf8, visitsFault } from './invariants.js';

/** Letters of each pattern: long enough that work growing with their square would show. */
const LETTERS = 100_000;
/** Processor seconds allowed for it. */
const MOST_SECONDS = 2;

/** Pieces that, repeated, make readers look ahead, look back, or nest. */
const PATTERNS = [
  '"',
  '""',
  '"\n',
  'a,"b\n',
  '"a""\n',
  ',',
  '\n',
  '\r',
  '\r\n',
  '\t',
  ' ',
  '#\n',
  '# datum changed\n',
  '<',
  '<a>',
  '<a ',
  '<!--',
  '<!-- -->',
  '<![CDATA[',
  '<point>',
  '<point/>',
  '<value ',
  "<value a='",
  '<a:',
  '&',
  '[',
  '{"a":',
  '"\\',
  '9',
  '1e',
  '-',
  'agency_cd\tsite_no\tdatetime\n',
  'x\t',
  '2031-10-26T01:30,1,\n',
  'v,2031-10-26T01:30,,upper,verdict,good,Ana,\n',
  '\u00a0',
  '\u0000',
];
const HEADS: Readonly<Record<string, string>> = {
  delimited: 'time,value,q\n',
  rdb: 'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd\n5s\t15s\t20d\t6s\t14n\t10s\n',
  waterml1: '<timeSeriesResponse><timeSeries><values>',
  waterml2: '<Collection><OM_Observation><MeasurementTimeseries>',
  visits: 'visit,when,give_or_take_min,run,feature,saw,observer,note\n',
  creek: '',
};

describe('work that grows with the size of a file and no faster', () => {
  for (const [kind, head] of Object.entries(HEADS))
    it(kind, () => {
      for (const pattern of PATTERNS) {
        const bytes = utf8(head + pattern.repeat(Math.ceil(LETTERS / pattern.length)));
        const from = process.cpuUsage();
        const fault =
          kind === 'creek'
            ? creekFault(bytes)
            : kind === 'visits'
              ? visitsFault(readLog(bytes), bytes)
              : gaugeFault(readBytes(GAUGES[kind]!, bytes), bytes);
        const { user } = process.cpuUsage(from);
        expect(fault, JSON.stringify(pattern)).toBeUndefined();
        expect(user / 1e6, JSON.stringify(pattern)).toBeLessThan(MOST_SECONDS);
      }
    });
});
