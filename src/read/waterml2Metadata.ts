import type { RawSeries } from '../series/gaugeRecord.js';
import { attribute, child, descendants, each, textOf, type XmlNode } from './xmlPieces.js';

/**
 * What the metadata of a point, or the default ones of its series, say. A property that a point has of its own takes the place of the
 * default one.
 */
export interface PointMetadata {
  readonly qualifier: string;
  readonly quality: string;
  readonly bound: string;
  readonly nil: string;
  readonly unit: string | undefined;
}

const NO_METADATA: PointMetadata = { qualifier: '', quality: '', bound: '', nil: '', unit: undefined };

/** The metadata of a node such as TVPMeasurementMetadata; all empty where there is none. */
export function pointMetadata(metadata: unknown): PointMetadata {
  if (typeof metadata !== 'object' || metadata === null) return NO_METADATA;
  const node = metadata as XmlNode;
  const words = (name: string) =>
    each(node[name])
      .map((one) => lastPart(attribute(one, 'href')) ?? attribute(one, 'title') ?? textOf(one))
      .filter((part) => part !== undefined);
  const qualifiers = each(node.qualifier).map(
    (one) =>
      textOf(child(one, 'Category', 'value')) ??
      textOf(child(one, 'Text', 'value')) ??
      lastPart(attribute(one, 'href')) ??
      attribute(one, 'title'),
  );
  const uom = child(node, 'uom');
  return {
    qualifier: qualifiers.filter((part) => part !== undefined).join(' '),
    quality: words('quality').join(' '),
    // OGC nil reasons of a reading that is a bound.
    bound: words('censoredReason')
      .map((word) => (/below/i.test(word) ? '<' : /above/i.test(word) ? '>' : word))
      .join(' '),
    nil: words('nilReason').join(' '),
    unit: attribute(uom, 'code') ?? attribute(uom, 'title') ?? lastPart(attribute(uom, 'href')),
  };
}

/** The code of a reading: each property its own, or the default one, with a blank between. */
export function codeOf(own: PointMetadata, defaults: PointMetadata): string {
  return (['qualifier', 'quality', 'bound', 'nil'] as const)
    .map((name) => (own[name] === '' ? defaults[name] : own[name]))
    .filter((part) => part !== '')
    .join(' ');
}

/** Site, property, statistic and datum as far as the observation names them. */
export function identify(
  observation: XmlNode,
): Pick<RawSeries, 'key' | 'site' | 'parameterCode' | 'statisticCode' | 'datum'> {
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
  const [vertical] = descendants(child(point, 'verticalDatum'), 'VerticalDatum');
  const datum =
    attribute(child(point, 'verticalDatum'), 'title') ??
    lastPart(attribute(child(point, 'verticalDatum'), 'href')) ??
    textOf(child(vertical, 'name')) ??
    textOf(child(vertical, 'identifier'));
  const parts = [site, parameterCode, statisticCode].filter((part) => part !== undefined);
  return {
    key: parts.length > 0 ? parts.join(' ') : 'observation',
    ...(site !== undefined && { site }),
    ...(parameterCode !== undefined && { parameterCode }),
    ...(statisticCode !== undefined && { statisticCode }),
    ...(datum !== undefined && { datum }),
  };
}

/** What follows the last `/`, `#` or `=` of an address. */
export function lastPart(address: string | undefined): string | undefined {
  const part = address?.split(/[/#=]/).at(-1);
  return part === undefined || part === '' ? undefined : part;
}

/**
 * The length of an ISO 8601 duration of days, hours, minutes and seconds, ms; NaN for one with months or years (they have no length), one
 * that is not above 0, and anything else.
 * @example durationMs('PT15M') // 900000
 */
export function durationMs(text: string): number {
  const parts = /^P(?:(\d{1,4})D)?(?:T(?:(\d{1,5})H)?(?:(\d{1,7})M)?(?:(\d{1,9}(?:\.\d{1,3})?)S)?)?$/.exec(text);
  if (parts === null) return NaN;
  const [days, hours, minutes, seconds] = parts.slice(1).map((part) => Number(part ?? 0)) as [
    number,
    number,
    number,
    number,
  ];
  const ms = Math.round((((days * 24 + hours) * 60 + minutes) * 60 + seconds) * 1000);
  return ms > 0 ? ms : NaN;
}
