import { deeperThan } from './jsonDepth.js';
import { inThousands, LIMITS } from './limits.js';
import type { Waterml1Document, Waterml1Series } from './readWaterml1.js';

/**
 * The series of the JSON form of WaterML 1.1. The shape is checked by hand where it is read: a million readings do not pass a validator.
 */
export function readJsonSeries(text: string): Waterml1Document {
  if (deeperThan(text, LIMITS.jsonDepth))
    return {
      problem: `JSON with more than ${LIMITS.jsonDepth} lists and objects inside each other`,
      most: 'that many',
    };
  let root: unknown;
  try {
    root = JSON.parse(text);
  } catch {
    return { problem: 'JSON that breaks off or is not well-formed' };
  }
  const list = at(root, 'value', 'timeSeries') ?? at(root, 'timeSeries');
  if (!Array.isArray(list)) {
    const type = at(root, 'type');
    if (type === 'FeatureCollection' || type === 'Feature')
      return { problem: 'a list of places (GeoJSON)', other: true };
    return { problem: 'JSON without value.timeSeries' };
  }
  if (list.length === 0)
    return { problem: 'a response without a series (nothing was found for the site and dates asked)' };
  // Readings that stand in something else than a list would be passed over without a word.
  const strange = list.some((one) => {
    const values = at(one, 'values');
    return values !== undefined && !(Array.isArray(values) && values.every((each) => isList(at(each, 'value'))));
  });
  if (strange) return { problem: 'JSON whose values are no lists' };
  const readings = list.reduce<number>(
    (sum, one) =>
      sum + lists(at(one, 'values')).reduce<number>((n, values) => n + lists(at(values, 'value')).length, 0),
    0,
  );
  if (readings > LIMITS.readings)
    return { problem: `${inThousands(readings)} readings`, most: inThousands(LIMITS.readings) };
  return { series: list.flatMap(ofTimeSeries) };
}

function ofTimeSeries(node: unknown): readonly Waterml1Series[] {
  const site = text(at(node, 'sourceInfo', 'siteCode', 0, 'value'));
  const parameterCode = text(at(node, 'variable', 'variableCode', 0, 'value'));
  const options = lists(at(node, 'variable', 'options', 'option'));
  const statisticCode = text(
    at(
      options.find((option) => at(option, 'name') === 'Statistic'),
      'optionCode',
    ),
  );
  const unitText = text(at(node, 'variable', 'unit', 'unitCode'));
  const noData = Number(at(node, 'variable', 'noDataValue') ?? NaN);
  const name =
    text(at(node, 'name')) ?? [site, parameterCode, statisticCode].filter((part) => part !== undefined).join(':');
  const usgs = at(node, 'sourceInfo', 'siteCode', 0, 'agencyCode') === 'USGS';
  return lists(at(node, 'values')).map((values, i) => ({
    key: `${name} [${i}]`,
    ...(site !== undefined && { site }),
    ...(parameterCode !== undefined && { parameterCode }),
    ...(statisticCode !== undefined && { statisticCode }),
    ...(unitText !== undefined && { unitText }),
    noData,
    usgs,
    eachReading: (take) => {
      for (const reading of lists(at(values, 'value'))) {
        const qualifiers = at(reading, 'qualifiers');
        const code = Array.isArray(qualifiers)
          ? qualifiers.map((one) => text(one) ?? '?').join(' ')
          : (text(qualifiers) ?? '');
        take(text(at(reading, 'dateTime')) ?? '', text(at(reading, 'value')) ?? '', code);
      }
    },
  }));
}

/** What stands at a path of own keys and indices; undefined where it ends early. */
function at(node: unknown, ...path: readonly (string | number)[]): unknown {
  let here = node;
  for (const key of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, key)) return undefined;
    here = (here as Record<string | number, unknown>)[key];
  }
  return here;
}

function isList(value: unknown): boolean {
  return value === undefined || Array.isArray(value);
}

function lists(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : [];
}

function text(value: unknown): string | undefined {
  return typeof value === 'string' || typeof value === 'number' ? String(value) : undefined;
}
