import { Temporal } from 'temporal-polyfill';
import type { CreekChart, GaugeChart, SkillEstimate } from '../../chart/types.js';
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
export function evidenceText({ trust }: GaugeChart, timeZone: string): string {
  if (trust.visits === 0) return 'no visit meets a reading of this gauge';
  const span = `${dayText(trust.firstVisitMs, timeZone)} to ${dayText(trust.lastVisitMs, timeZone)}`;
  return `${plural(trust.visits, 'visit')} in ${plural(trust.floods, 'flood')}, ${span}`;
}

/** Skill on floods left out of the fit, in one sentence; empty where it could not be scored. */
export function skillTexts({ trust }: GaugeChart): readonly string[] {
  const part = (label: string, skill: SkillEstimate | null) =>
    skill === null ? [] : [`${share(skill.againstFrequencies, skill.againstFrequencies80)} ${label}`];
  const parts = [
    ...part('by the effective reading', trust.skill.effective),
    ...part('by one reading', trust.skill.oneReading),
  ];
  if (parts.length === 0) return [];
  return [
    `skill on floods left out: ${parts.join(', ')} (0: no better than how often each class was logged; 1: perfect)`,
  ];
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
