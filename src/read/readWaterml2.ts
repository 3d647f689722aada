import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import { zoneClock } from '../series/time.js';
import { declaredEncoding, decodeText } from './decodeText.js';
import { issueLog } from './issueLog.js';
import { seriesRows, type SeriesRows } from './seriesRows.js';
import type { GaugeRead, NamedFile } from './types.js';
import {
  attribute,
  child,
  cutXml,
  descendants,
  each,
  parsePiece,
  textOf,
  type CutXml,
  type XmlNode,
} from './xmlPieces.js';

/**
 * Reads OGC WaterML 2.0 measurement time series: one series an observation, its key `site property statistic` as far as the file names them. The code of
 * a reading is its own qualifier, or the series' default one. A calendar date is the mean of that local day and is put at its noon; a time without an
 * offset is local in the gauge's zone. A point that holds neither time nor value is no reading.
 *
 * Format: OGC 10-126r4, WaterML 2.0 Part 1 (Collection, OM_Observation, MeasurementTimeseries).
 */
export function readWaterml2(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const decoded = decodeText(file, { encoding: declaredEncoding(file.bytes) });
  if ('issue' in decoded) return { series: [], issues: [decoded.issue] };
  const { text } = decoded;
  const cut = cutXml(text, 'point');
  const wrong = (found: string): GaugeRead => ({
    series: [],
    issues: [
      {
        code: 'wrong-format',
        severity: 'fatal',
        file: file.name,
        found,
        expected: 'WaterML 2.0 with a MeasurementTimeseries',
        hint: 'Download the file again, or set format to what it is.',
      },
    ],
  });
  if ('problem' in cut) return wrong(cut.problem);
  const observations = descendants(cut.root, 'OM_Observation').filter(
    (one) => descendants(one, 'MeasurementTimeseries').length > 0,
  );
  if (observations.length === 0) {
    const root = Object.keys(cut.root).find((name) => name !== '?xml');
    return wrong(
      root === undefined ? 'no XML' : `XML with the root ${root} and no observation with a measurement time series`,
    );
  }
  const log = issueLog();
  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  // The agencies that write A and P say so in the qualifier's title or address.
  const tellsApproval = /waterdata\.usgs\.gov|\b(approved|provisional)\b/i.test(text);
  const series = observations.map((observation): RawSeries => {
    const identity = identify(observation);
    const [timeseries] = descendants(observation, 'MeasurementTimeseries') as [XmlNode];
    const defaults = child(timeseries, 'defaultPointMetadata', 'DefaultTVPMeasurementMetadata');
    const uom = child(defaults, 'uom');
    const unitText = attribute(uom, 'code') ?? attribute(uom, 'title') ?? lastPart(attribute(uom, 'href'));
    const rows = seriesRows({
      file: file.name,
      clock,
      log,
      dayMeans: identity.statisticCode !== undefined && identity.statisticCode !== '00000',
    });
    takePoints({ text, cut, timeseries, defaultCode: codeOf(defaults), rows });
    return rows.close({ ...identity, ...(unitText !== undefined && { unitText }), tellsApproval });
  });
  return { series, issues: log.issues() };
}

/** Site, property and statistic as far as the observation names them. */
function identify(observation: XmlNode): Pick<RawSeries, 'key' | 'site' | 'parameterCode' | 'statisticCode'> {
  const feature = child(observation, 'featureOfInterest');
  const point = child(feature, 'MonitoringPoint');
  const property = child(observation, 'observedProperty');
  const statistic = descendants(child(observation, 'procedure'), 'parameter').find(
    (one) => attribute(one, 'title') === 'Statistic',
  );
  const site =
    textOf(child(point, 'identifier')) ??
    /[?&;]sites=([\w-]+)/.exec(attribute(child(point, 'descriptionReference'), 'href') ?? '')?.[1] ??
    lastPart(attribute(feature, 'href')) ??
    attribute(feature, 'title');
  const parameterCode = lastPart(attribute(property, 'href')) ?? attribute(property, 'title');
  const statisticCode = textOf(child(statistic, 'NamedValue', 'value'));
  const parts = [site, parameterCode, statisticCode].filter((part) => part !== undefined);
  return {
    key: parts.length > 0 ? parts.join(' ') : 'observation',
    ...(site !== undefined && { site }),
    ...(parameterCode !== undefined && { parameterCode }),
    ...(statisticCode !== undefined && { statisticCode }),
  };
}

