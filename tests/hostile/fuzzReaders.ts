import fc from 'fast-check';
import { anyBytes, cell, damaged, mutated, time, tokenSoup } from './arbitraries.js';
import { creekFault, gaugeFault, GAUGES, readBytes, readLog, utf8, visitsFault } from './invariants.js';
import { VALID } from './validFiles.js';

/** Longest that a file of a few kilobytes may take, ms: a reader that needs more for so little would stand still on a large one. */
const MOST_MS = 1000;

/** One property: something that must hold for any input it makes up. */
export interface FuzzProperty {
  readonly name: string;
  readonly property: () => fc.IProperty<[Uint8Array]> | fc.IProperty<[readonly (readonly [string, string, string])[]]>;
}

/** All of them: each reader on noise, on words in no order, on damaged files; and each format with rows of any cells, counted. */
export const PROPERTIES: readonly FuzzProperty[] = [
  ...Object.keys(GAUGES).flatMap((kind) =>
    ofReader(kind, (bytes) => gaugeFault(readBytes(GAUGES[kind]!, bytes), bytes)),
  ),
  ...ofReader('json', (bytes) => gaugeFault(readBytes(GAUGES.waterml1!, bytes), bytes)),
  ...ofReader('visits', (bytes) => visitsFault(readLog(bytes), bytes)),
  ...ofReader('creek', creekFault),
  counted(
    'delimited',
    GAUGES.delimited!,
    (rows) => `time,value,q\n${rows.map((row) => row.map(quoted).join(',')).join('\n')}`,
  ),
  counted('rdb', GAUGES.rdb!, (rows) =>
    [
      'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd',
      '5s\t15s\t20d\t6s\t14n\t10s',
      ...rows.map(
        ([when, value, code]) =>
          `XX\t01\t${when.replace('T', ' ').replace('Z', '')}\t${when.endsWith('Z') ? 'UTC' : ''}\t${value}\t${code}`,
      ),
    ].join('\n'),
  ),
  counted(
    'waterml1',
    GAUGES.waterml1!,
    (rows) =>
      '<timeSeriesResponse><timeSeries><variable><unit><unitCode>ft3/s</unitCode></unit></variable><values>' +
      rows.map(([when, value, code]) => `<value dateTime="${when}" qualifiers="${code}">${value}</value>`).join('\n') +
      '</values></timeSeries></timeSeriesResponse>',
  ),
  counted('json', GAUGES.waterml1!, (rows) =>
    JSON.stringify({
      value: {
        timeSeries: [
          { values: [{ value: rows.map(([dateTime, value, code]) => ({ dateTime, value, qualifiers: [code] })) }] },
        ],
      },
    }),
  ),
  counted(
    'waterml2',
    GAUGES.waterml2!,
    (rows) =>
      '<Collection><OM_Observation><MeasurementTimeseries>' +
      rows
        .map(
          ([when, value]) =>
            `<point><MeasurementTVP><time>${when}</time><value>${value}</value></MeasurementTVP></point>`,
        )
        .join('\n') +
      '</MeasurementTimeseries></OM_Observation></Collection>',
  ),
];

function ofReader(kind: string, fault: (bytes: Uint8Array) => string | undefined): FuzzProperty[] {
  const holds = (bytes: Uint8Array) => {
    const from = performance.now();
    const found = fault(bytes);
    if (found !== undefined) throw new Error(found);
    const took = performance.now() - from;
    if (took > MOST_MS) throw new Error(`took ${took.toFixed(0)} ms for ${bytes.length} bytes`);
  };
  const valid = VALID[kind]!;
  return [
    { name: `${kind}: any bytes`, property: () => fc.property(anyBytes, holds) },
    { name: `${kind}: words in no order`, property: () => fc.property(tokenSoup.map(utf8), holds) },
    { name: `${kind}: a damaged file`, property: () => fc.property(damaged(mutated(valid)), holds) },
  ];
}

/** Rows of any cells: as many are read or listed as were written. */
function counted(
  kind: string,
  gauge: (typeof GAUGES)[string],
  write: (rows: readonly (readonly [string, string, string])[]) => string,
): FuzzProperty {
  return {
    name: `${kind}: every row is used or listed`,
    property: () =>
      fc.property(fc.array(fc.tuple(time, cell, cell), { minLength: 1, maxLength: 25 }), (rows) => {
        const bytes = utf8(write(rows));
        const built = readBytes(gauge, bytes);
        const found = gaugeFault(built, bytes);
        if (found !== undefined) throw new Error(found);
        // A point of WaterML 2 without time and value is the format's way to say nothing.
        const written =
          kind === 'waterml2' ? rows.filter(([when, value]) => when.trim() !== '' || value.trim() !== '') : rows;
        if (built.rowsIn !== written.length) throw new Error(`${written.length} rows written, ${built.rowsIn} read`);
      }),
  };
}

function quoted(text: string): string {
  return /[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
