import type { Gauge } from '../series/creek.js';
import { scanIso, type IsoTime } from '../series/isoTime.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import type { RecordPart } from './buildRecord.js';
import { utc } from './cleanValues.js';
import { datesIn } from './datumNotes.js';

/**
 * When the datum or the place of a gauge changed: what `datumChanges` of creek.json says, and dated remarks of its files. A date alone is
 * its local midnight.
 * @returns UTC ms, ascending, each once; and a note for each, and for remarks without a date, which only a person can place
 */
export function datumBarriers(
  gauge: Gauge,
  parts: readonly RecordPart[],
  zone: string,
): { readonly timesMs: readonly number[]; readonly issues: readonly Issue[] } {
  const times = new Set<number>();
  const issues: Issue[] = [];
  for (const text of gauge.datumChanges ?? []) {
    const ms = instantOf(text, zone);
    if (ms === ms) times.add(ms);
  }
  for (const { file, series } of parts)
    for (const remark of series.datumNotes ?? []) {
      const dates = datesIn(remark).map((date) => instantOf(date, zone));
      const told = dates.filter((ms) => ms === ms);
      for (const ms of told) times.add(ms);
      issues.push({
        code: 'datum-change',
        severity: 'note',
        file,
        found: `the remark '${remark}'`,
        expected: 'one datum',
        hint:
          told.length > 0
            ? `Nothing is interpolated across ${told.map(utc).join(' and ')}.${stageWarning(gauge)}`
            : `Write the time of the change as datumChanges of gauge '${gauge.id}' in creek.json.${stageWarning(gauge)}`,
      });
    }
  for (const text of gauge.datumChanges ?? [])
    issues.push({
      code: 'datum-change',
      severity: 'note',
      file: parts.map((part) => part.file).join(', '),
      found: `a change of datum at ${text}, as creek.json says`,
      expected: 'one datum',
      hint: `Nothing is interpolated across it.${stageWarning(gauge)}`,
    });
  return { timesMs: [...times].sort((a, b) => a - b), issues };
}

function stageWarning(gauge: Gauge): string {
  return gauge.parameter === 'stage'
    ? ' Stages before and after do not share a zero: give each its own gauge in creek.json unless the file has shifted them.'
    : '';
}

/**
 * UTC ms of a date or time in ISO 8601, local in the zone where it has no offset; the earlier where it came twice, NaN where it is none.
 */
export function instantOf(text: string, zone: string): number {
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  const trimmed = text.trim();
  if (!scanIso(trimmed, 0, trimmed.length, iso)) return NaN;
  if (iso.offsetMs === iso.offsetMs) return iso.localMs - iso.offsetMs;
  const pair = new Float64Array(2);
  // A midnight that the clocks skipped is the moment they did.
  return zoneClock(zone).instants(iso.localMs, pair) > 0
    ? pair[0]!
    : iso.localMs - zoneClock(zone).offsetAt(iso.localMs - zoneClock(zone).offsetAt(iso.localMs));
}
