import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import { datumNotes } from './datumNotes.js';
import { declaredEncoding, decodeText } from './decodeText.js';
import { issueLog } from './issueLog.js';
import { inThousands, LIMITS } from './limits.js';
import { otherDocument, refusedDocument } from './otherDocuments.js';
import { seriesRows, type DayMeans } from './seriesRows.js';
import type { GaugeRead, NamedFile } from './types.js';
import { unitFromText } from './unitText.js';
import { durationMs, identify, lastPart, pointMetadata } from './waterml2Metadata.js';
import { takePoints, type Equidistant } from './waterml2Points.js';
import { attribute, child, cutXml, descendants, each, textOf, type XmlNode, type XmlProblem } from './xmlPieces.js';

/**
 * Reads OGC WaterML 2.0 measurement time series: one series an observation, its key `site property statistic` as far as the file names
 * them. The code of a reading is its qualifier, quality, bound and nil reason, each its own or the series' default one. A calendar date is
 * the mean of that local day and is put at its noon; a time without an offset is local in the gauge's zone. Points without times stand at
 * `baseTime` plus their place times `spacing`, where the base time has an offset (or is a date and the spacing whole days). A point that
 * holds neither time nor value is no reading.
 *
 * Format: OGC 10-126r4, WaterML 2.0 Part 1 (Collection, OM_Observation, MeasurementTimeseries).
 */
export function readWaterml2(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const decoded = decodeText(file, { encoding: declaredEncoding(file.bytes) });
  if ('issue' in decoded) return { series: [], issues: [decoded.issue] };
  const { text } = decoded;
  const cut = cutXml(text, 'point');
  const refused = (problem: XmlProblem & { readonly other?: boolean }): GaugeRead => ({
    series: [],
    issues: [refusedDocument(file.name, problem, 'WaterML 2.0 with a MeasurementTimeseries')],
  });
  if ('problem' in cut) return refused(cut);
  const observations = descendants(cut.root, 'OM_Observation').filter(
    (one) => descendants(one, 'MeasurementTimeseries').length > 0,
  );
  if (observations.length === 0)
    return refused(otherDocument(cut.root, ' and no observation with a measurement time series'));
  if (observations.length > LIMITS.series)
    return refused({ problem: `${inThousands(observations.length)} series`, most: inThousands(LIMITS.series) });
  const log = issueLog();
  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  // The agencies that write A and P say so in the qualifier's title or address.
  const tellsApproval = /waterdata\.usgs\.gov|\b(approved|provisional)\b/i.test(text);
  const series = observations.flatMap((observation) =>
    descendants(observation, 'MeasurementTimeseries').map((timeseries): RawSeries => {
      const identity = identify(observation);
      const metadata =
        child(timeseries, 'metadata', 'MeasurementTimeseriesMetadata') ??
        child(timeseries, 'metadata', 'TimeseriesMetadata');
      const defaultNode = child(timeseries, 'defaultPointMetadata', 'DefaultTVPMeasurementMetadata');
      const defaults = pointMetadata(defaultNode);
      const rows = seriesRows({
        file: file.name,
        clock,
        log,
        dayMeans: dayMeansOf({ statisticCode: identity.statisticCode, metadata, defaultNode }),
      });
      const { equidistant, issue } = equidistantOf(metadata, file.name);
      if (issue !== undefined) log.add(issue);
      const units = [...takePoints({ text, cut, timeseries, defaults, equidistant, rows })];
      const unit = oneUnit(units.length > 0 ? units : [defaults.unit].filter((one) => one !== undefined));
      const remarks = [
        ...each((metadata as XmlNode | undefined)?.comment),
        ...each((metadata as XmlNode | undefined)?.commentBlock),
      ];
      return rows.close({
        ...identity,
        ...(unit !== undefined && { unitText: unit }),
        tellsApproval,
        ...datumNotes(remarks.map((one) => textOf(one) ?? '')),
      });
    }),
  );
  return { series, issues: log.issues() };
}

/** Whether each value stands for a day, and whether that day begins or ends at the time given. */
function dayMeansOf({
  statisticCode,
  metadata,
  defaultNode,
}: {
  statisticCode: string | undefined;
  metadata: unknown;
  defaultNode: unknown;
}): DayMeans {
  const aggregation =
    textOf(child(defaultNode, 'aggregationDuration')) ?? textOf(child(metadata, 'aggregationDuration')) ?? '';
  const daily = (statisticCode !== undefined && statisticCode !== '00000') || durationMs(aggregation) === 86_400_000;
  if (!daily) return 'none';
  const kind = child(defaultNode, 'interpolationType');
  return /prec/i.test(lastPart(attribute(kind, 'href')) ?? attribute(kind, 'title') ?? '') ? 'ends' : 'begins';
}

/** Base and spacing of a series whose points may have no times, and an issue where they are there but cannot be used. */
function equidistantOf(
  metadata: unknown,
  file: string,
): { readonly equidistant?: Equidistant; readonly issue?: Issue } {
  const baseTime = textOf(child(metadata, 'baseTime'));
  const spacing = textOf(child(metadata, 'spacing'));
  if (baseTime === undefined || spacing === undefined) return {};
  const spacingMs = durationMs(spacing);
  if (spacingMs === spacingMs) return { equidistant: { baseTime, spacingMs } };
  return {
    issue: {
      code: 'time-unreadable',
      severity: 'note',
      file,
      column: 'spacing',
      found: `'${spacing.slice(0, 40)}'`,
      expected: 'a duration of days, hours, minutes and seconds, such as PT15M',
      hint: 'Points that have no time of their own cannot be placed.',
    },
  };
}

/** The one unit of all points; several that differ come back together, as a unit that no gauge has. */
function oneUnit(units: readonly string[]): string | undefined {
  const distinct = new Map(units.map((unit) => [unitFromText(unit) ?? unit, unit]));
  return distinct.size === 0 ? undefined : [...distinct.values()].join(' and ');
}
