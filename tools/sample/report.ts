import { HOUR, localParts, RECORD_END, RECORD_START } from './clock.js';
import type { Sample } from './folder.js';
import type { TrueRun } from './place.js';
import { CLASSES, RUNS } from './place.js';
import type { GaugeTruth } from './truth.js';
import { trueClass } from './visits.js';
import type { World } from './world.js';
import { flowAt } from './world.js';

/** Share of all hours of each month (January first) in which a run goes: low, good or high. */
export function runnableByMonth(world: World, run: TrueRun): number[] {
  const goes = new Float64Array(12);
  const all = new Float64Array(12);
  for (let t = RECORD_START; t < RECORD_END; t += HOUR) {
    const month = localParts(t).month - 1;
    const level = trueClass(flowAt(world.runs[run.id], t), run.edgesM3s);
    all[month] = all[month]! + 1;
    if (level >= 1 && level <= 3) goes[month] = goes[month]! + 1;
  }
  return Array.from(goes, (n, m) => n / all[m]!);
}

/**
 * Hours from each peak until the run is one class lower than at the peak. A peak: the highest value within 12 h either side, at least
 * in class `good`, in the months given (1 to 12).
 */
export function hoursToFallOneClass(
  world: World,
  { run, months }: { run: TrueRun; months: readonly number[] },
): number[] {
  const flow = world.runs[run.id];
  const at = (t: number): number => flowAt(flow, t);
  const hours: number[] = [];
  for (let t = RECORD_START + 12 * HOUR; t < RECORD_END - 72 * HOUR; t += HOUR) {
    const peak = at(t);
    const level = trueClass(peak, run.edgesM3s);
    if (level < 2 || !months.includes(localParts(t).month)) continue;
    let highest = true;
    for (let h = -12; h <= 12 && highest; h++) if (h !== 0 && at(t + h * HOUR) >= peak) highest = false;
    if (!highest) continue;
    let h = 1;
    while (h < 72 && trueClass(at(t + h * HOUR), run.edgesM3s) >= level) h++;
    hours.push(h);
  }
  return hours;
}

/** ln of the creek at the put-in over the creek at the first look, for every visit that took two looks. Negative: it lost water meanwhile. */
export function changesBetweenLooks({ visits }: Pick<Sample, 'visits'>): number[] {
  return visits.flatMap(({ looks }) => (looks === undefined ? [] : [Math.log(looks.later / looks.first)]));
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length % 2 === 1
    ? sorted[(sorted.length - 1) / 2]!
    : (sorted[sorted.length / 2 - 1]! + sorted[sorted.length / 2]!) / 2;
}

function gaugeLines(label: string, truth: GaugeTruth): string[] {
  const line = (
    name: string,
    reading: { lagHours: number; storageHours: number } & Pick<GaugeTruth, 'meanNegLogLik' | 'edges'>,
  ): string =>
    `  ${label.padEnd(15)} ${name.padEnd(11)} storage ${String(reading.storageHours).padStart(3)} lag ${String(reading.lagHours).padStart(4)} ` +
    `loss ${reading.meanNegLogLik.toFixed(3)} of ${truth.withoutGauge.toFixed(3)}  edges ` +
    reading.edges['verdict']!.map((e) => (e === null ? '-' : `${e.gauge} ±${e.mismatch.toFixed(2)}`)).join(', ');
  return [
    line('one reading', { storageHours: 0, ...truth }),
    line('routed', truth.routed),
    line('planning', truth.planning),
  ];
}

/** What the sample is like, as text for the terminal. */
export function report(sample: Sample): string {
  const out: string[] = [];
  const percent = (p: number): string => `${(100 * p).toFixed(0)} %`.padStart(5);
  for (const run of RUNS) {
    const visits = sample.visits.filter((v) => v.run === run.id);
    out.push('', `${run.id}: ${visits.length} visits, ${visits.reduce((n, v) => n + v.rows.length, 0)} rows`);
    out.push(`  runnable by month  ${runnableByMonth(sample.world, run).map(percent).join(' ')}`);
    const counts = CLASSES.map((_, k) => visits.filter((v) => trueClass(v.trueFlow, run.edgesM3s) === k).length);
    out.push(`  visits by class    ${CLASSES.map((word, k) => `${word} ${counts[k]}`).join(', ')}`);
    const late = sample.files
      .get(run.id === 'lower' ? 'later.csv' : `later-${run.id}.csv`)!
      .trim()
      .split('\n')
      .slice(1);
    out.push(
      `  later hours        ${CLASSES.map((word) => `${word} ${late.filter((l) => l.endsWith(`,${word}`)).length}`).join(', ')}`,
    );
    for (const [season, months] of Object.entries({ spring: [4, 5, 6], autumn: [9, 10, 11] })) {
      const falls = hoursToFallOneClass(sample.world, { run, months });
      out.push(`  falls one class    ${season}: median ${median(falls)} h after ${falls.length} peaks`);
    }
    const gauges = run.id === 'lower' ? sample.truth.gauges : sample.truth.otherRuns[run.id]!.gauges;
    for (const [id, periods] of Object.entries(gauges))
      for (const period of ['fit', 'test'] as const) out.push(...gaugeLines(`${id} ${period}`, periods[period]));
  }
  const changes = changesBetweenLooks(sample);
  out.push(
    '',
    `later look lower by 3 % or more: ${percent(changes.filter((c) => c < -0.03).length / changes.length)}, by 10 % or more: ${percent(changes.filter((c) => c < -0.1).length / changes.length)} of ${changes.length} visits with two looks`,
  );
  return out.join('\n');
}