/** What follows the last `/`, `#` or `=` of an address. */
function lastPart(address: string | undefined): string | undefined {
  const part = address?.split(/[/#=]/).at(-1);
  return part === undefined || part === '' ? undefined : part;
}

/** Quality of a reading from its metadata: qualifier values, quality, censoring and nil reasons, with a blank between; '' where none. */
function codeOf(metadata: unknown): string {
  if (typeof metadata !== 'object' || metadata === null) return '';
  const node = metadata as XmlNode;
  const qualifiers = each(node.qualifier).map(
    (one) => textOf(child(one, 'Category', 'value')) ?? lastPart(attribute(one, 'href')) ?? attribute(one, 'title'),
  );
  const others = ['quality', 'censoredReason', 'nilReason'].flatMap((name) =>
    each(node[name]).map((one) => lastPart(attribute(one, 'href')) ?? attribute(one, 'title') ?? textOf(one)),
  );
  return [...qualifiers, ...others].filter((part) => part !== undefined).join(' ');
}

/** The plain form of a point, which is nearly every one: time, value, then metadata or nothing. Anything else goes through the parser as a whole. */
const PLAIN_POINT =
  /^<[\w.:-]*point\s*>\s*<[\w.:-]*MeasurementTVP\s*>\s*<[\w.:-]*time\s*>([^<&]*)<\/[\w.:-]*time\s*>\s*<[\w.:-]*value\s*>([^<&]*)<\/[\w.:-]*value\s*>([\s\S]*)$/;

/** Distinct metadata texts remembered; a file that writes each reading's differently must not fill the memory. */
const MOST_METADATA = 10_000;

interface Points {
  readonly text: string;
  readonly cut: CutXml;
  readonly timeseries: XmlNode;
  readonly defaultCode: string;
  readonly rows: SeriesRows;
}

function takePoints({ text, cut, timeseries, defaultCode, rows }: Points): void {
  // Readings repeat the same few metadata texts word by word, so each is parsed once.
  const codes = new Map<string, string>();
  const codeOfRest = (rest: string) => {
    const known = codes.get(rest);
    if (known !== undefined) return known;
    const own = codeOf(
      child(
        parsePiece(`<point><MeasurementTVP>${rest}`),
        'point',
        'MeasurementTVP',
        'metadata',
        'TVPMeasurementMetadata',
      ),
    );
    const code = own === '' ? defaultCode : own;
    if (codes.size < MOST_METADATA) codes.set(rest, code);
    return code;
  };
  for (const group of each(timeseries.cut)) {
    const g = Number(attribute(group, 'n'));
    for (let p = cut.groups[g]!; p < cut.groups[g + 1]!; p++) {
      const piece = text.slice(cut.starts[p], cut.ends[p]);
      const plain = PLAIN_POINT.exec(piece);
      if (plain !== null) {
        rows.add(plain[1]!.trim(), plain[2]!, codeOfRest(plain[3]!));
        continue;
      }
      const pair = child(parsePiece(piece), 'point', 'MeasurementTVP');
      const time = textOf(child(pair, 'time'));
      const valueNode = child(pair, 'value');
      const value = textOf(valueNode);
      if (time === undefined && value === undefined) continue;
      const own = [codeOf(child(pair, 'metadata', 'TVPMeasurementMetadata')), attribute(valueNode, 'nilReason') ?? '']
        .filter((part) => part !== '')
        .join(' ');
      rows.add(time ?? '', value ?? '', own === '' ? defaultCode : own);
    }
  }
}
