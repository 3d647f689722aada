import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { parameterOfUnit, type GaugeUnit } from '../series/units.js';
import { unitFromText } from './unitText.js';

/**
 * Units that parameter codes of the U.S. Geological Survey stand for, as far as we read them: 00060 discharge, ft³/s; 00065 gage height,
 * ft; 30208 discharge, m³/s; 30207 gage height, m. Source: USGS parameter code dictionary
 * (https://help.waterdata.usgs.gov/codes-and-parameters).
 */
const UNIT_OF_PARAMETER: Readonly<Record<string, GaugeUnit>> = {
  '00060': 'ft3/s',
  '00065': 'ft',
  '30208': 'm3/s',
  '30207': 'm',
};

/** The unit of a series as far as its file tells; undefined where it does not, `other` where it is none of ours. */
function unitOf(series: RawSeries): GaugeUnit | 'other' | undefined {
  if (series.unitText !== undefined && series.unitText !== '') return unitFromText(series.unitText) ?? 'other';
  if (series.parameterCode === undefined) return undefined;
  return UNIT_OF_PARAMETER[series.parameterCode] ?? (/^\d{5}$/.test(series.parameterCode) ? 'other' : undefined);
}

/**
 * The one series of a file that a gauge of creek.json means: what `series` names, and of that what has the gauge's parameter where the file
 * tells. Several left, none left, or another unit than creek.json states is fatal: a chart on the wrong column or in the wrong unit is
 * worse than none.
 */
export function chooseSeries(
  file: string,
  all: readonly RawSeries[],
  gauge: Gauge,
): { readonly series: RawSeries | undefined; readonly issues: readonly Issue[] } {
  const fatal = (issue: Pick<Issue, 'code' | 'found' | 'expected' | 'hint'>) => ({
    series: undefined,
    issues: [{ severity: 'fatal' as const, file, ...issue }],
  });
  const keys = (list: readonly RawSeries[]) => list.map((series) => `'${series.key}'`).join(', ');
  if (all.length === 0)
    return fatal({
      code: 'series-missing',
      found: 'no series',
      expected: 'a time series',
      hint: 'Download the file again.',
    });

  const named = all.filter((series) => fits(series, gauge.series));
  if (named.length === 0)
    return fatal({
      code: 'series-missing',
      found: `series ${keys(all)}`,
      expected: `one with ${asked(gauge.series)}`,
      hint: `Correct series of gauge '${gauge.id}' in creek.json.`,
    });
  const units = new Map(named.map((series) => [series, unitOf(series)]));
  const ofParameter = named.filter((series) => {
    const unit = units.get(series);
    return unit === undefined || (unit !== 'other' && parameterOfUnit(unit) === gauge.parameter);
  });
  if (ofParameter.length > 1)
    return fatal({
      code: 'series-ambiguous',
      found: `${ofParameter.length} series: ${keys(ofParameter)}`,
      expected: 'one',
      hint: `Add series to gauge '${gauge.id}' in creek.json, for example ${suggestion(ofParameter)}.`,
    });
  const series = ofParameter[0] ?? named[0]!;
  const unit = units.get(series);
  if (unit !== undefined && unit !== gauge.unit)
    return fatal({
      code: 'unit-mismatch',
      found: `series '${series.key}' in ${series.unitText ?? unit}`,
      expected: `${gauge.unit}, as gauge '${gauge.id}' has it in creek.json`,
      hint: 'Correct unit and parameter in creek.json, or name another series; readings are never scaled in silence.',
    });
  return { series, issues: [] };
}

function fits(series: RawSeries, wanted: Gauge['series']): boolean {
  if (wanted === undefined) return true;
  return (
    (wanted.site === undefined || wanted.site === series.site) &&
    (wanted.parameterCode === undefined || wanted.parameterCode === series.parameterCode) &&
    (wanted.statisticCode === undefined || wanted.statisticCode === series.statisticCode) &&
    (wanted.column === undefined || wanted.column === series.column || wanted.column === series.key)
  );
}

function asked(wanted: Gauge['series']): string {
  return Object.entries(wanted ?? {})
    .map(([key, value]) => `${key} '${value}'`)
    .join(' and ');
}

/** The first key of `series` that tells the candidates apart, as it would stand in creek.json. */
function suggestion(candidates: readonly RawSeries[]): string {
  const [first] = candidates as [RawSeries, ...RawSeries[]];
  const keys = ['site', 'parameterCode', 'statisticCode', 'column'] as const;
  const telling = keys.find(
    (key) => first[key] !== undefined && candidates.filter((one) => one[key] === first[key]).length === 1,
  );
  const key = telling ?? 'column';
  return `"series": { ${JSON.stringify(key)}: ${JSON.stringify(telling === undefined ? first.key : first[key])} }`;
}
