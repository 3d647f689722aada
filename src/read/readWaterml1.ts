import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import { zoneClock } from '../series/time.js';
import { declaredEncoding, decodeText } from './decodeText.js';
import { issueLog } from './issueLog.js';
import { inThousands, LIMITS } from './limits.js';
import { refusedDocument } from './otherDocuments.js';
import { seriesRows } from './seriesRows.js';
import type { GaugeRead, NamedFile } from './types.js';
import { readJsonSeries } from './waterml1Json.js';
import { readXmlSeries } from './waterml1Xml.js';
import type { XmlProblem } from './xmlPieces.js';

/** One series of a WaterML 1 document before its readings are made numbers: what the XML and the JSON form have in common. */
export interface Waterml1Series {
  readonly key: string;
  readonly site?: string;
  readonly parameterCode?: string;
  readonly statisticCode?: string;
  readonly unitText?: string;
  readonly datum?: string;
  readonly noData: number;
  readonly usgs: boolean;
  /** Calls back for each reading: time (with its offset where stated), value, quality codes separated by blanks. */
  readonly eachReading: (take: (time: string, value: string, code: string) => void) => void;
}

/** What a document holds, or a sentence part that says what else it is. */
export type Waterml1Document =
  { readonly series: readonly Waterml1Series[] } | (XmlProblem & { readonly other?: boolean });

/**
 * Reads WaterML 1.1 as XML or in the JSON form of instantaneous values. Each `values` element is a series with the key `name [index]`, for
 * example `USGS:01234567:00060:00000 [0]`. A value equal to the variable's noDataValue is NaN. The code of a reading is its qualifiers with
 * a blank between (`P Ice`). Times carry their offset; one that does not is local in the gauge's zone, and midnight of a daily statistic is
 * put at the day's local noon.
 *
 * Format: CUAHSI WaterML 1.1 (timeSeriesResponse).
 */
export function readWaterml1(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const decoded = decodeText(file, { encoding: declaredEncoding(file.bytes) });
  if ('issue' in decoded) return { series: [], issues: [decoded.issue] };
  const start = decoded.text.trimStart();
  const document =
    start.startsWith('{') || start.startsWith('[') ? readJsonSeries(decoded.text) : readXmlSeries(decoded.text);
  const expected = 'WaterML 1.1 (XML, or the JSON form of instantaneous values) with a time series';
  if ('problem' in document) return { series: [], issues: [refusedDocument(file.name, document, expected)] };
  if (document.series.length > LIMITS.series) {
    const problem = `${inThousands(document.series.length)} series`;
    return {
      series: [],
      issues: [refusedDocument(file.name, { problem, most: inThousands(LIMITS.series) }, expected)],
    };
  }
  const log = issueLog();
  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  const series = document.series.map((one): RawSeries => {
    const dayMeans = one.statisticCode !== undefined && one.statisticCode !== '00000' ? 'begins' : 'none';
    const rows = seriesRows({ file: file.name, clock, log, noData: one.noData, dayMeans });
    one.eachReading(rows.add);
    return rows.close({
      key: one.key,
      ...(one.site !== undefined && { site: one.site }),
      ...(one.parameterCode !== undefined && { parameterCode: one.parameterCode }),
      ...(one.statisticCode !== undefined && { statisticCode: one.statisticCode }),
      ...(one.unitText !== undefined && { unitText: one.unitText }),
      ...(one.datum !== undefined && { datum: one.datum }),
      tellsApproval: one.usgs,
    });
  });
  return { series, issues: log.issues() };
}
