import type { Creek } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import type { Visit } from '../series/visits.js';

const HOUR_MS = 3_600_000;
/** Hours that a logger must share with a gauge; so far a visit may also lie outside a record, for the sake of the lag. */
const LEAST_HOURS = 48;

interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/** What was read of a folder, as far as its times go. */
interface Timed {
  readonly creek: Creek;
  readonly visits: readonly Visit[];
  readonly records: readonly GaugeRecord[];
  readonly loggers: readonly GaugeRecord[];
}

/**
 * Files that read well and have nothing to do with each other: a gauge whose record (of first to last reading, and 48 h around it) holds no
 * visit of a run, and a logger with less than 48 h in common with every gauge. Each is a warning (fatal where no gauge holds any visit)
 * with both spans, in days of the creek's zone. Nothing is said of what has no times.
 *
 * @example spanIssues({ creek, visits, records, loggers: [] })[0].found // "visits of run 'upper' 2034-03-01 to 2035-01-02, record of 'big'
 * 2024-01-01 to 2025-01-01"
 */
export function spanIssues({ creek, visits, records, loggers }: Timed): readonly Issue[] {
  const clock = zoneClock(creek.timeZone);
  const day = (ms: number) => new Date(ms + clock.offsetAt(ms)).toISOString().slice(0, 10);
  const days = ({ fromMs, toMs }: Span) => `${day(fromMs)} to ${day(toMs)}`;
  const gauges = creek.gauges.flatMap((gauge) => {
    const span = readingsOf(records.find((record) => record.gauge === gauge.id));
    return span === undefined ? [] : [{ ...gauge, span }];
  });
  const near = ({ timeMs }: Visit, span: Span) =>
    timeMs >= span.fromMs - LEAST_HOURS * HOUR_MS && timeMs <= span.toMs + LEAST_HOURS * HOUR_MS;
  const outside = gauges.length === 0 ? [] : visits.filter((visit) => !gauges.some(({ span }) => near(visit, span)));
  const none = outside.length === visits.length;
  const issues: Issue[] = [];
  if (outside.length > 0 && !none)
    issues.push({
      code: 'no-overlap',
      severity: 'note',
      file: 'visits.csv',
      row: Math.min(...outside.flatMap((visit) => visit.sightings.map(({ row }) => row))),
      column: 'when',
      found:
        `${outside.length} of ${visits.length} visits before or after every record, ` +
        `${days(spanOf(outside.map(({ timeMs }) => timeMs)))}`,
      expected: 'a record over the time of each visit',
      hint: 'These visits cannot be used. Check their years, or download a record for their time.',
    });

  for (const { id, files, span } of gauges) {
    const runs = creek.runs.filter((run) => {
      const own = visits.filter((visit) => visit.run === run.id);
      return own.length > 0 && !own.some((visit) => near(visit, span));
    });
    if (runs.length === 0) continue;
    const of = runs.map((run) => `'${run.id}'`).join(', ');
    const times = visits.filter((visit) => runs.some((run) => run.id === visit.run)).map((visit) => visit.timeMs);
    issues.push({
      code: 'no-overlap',
      severity: none ? 'fatal' : 'warning',
      file: files[0]!,
      found: `visits of run ${of} ${days(spanOf(times))}, record of '${id}' ${days(span)}`,
      expected: 'a record over the time of the visits',
      hint:
        'None of these visits can be used with this gauge. Check the years in visits.csv and datePattern of the ' +
        'gauge, or download its record for the time of the visits.',
    });
  }

  for (const logger of loggers) {
    const own = readingsOf(logger);
    if (own === undefined || gauges.length === 0) continue;
    const shared = gauges.map(({ id, span }) => ({
      id,
      span,
      hours: (Math.min(own.toMs, span.toMs) - Math.max(own.fromMs, span.fromMs)) / HOUR_MS,
    }));
    const best = shared.reduce((most, one) => (one.hours > most.hours ? one : most));
    if (best.hours >= LEAST_HOURS) continue;
    const inCommon = best.hours > 0 ? `, ${Math.round(best.hours)} h in common` : '';
    issues.push({
      code: 'no-overlap',
      severity: 'warning',
      file: creek.loggers!.find(({ id }) => id === logger.gauge)!.files[0]!,
      found: `logger '${logger.gauge}' ${days(own)}, record of '${best.id}' ${days(best.span)}${inCommon}`,
      expected: `at least ${LEAST_HOURS} h in common with a gauge`,
      hint:
        "The logger tells nothing of the lag. Check the logger's clock, its timeZone and datePattern, " +
        "or download a gauge's record for the time that it stood there.",
    });
  }
  return issues;
}

/** From the first to the last reading that is a number; undefined where there is none. */
function readingsOf(record: GaugeRecord | undefined): Span | undefined {
  if (record === undefined) return undefined;
  const { timesMs, values } = record;
  const first = values.findIndex(Number.isFinite);
  if (first < 0) return undefined;
  return { fromMs: timesMs[first]!, toMs: timesMs[values.findLastIndex(Number.isFinite)]! };
}

function spanOf(times: readonly number[]): Span {
  return {
    fromMs: times.reduce((least, time) => Math.min(least, time), Infinity),
    toMs: times.reduce((most, time) => Math.max(most, time), -Infinity),
  };
}
