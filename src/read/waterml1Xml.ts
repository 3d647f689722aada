import { otherDocument } from './otherDocuments.js';
import type { Waterml1Document, Waterml1Series } from './readWaterml1.js';
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
 * The plain form of a reading, which is nearly every one: double-quoted attributes and bare text. Anything else goes through the parser.
 */
const PLAIN_VALUE = /^<(?:[\w.-]+:)?value((?:\s+[\w:.-]+="[^"<&]*")*)\s*>([^<&]*)<\/(?:[\w.-]+:)?value\s*>$/;

/** The series of a WaterML 1.1 XML document. */
export function readXmlSeries(text: string): Waterml1Document {
  const cut = cutXml(text, 'value');
  if ('problem' in cut) return cut;
  if (child(cut.root, 'timeSeriesResponse') === undefined) {
    return otherDocument(cut.root, '');
  }
  const series = descendants(cut.root, 'timeSeries').flatMap((one) => ofTimeSeries(text, cut, one));
  return series.length === 0 ? { problem: 'a timeSeriesResponse without a timeSeries' } : { series };
}

function ofTimeSeries(text: string, cut: CutXml, node: XmlNode): readonly Waterml1Series[] {
  const siteCode = child(node, 'sourceInfo', 'siteCode');
  const variable = child(node, 'variable');
  const site = textOf(siteCode);
  const parameterCode = textOf(child(variable, 'variableCode'));
  const statistic = each(
    child(variable, 'options', 'option') === undefined ? undefined : (child(variable, 'options') as XmlNode).option,
  ).find((option) => attribute(option, 'name') === 'Statistic');
  const statisticCode = attribute(statistic, 'optionCode');
  // 1.1 has unit/unitCode; the older 1.0 has units with an abbreviation.
  const units = child(variable, 'units');
  const unitText =
    textOf(child(variable, 'unit', 'unitCode')) ??
    textOf(child(variable, 'unit', 'unitAbbreviation')) ??
    attribute(units, 'unitsAbbreviation') ??
    textOf(units);
  const name =
    attribute(node, 'name') ?? [site, parameterCode, statisticCode].filter((part) => part !== undefined).join(':');
  const datum = textOf(child(node, 'sourceInfo', 'verticalDatum'));
  const usgs = attribute(siteCode, 'agencyCode') === 'USGS' || attribute(siteCode, 'network') === 'NWIS';
  return each(node.values).map((values, i) => ({
    key: `${name} [${i}]`,
    ...(site !== undefined && { site }),
    ...(parameterCode !== undefined && { parameterCode }),
    ...(statisticCode !== undefined && { statisticCode }),
    ...(unitText !== undefined && { unitText }),
    ...(datum !== undefined && { datum }),
    noData: Number(textOf(child(variable, 'noDataValue')) ?? NaN),
    usgs,
    eachReading: (take) => {
      for (const group of each((values as XmlNode | undefined)?.cut)) {
        const g = Number(attribute(group, 'n'));
        for (let p = cut.groups[g]!; p < cut.groups[g + 1]!; p++)
          takeReading(text.slice(cut.starts[p], cut.ends[p]), take);
      }
    },
  }));
}

function takeReading(piece: string, take: (time: string, value: string, code: string) => void): void {
  const plain = PLAIN_VALUE.exec(piece);
  if (plain !== null) {
    const attributes = plain[1]!;
    take(
      timeOf((name) => plainAttribute(attributes, name)),
      plain[2]!,
      codeOf((name) => plainAttribute(attributes, name)),
    );
    return;
  }
  const node = child(parsePiece(piece), 'value');
  take(
    timeOf((name) => attribute(node, name)),
    textOf(node) ?? '',
    codeOf((name) => attribute(node, name)),
  );
}

/** The value of ` name="…"` in a run of plain attributes. */
function plainAttribute(attributes: string, name: string): string | undefined {
  const from = attributes.indexOf(` ${name}="`);
  if (from < 0) return undefined;
  const start = from + name.length + 3;
  return attributes.slice(start, attributes.indexOf('"', start)).trim();
}

/** dateTime, with timeOffset behind it where the time itself has no offset. */
function timeOf(get: (name: string) => string | undefined): string {
  const time = get('dateTime') ?? '';
  const offset = get('timeOffset');
  return offset === undefined || /(Z|[+-]\d\d:?\d\d)$/i.test(time) ? time : time + offset;
}

/** Qualifiers, and the censor code where it says that the value is a bound (`lt`, `gt`) and not a reading. */
function codeOf(get: (name: string) => string | undefined): string {
  const censor = get('censorCode');
  const bound = censor === 'lt' ? '<' : censor === 'gt' ? '>' : undefined;
  return [get('qualifiers'), bound].filter((part) => part !== undefined && part !== '').join(' ');
}
