import { Temporal } from 'temporal-polyfill';
import type { CreekChart, GaugeChart, OtherWay } from '../../chart/types.js';
import { intervalText } from './inUnits.js';

/** Calendar day of a moment in a zone, `yyyy-mm-dd`; `never` for none. */
export function dayText(timeMs: number | null, timeZone: string): string {
  if (timeMs === null || !Number.isFinite(timeMs)) return 'never';
  return Temporal.Instant.fromEpochMilliseconds(Math.round(timeMs))
    .toZonedDateTimeISO(timeZone)
    .toPlainDate()
    .toString();
}

/** `62 visits in 21 floods, 2031-03-02 to 2032-11-14` */
export function evidenceText({ trust: { evidence } }: GaugeChart, timeZone: string): string {
  if (evidence.visits === 0) return 'no visit meets a reading of this gauge';
  const span = `${dayText(evidence.firstVisitMs, timeZone)} to ${dayText(evidence.lastVisitMs, timeZone)}`;
  return `${plural(evidence.visits, 'visit')} in ${plural(evidence.floods, 'flood')}, ${span}`;
}

/** Skill on floods left out of the fit, in one sentence; empty where it could not be scored. */
export function skillTexts({ trust: { skill } }: GaugeChart): readonly string[] {
  const { value = null, i80 } = skill?.againstFrequencies ?? {};
  if (value === null || i80 === undefined) return [];
  return [
    `skill on floods left out: ${share(value, i80)} (0: no better than how often each class was logged; 1: perfect)`,
  ];
}

/** The way of reading that the chart is not made by, and what it would gain. */
export function otherText({ howToRead, skill, difference }: OtherWay): string {
  const value = (x: number | null) => (x === null ? 'unknown' : x.toFixed(2));
  const range = intervalText(difference.i80, (bound) => bound.toFixed(2));
  return `The other way: ${howToRead} Skill ${value(skill.value)}, which differs by ${value(difference.value)} (${range}).`;
}

function share(value: number, i80: readonly [number | null, number | null]): string {
  return `${value.toFixed(2)} (${intervalText(i80, (bound) => bound.toFixed(2))})`;
}

/** `3 visits`, `1 visit` */
export function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

/** Where the numbers come from, one line a thing: what every output repeats so that it can be made again. */
export function provenanceLines(chart: CreekChart): readonly string[] {
  const { provenance } = chart;
  const options = Object.entries(provenance.options)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, value]) => `${name} ${String(value)}`);
  return [
    `${provenance.tool} ${provenance.version}, seed ${provenance.seed}${options.length > 0 ? `, ${options.join(', ')}` : ''}`,
    ...provenance.files.map((file) => `${file.name}: ${file.bytes} bytes, SHA-256 ${file.sha256}`),
    ...provenance.approval.map(
      (row) =>
        `readings of ${row.gauge}: ${row.approved} approved, ${row.provisional} provisional, ${row.unknown} without a state`,
    ),
  ];
}

/** Said before the levels of a gauge whose grade does not carry a plan. */
export const TOO_THIN = 'Too thin to plan with: the levels below are a first guess, to be filled with more visits.';
