import type { Gauge, GaugeFormat } from '../../series/creek.js';
import { parameterOfUnit, type GaugeUnit } from '../../series/units.js';
import { readRdb } from '../readRdb.js';
import { readWaterml1 } from '../readWaterml1.js';
import { readWaterml2 } from '../readWaterml2.js';
import type { NamedFile } from '../types.js';
import { unitFromText } from '../unitText.js';
import type { GuessedGauge } from './guessGauge.js';

/** A download in one of the formats that say themselves what they hold; undefined for any other file. */
export function sniffGauge(file: NamedFile, unit?: GaugeUnit): GuessedGauge | undefined {
  const head = new TextDecoder('latin1').decode(file.bytes.subarray(0, 60_000));
  const format = formatOf(head);
  if (format === undefined) return undefined;
  const read = { rdb: readRdb, waterml2: readWaterml2, waterml1: readWaterml1 }[format];
  const gauge = { id: 'x', name: 'x', parameter: 'discharge', unit: 'm3/s', files: [file.name], format } as Gauge;
  const units = [...new Set(read(file, gauge, 'UTC').series.flatMap((one) => unitFromText(one.unitText ?? '') ?? []))];
  const own = unit ?? units[0];
  return {
    mapping: { format, ...(own && { unit: own, parameter: parameterOfUnit(own) }) },
    said: [`format ${format}${own ? `, ${own}` : ''}`],
    asks: [
      ...(own === undefined ? ['the unit of the readings: give --unit'] : []),
      ...(units.length > 1 && unit === undefined
        ? [`which of its series: it holds ${units.join(', ')}; give --unit`]
        : []),
    ],
  };
}

function formatOf(head: string): Exclude<GaugeFormat, 'delimited'> | undefined {
  if (/^#[^]*\n[^\n\t]+\t[^\n]*\n\d+s\t/.test(head) || /(^|\n)agency_cd\t/.test(head)) return 'rdb';
  if (/^\s*</.test(head)) return /waterml\/2/i.test(head) ? 'waterml2' : 'waterml1';
  return /^\s*\{[^]*timeSeries/i.test(head) ? 'waterml1' : undefined;
}
